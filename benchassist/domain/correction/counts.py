"""What belongs to the bench and is counted forward: immersions and lamp time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from benchassist.clock import Instant, Now
from benchassist.domain import events as ev
from benchassist.domain.claims import UNCONFIRMED
from benchassist.domain.evolve.anew import bare, one_more
from benchassist.domain.state import Bench
from benchassist.domain.truth import Line

Lines = dict[str, tuple[Line, ...]]


def recounted(
    bench: Bench, was: Lines, now: Lines, at: Instant
) -> tuple[ev.Event, ...]:
    """Return the counts that a correction moves, as they are from now on."""
    return (*_fills(bench, was, now), *_lamps(was, now, at))


def _fills(bench: Bench, was: Lines, now: Lines) -> Iterable[ev.Event]:
    more: Counter[str] = Counter()
    for part in was:
        more.update(_immersions(bench, part, now[part]))
        more.subtract(_immersions(bench, part, was[part]))
    for vessel, moved in sorted(more.items()):
        if moved and vessel in bench.fills:
            count = max(0, bench.fills[vessel].immersions + moved)
            yield ev.FillRecounted(vessel, count)
    for part, lines in now.items():
        for old, new in zip(was[part], lines, strict=True):
            yield from _spoilt(bench, part, old, new)


def _immersions(bench: Bench, part: str, lines: Iterable[Line]) -> Counter[str]:
    """Return how often a part was put into the fillings that are there now."""
    desk, found = bare(bench), Counter[str]()
    for line in lines:
        if line.gone:
            continue
        event = line.entry.event
        if isinstance(event, ev.SubmergeConfirmed | ev.ImmersionCounted):
            before = desk.parts[part].immersed_in if part in desk.parts else ""
            again = isinstance(event, ev.ImmersionCounted)
            fill = bench.fills.get(event.vessel)
            at = Now.at(line.entry.at, bench.boots)
            same = fill is not None and at.most_since(fill.at) >= 0
            found[event.vessel] += same and (again or before != event.vessel)
        desk = one_more(desk, part, line.entry)
    return found


def _spoilt(bench: Bench, part: str, old: Line, new: Line) -> Iterable[ev.Event]:
    """Yield that a part back from a mouth spoilt the filling it really lay in."""
    event = new.entry.event
    if new.gone or not isinstance(event, ev.SubmergeConfirmed):
        return
    moved = event.vessel != getattr(old.entry.event, "vessel", "")
    found = bench.parts.get(part)
    if moved and found is not None and found.variant.back_from_mouth:
        yield ev.GlycerineSpoilt(event.vessel, f"own portion of {part}")


def _lamps(was: Lines, now: Lines, at: Instant) -> Iterable[ev.Event]:
    """Yield the lamp time that moves; only today's is kept."""
    more: Counter[tuple[str, str]] = Counter()
    for part in was:
        for lines, sign in ((now[part], 1), (was[part], -1)):
            for line in lines:
                event = line.entry.event
                if not isinstance(event, ev.SpotTacked | ev.SpotBroken):
                    continue
                if not line.gone and line.entry.at.day() == at.day():
                    who = line.entry.operator.removesuffix(UNCONFIRMED)
                    more[who, event.lamp] += sign * event.light_ms
    for (who, lamp), ms in sorted(more.items()):
        if ms:
            yield ev.LampRecounted(who, at.day(), lamp, ms)
