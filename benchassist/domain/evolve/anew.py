"""Parts folded anew from what is true of them, and laid back on the bench.

Live, at opening and behind a snapshot a correction takes this one path. A part is
folded as if it had been alone, on today's shelf: what belongs to the bench (fillings,
lamp time, dishes, who stands here) is never folded anew.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.domain import events as ev
from benchassist.domain.evolve import evolve
from benchassist.domain.evolve.shelf_anew import shelf_anew
from benchassist.domain.state import Bench, Load, Part, Run
from benchassist.domain.truth import Line, Record
from benchassist.value import replace


def replay(bench: Bench, entries: Iterable[ev.Entry], record: Record) -> Bench:
    """Return the bench after every one of ``entries``, corrections read as such."""
    for entry in entries:
        bench = evolve(bench, entry)
        if isinstance(entry.event, ev.Corrected):
            bench = put_right(bench, entry, entry.event, record)
    return bench


def put_right(
    bench: Bench, entry: ev.Entry, event: ev.Corrected, record: Record
) -> Bench:
    """Return the bench on which a correction holds."""
    bench = shelf_anew(bench, event, record.entry)
    desks = {
        part: folded(bench, part, record.history(part, entry.seq))
        for part in event.parts
    }
    return laid_back(bench, desks)


def bare(bench: Bench) -> Bench:
    """Return the bench with nothing and nobody at it: the shelf is left."""
    return replace(
        bench,
        focus="",
        parts={},
        loads={},
        runs={},
        baskets={},
        deviations={},
        claims={},
        advised={},
        quiet={},
        last_start=None,
        lamp_session=None,
        away=None,
        handed=None,
        front_since=None,
    )


def folded(bench: Bench, part: str, lines: Iterable[Line]) -> Bench:
    """Return a bench on which a part stands alone, by what is true of it."""
    desk = bare(bench)
    for line in lines:
        if not line.gone:
            desk = one_more(desk, part, line.entry)
    return desk


def one_more(desk: Bench, part: str, entry: ev.Entry) -> Bench:
    """Return a part's own bench after one entry; none counts before its intake."""
    if part in desk.parts or isinstance(entry.event, ev.PartTaken):
        return evolve(desk, entry)
    return desk


def laid_back(bench: Bench, desks: dict[str, Bench]) -> Bench:
    """Return the bench with parts as they stand on benches of their own."""
    parts = dict(bench.parts)
    for code, desk in desks.items():
        if code in desk.parts:
            parts[code] = _in_hand(bench.parts.get(code), desk.parts[code])
    return replace(
        bench, parts=parts, runs=_runs(bench, desks), loads=_loads(bench, desks)
    )


def _in_hand(old: Part | None, new: Part) -> Part:
    """Return a part with what its own entries cannot say: tray, basket, time in front.

    The time in front is that of the stage the part is at.
    """
    if old is None:
        return replace(new, hands_ms=0)
    same = (old.at, old.entered) == (new.at, new.entered)
    hands_ms = old.hands_ms if same else 0
    return replace(new, tray=old.tray, basket=old.basket, hands_ms=hands_ms)


def _runs(bench: Bench, desks: dict[str, Bench]) -> dict[str, Run]:
    found: dict[str, Run] = {}
    for name, run in bench.runs.items():
        others = tuple(code for code in run.parts if code not in desks)
        if others:
            found[name] = replace(
                run, parts=others, sides={code: run.sides[code] for code in others}
            )
    for desk in desks.values():
        for name, run in desk.runs.items():
            old = found.get(name, replace(run, parts=(), sides={}))
            order = bench.runs[name].parts if name in bench.runs else ()
            found[name] = replace(
                run,
                parts=_in_order((*old.parts, *run.parts), order),
                sides=old.sides | run.sides,
            )
    return found


def _loads(bench: Bench, desks: dict[str, Bench]) -> dict[str, Load]:
    found: dict[str, Load] = {}
    for box, load in bench.loads.items():
        others = tuple(code for code in load.parts if code not in desks)
        if others:
            found[box] = replace(load, parts=others)
    for desk in desks.values():
        for box, load in desk.loads.items():
            old = found.get(box, replace(load, parts=()))
            order = bench.loads[box].parts if box in bench.loads else ()
            parts = _in_order((*old.parts, *load.parts), order)
            found[box] = replace(load, parts=parts)
    return found


def _in_order(codes: tuple[str, ...], order: tuple[str, ...]) -> tuple[str, ...]:
    """Return codes as the card named them, others behind."""
    known = [code for code in order if code in codes]
    return (*known, *(code for code in codes if code not in known))
