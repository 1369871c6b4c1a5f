"""What a correction will change, before it is held: before and after, in plain words.

Parts, gates, counts and records, each as one line. Qt-free; nothing is written.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.domain.correction.decide import Decided
from benchassist.domain.evolve.anew import folded
from benchassist.domain.ledger import bounds, next_runs, remaining
from benchassist.domain.state import BODY, Bench, Closed, LayerWork, Part
from benchassist.domain.words import clock
from benchassist.value import value

Sort = Literal["part", "gate", "review", "count", "record"]
NONE = "none"


@value
class Effect:
    """One line of what will change: of what, what it is, before and after."""

    about: str
    what: str
    was: str
    now: str
    sort: Sort = "part"


def effects(bench: Bench, decided: Decided, today: Instant) -> tuple[Effect, ...]:
    """Return what a correction will change, what matters most first."""
    found = [
        effect
        for part in decided.now
        for effect in _of_part(bench, decided, part, today)
    ]
    return (*found, *_counts(bench, decided), *_records(decided, today))


def _of_part(
    bench: Bench, decided: Decided, code: str, today: Instant
) -> Iterator[Effect]:
    was = folded(bench, code, decided.was[code]).parts.get(code)
    now = _after(bench, decided, code, today)
    if was is None or now is None:
        return
    shut = decided.shut.get(code, ())
    for name, old, new in _differences(bench, was, now):
        if old != new:
            yield Effect(code, name, old, new)
    for each in {(one.title, one.sentence): one for one in shut}.values():
        yield Effect(code, each.title, "passed", each.sentence.rstrip("."), "gate")
    if shut and isinstance(now.phase, Closed) and now.phase.how == "released":
        yield Effect(code, "handed over", "released", "under review", "review")


def _after(bench: Bench, decided: Decided, code: str, at: Instant) -> Part | None:
    from benchassist.domain.evolve import evolve  # noqa: PLC0415 - one page asks this

    desk = folded(bench, code, decided.now[code])
    for event in decided.events:
        if isinstance(event, ev.StageEnded | ev.StageStarted):
            named = getattr(event, "parts", (getattr(event, "part", ""),))
            if code in named:
                desk = evolve(desk, ev.Entry(0, "", at, "", "tool", event))
    return desk.parts.get(code)


def _differences(bench: Bench, was: Part, now: Part) -> Iterator[tuple[str, str, str]]:
    yield "stands at", was.stage.title, now.stage.title
    for side in bench.recipe_of(now).sides:
        named = f"dose, side {side}" if side else "dose"
        yield named, _dose(was, BODY, side), _dose(now, BODY, side)
    yield "to set next", _next(bench, was), _next(bench, now)
    yield "time in alcohol", clock(was.solvent_ms), clock(now.solvent_ms)
    yield "side to the light", was.facing or NONE, now.facing or NONE
    yield "lies in", was.immersed_in or NONE, now.immersed_in or NONE
    yield "print lot", was.print_lot or NONE, now.print_lot or NONE
    yield "coat lot", was.coat_lot or NONE, now.coat_lot or NONE
    yield "stain lot", was.stain_lot or NONE, now.stain_lot or NONE
    for layer in dict.fromkeys((*was.work, *now.work)):
        named = layer.replace("-", " ")
        old, new = was.work.get(layer), now.work.get(layer)
        yield f"{named}, lot", old.lot if old else NONE, new.lot if new else NONE
        yield f"{named}, lamp", _lamps(old), _lamps(new)
        yield f"{named}, spots lit", _lit(old), _lit(new)
    for check in dict.fromkeys((*was.checks, *now.checks)):
        yield check, _passed(was, check), _passed(now, check)
    yield "lamp", was.lamp or NONE, now.lamp or NONE
    yield "box", was.box or NONE, now.box or NONE
    yield "vessel", was.vessel or NONE, now.vessel or NONE


def _dose(part: Part, layer: str, side: str) -> str:
    low, high = bounds(part, layer=layer, side=side)
    return str(low) if low == high else f"{low} to {high}"


def _next(bench: Bench, part: Part) -> str:
    if part.stage.kind != "box" or not remaining(part, part.stage):
        return NONE
    if part.box not in bench.boxes:
        return str(remaining(part, part.stage))
    return str(next_runs(bench, part, part.stage)[0])


def _lamps(work: LayerWork | None) -> str:
    return ", ".join(work.lamps) if work and work.lamps else NONE


def _lit(work: LayerWork | None) -> str:
    spots = work.spots if work else ()
    return f"{spots.count('done')} of {len(spots)}" if spots else NONE


def _passed(part: Part, check: str) -> str:
    said = {True: "passed", False: "failed", None: "not done"}
    return said[part.checks.get(check)]


def _counts(bench: Bench, decided: Decided) -> Iterator[Effect]:
    for event in decided.events:
        match event:
            case ev.FillRecounted(vessel=vessel, immersions=immersions):
                was = bench.fills[vessel].immersions
                yield Effect(vessel, "immersions", str(was), str(immersions), "count")
            case ev.LampRecounted(lamp=lamp, light_ms=light_ms):
                sign = "+" if light_ms > 0 else "-"
                told = f"{sign}{clock(abs(light_ms))}"
                yield Effect(lamp, "light today", "as counted", told, "count")
            case _:
                pass


def _records(decided: Decided, today: Instant) -> Iterator[Effect]:
    """Yield each earlier day whose report gets an addition."""
    days: dict[str, set[int]] = {}
    changed = {change.seq for change in decided.changes}
    for lines in decided.was.values():
        for line in lines:
            if line.told.seq in changed:
                days.setdefault(line.told.at.day(), set()).add(line.told.seq)
    for day, seqs in sorted(days.items()):
        if day != today.day():
            rows = "1 row" if len(seqs) == 1 else f"{len(seqs)} rows"
            yield Effect(day, "report", "stays as it was", f"+ {rows} beside", "record")
