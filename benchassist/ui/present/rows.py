"""The list of parts in flight."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.queue import NEVER_MS, Need
from benchassist.domain.runs import length_ms
from benchassist.domain.stages import STAGES
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
from benchassist.ui.view import Row, Word

if TYPE_CHECKING:
    from benchassist.clock import Instant

MS = 1000
F_KEYS = 9  # within reach of a glove
Needs = tuple[Need, ...]


def in_flight(bench: Bench, needs: Needs, now: Instant) -> tuple[Row, ...]:
    """Return the rows, the part nearest to harm first.

    Parts that start and end together share a row, named after the one in front if it
    is among them.
    """
    found = {need.part: need for need in needs}
    rows: list[Row] = []
    while found:
        head, *others = _together(bench, next(iter(found)))
        key = f"F{len(rows) + 1}" if len(rows) < F_KEYS else ""
        rows.append(_row(bench, found[head], now, key, tuple(others)))
        for code in (head, *others):
            del found[code]
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


def _row(
    bench: Bench, need: Need, now: Instant, key: str, others: tuple[str, ...]
) -> Row:
    part = bench.parts[need.part]
    return Row(
        code=part.code,
        klass=bench.recipe_of(part).item_class,
        line=doing(bench, part),
        right=_right(part, need),
        word=word_of(bench, part, need),
        fill=_fill(bench, part, now),
        focused=part.code == bench.focus,
        late=need.harm_ms < 0,
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


def word_of(bench: Bench, part: Part, need: Need) -> Word:
    """Return the state word of a part in the list."""
    phase = part.phase
    if isinstance(phase, InRun):
        asked = need.due_ms <= 0 or bench.runs[phase.run].interrupted is not None
        return "ASK" if asked else "WAIT"
    if isinstance(phase, Soaking):
        return "DO" if need.due_ms <= 0 else "WAIT"
    if isinstance(phase, Paused | OnHold):
        return "HOLD"
    if part.scrap_asked or STAGES[part.stage.kind].mode in (
        "checks",
        "flip",
        "submerge",
        "hold",
    ):
        return "ASK"
    return "DO"


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
        return min(1.0, now.since(phase.since) / (part.stage.min_s * MS))
    if isinstance(phase, InRun):
        run = bench.runs[phase.run]
        whole = length_ms(run, bench.boxes[run.box])
        return min(1.0, now.since(run.started) / max(1, whole))
    return part.at / len(part.route)
