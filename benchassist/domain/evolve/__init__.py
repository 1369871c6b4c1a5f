"""State from events: pure, total, without opinions.

One small function per kind of event, found by its type. Nothing is judged or
recomputed here; an event already stores what was judged. A module for each subject.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.domain.evolve import (  # noqa: F401 - gathered below
    box,
    carried,
    coat,
    correction,
    coupon,
    day,
    facts,
    intake,
    late,
    light,
    mishaps,
    owned,
    people,
    recall,
    release,
    shelf,
    stages,
    store,
    upkeep,
)
from benchassist.domain.evolve.store import over_boot
from benchassist.domain.evolve.table import Handler
from benchassist.domain.evolve.times import at_work, in_front
from benchassist.domain.gathered import gathered
from benchassist.domain.state import Bench
from benchassist.value import replace

__all__ = ["HANDLERS", "after", "evolve", "fold"]

HANDLERS: dict[type[ev.Event], Handler[ev.Event]] = gathered(globals())
BY_HAND = frozenset({"pedal", "hand", "script"})


def evolve(bench: Bench, entry: ev.Entry) -> Bench:
    """Return the bench after ``entry``."""
    bench = over_boot(bench, entry)
    then = HANDLERS[type(entry.event)](bench, entry, entry.event)
    then = in_front(bench, then, entry)
    if entry.channel not in BY_HAND:
        return replace(then, seq=entry.seq, latest=entry.at)
    days = at_work(then.days, entry)
    return replace(then, seq=entry.seq, acted=entry.at, latest=entry.at, days=days)


def after(bench: Bench, event: ev.Event, now: Instant) -> Bench:
    """Return the bench after an event that is about to be written down.

    For deciders: what follows from what they decide is read here, never imitated.
    """
    seq, at = bench.seq + 1, now.plus(0)  # bare, as it will be written
    return evolve(bench, ev.Entry(seq, "", at, bench.signed_by, "tool", event))


def fold(bench: Bench, entries: Iterable[ev.Entry]) -> Bench:
    """Return the bench after every one of ``entries``."""
    for entry in entries:
        bench = evolve(bench, entry)
    return bench
