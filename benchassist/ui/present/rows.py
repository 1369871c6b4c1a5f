"""The list of parts in flight."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.queue import NEVER_MS, Need, stay_ms
from benchassist.domain.runs import length_ms
from benchassist.domain.state import (
    Bench,
    Brushing,
    InRun,
    OnHold,
    Part,
    Paused,
    Ready,
    Soaking,
    Walking,
)
from benchassist.domain.words import HOUR_MS, clock, late
from benchassist.ui.view import Row

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.standing import Standing, Standings, Word

MS = 1000
F_KEYS = 9  # within reach of a glove


def in_flight(at: Standings, *, gates: bool = True) -> tuple[Row, ...]:
    """Return the rows, the part nearest to harm first.

    Parts that start and end together share a row, named after the one in front if it
    is among them. The first paint asks no ``gates``, which may need sums.
    """
    left = {need.part: None for need in at.ranked}
    rows: list[Row] = []
    while left:
        head, *others = _together(at.bench, next(iter(left)))
        key = f"F{len(rows) + 1}" if len(rows) < F_KEYS else ""
        word = at.word(head, gates=gates)
        rows.append(_row(at.of(head), word, key, tuple(others)))
        for code in (head, *others):
            del left[code]
    return tuple(rows)


def _together(bench: Bench, code: str) -> tuple[str, ...]:
    """Return the parts of a basket that are at the same, the one in front first."""
    line = doing(bench, bench.parts[code])
    codes = tuple(
        each
        for each in bench.basket_of(bench.parts[code])
        if doing(bench, bench.parts[each]) == line
    )
    at = codes.index(bench.focus if bench.focus in codes else code)
    return codes[at:] + codes[:at]


def _row(at: Standing, word: Word, key: str, others: tuple[str, ...]) -> Row:
    bench, part = at.bench, at.part
    return Row(
        code=part.code,
        klass=bench.recipe_of(part).item_class,
        line=doing(bench, part),
        right=_right(part, at.need),
        word=word,
        fill=_fill(bench, part, at.now),
        focused=part.code == bench.focus,
        late=at.need.harm_ms < 0,
        key=key,
        others=others,
    )


def doing(bench: Bench, part: Part) -> str:
    """Return in a few words where a part is."""
    phase = part.phase
    title = part.stage.title
    if isinstance(phase, Ready):
        return f"{title}: {_ready(bench, part)}"
    if isinstance(phase, InRun) and bench.runs[phase.run].interrupted:
        return f"{title}: what did the box do?"
    if isinstance(phase, Brushing | Walking | Paused):
        return f"{title}, segment {phase.segment}, wet"
    return f"{title}: on hold, covered" if isinstance(phase, OnHold) else title


def _ready(bench: Bench, part: Part) -> str:
    if part.scrap_asked:
        return "scrap or keep?"
    if part.stage.kind == "box":
        load = bench.loads.get(part.box)
        return "loaded" if load and part.code in load.parts else "load card"
    return "deviation open" if bench.open_deviations(part.code) else "ready"


def _right(part: Part, need: Need) -> str:
    if need.harm_ms < 0:
        return late(-need.harm_ms)
    if need.due_ms > 0:
        return _short(need.due_ms)
    if isinstance(part.phase, Brushing | Walking | Paused):
        return _short(need.harm_ms)
    return "now" if need.harm_ms >= NEVER_MS else _short(need.harm_ms)


def _short(ms: int) -> str:
    return f"{ms // 60_000} min" if 600 * MS < ms < HOUR_MS else clock(ms)


def _fill(bench: Bench, part: Part, now: Instant) -> float:
    phase = part.phase
    if isinstance(phase, Soaking) and part.stage.min_s:
        return min(1.0, stay_ms(part, phase, now) / (part.stage.min_s * MS))
    if isinstance(phase, InRun):
        run = bench.runs[phase.run]
        whole = length_ms(run, bench.boxes[run.box])
        return min(1.0, now.most_since(run.started) / max(1, whole))
    return part.at / len(part.route)
