"""Runs of the curing box, from the load card to what was credited."""

from __future__ import annotations

from typing import ClassVar

from benchassist.domain.events.base import (
    Event,
    Evidence,
    Numbers,
    RunBegun,
    RunOutcome,
)
from benchassist.value import value


@value
class LoadConfirmed(Event):
    """The load card was held: dry, count set on the box as planned, door shut.

    ``numbers`` are the light check's of box and vessel, as judged then.
    """

    version: ClassVar[int] = 2

    box: str
    parts: tuple[str, ...]
    count: int
    vessel: str = ""
    numbers: Numbers = ()


@value
class SubmergeConfirmed(Event):
    """The submerge card was held: submerged, no bubbles, held down, count set.

    ``numbers`` are the light check's of box and vessel, as judged then.
    """

    version: ClassVar[int] = 2

    box: str
    vessel: str
    parts: tuple[str, ...]
    count: int
    immersions: int
    numbers: Numbers = ()


@value
class RunStarted(Event):
    """A box run began for every part in it."""

    run: str
    box: str
    vessel: str
    parts: tuple[str, ...]
    side: str
    half: int
    planned: int
    rate_hz: float
    unit: str


@value
class RunInterrupted(Event):
    """The program was away during a run; bounds rest on the heartbeat."""

    run: str
    low: int
    high: int


@value
class RunEndObserved(Event):
    """The end state of a run was given by hand; until then nothing is credited.

    ``begun`` earlier than its start was told, where its counter was ahead of the clock.
    """

    version: ClassVar[int] = 2

    run: str
    outcome: RunOutcome
    low: int
    high: int
    evidence: Evidence
    begun: RunBegun = ""


@value
class DoseCredited(Event):
    """One part was credited a box run on one side, for each layer then on it."""

    part: str
    run: str
    side: str
    half: int
    layers: tuple[str, ...]
    low: int
    high: int
    unit: str
    evidence: Evidence


@value
class FlipConfirmed(Event):
    """A part was turned by hand; ``side`` now faces the light."""

    part: str
    side: str
