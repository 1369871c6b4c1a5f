"""State from events: pure, total, without opinions.

One small function per kind of event, found by its type. Nothing is judged or
recomputed here; an event already stores what was judged. A module for each subject.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.domain import events as ev
from benchassist.domain.evolve import (  # noqa: F401 - each fills the table
    box,
    coat,
    intake,
    light,
    mishaps,
    people,
    release,
    shelf,
    stages,
    store,
)
from benchassist.domain.evolve.table import HANDLERS
from benchassist.domain.evolve.times import in_front
from benchassist.domain.state import Bench
from benchassist.value import replace

__all__ = ["HANDLERS", "evolve", "fold"]

BY_HAND = frozenset({"pedal", "hand", "script"})


def evolve(bench: Bench, entry: ev.Entry) -> Bench:
    """Return the bench after ``entry``."""
    after = HANDLERS[type(entry.event)](bench, entry, entry.event)
    after = in_front(bench, after, entry)
    acted = entry.at if entry.channel in BY_HAND else after.acted
    return replace(after, seq=entry.seq, acted=acted)


def fold(bench: Bench, entries: Iterable[ev.Entry]) -> Bench:
    """Return the bench after every one of ``entries``."""
    for entry in entries:
        bench = evolve(bench, entry)
    return bench
