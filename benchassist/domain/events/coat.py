"""Stain and coats: the brush, the paced walk, and the look at a wet coat."""

from __future__ import annotations

from typing import ClassVar, Literal

from benchassist.clock import Instant
from benchassist.domain.events.base import Event, Evidence, Numbers
from benchassist.value import value


@value
class LampSessionOpened(Event):
    """Eyewear on and this lamp in hand, confirmed once per lamp session."""

    lamp: str


@value
class BrushWetted(Event):
    """The first stroke of a segment; the wet clock runs from here.

    The segment holds the spots ``first`` up to, not including, ``last``.
    """

    part: str
    layer: str
    segment: int
    first: int
    last: int
    lot: str


@value
class WalkStarted(Event):
    """A paced walk began; the light check's numbers as judged then."""

    part: str
    layer: str
    spot: int
    lamp: str
    light_ms: int
    move_ms: int
    verdict: str
    numbers: Numbers


@value
class SpotTacked(Event):
    """One spot had its whole light; ``ended`` is when, by the paced timeline."""

    part: str
    layer: str
    spot: int
    lamp: str
    light_ms: int
    ended: Instant
    evidence: Evidence = "paced"


@value
class SpotBroken(Event):
    """A spot was broken off; it restarts whole, its light is kept as extra."""

    part: str
    layer: str
    spot: int
    lamp: str
    light_ms: int


@value
class WalkPaused(Event):
    """The walk stands still at ``spot``, which starts whole when it goes on."""

    version: ClassVar[int] = 2

    part: str
    spot: int
    why: Literal[
        "not done",
        "called away",
        "back one",
        "program was away",
        "stall",
        "handed over",
        "wet limit",
    ]


@value
class CoatStateTold(Event):
    """On return the coat's state was looked at and told by hand.

    ``late_ms`` is how long past its wet limit it was; ``numbers`` what the break
    took, with its share of the light the wet resin stands where that is on file.
    """

    part: str
    layer: str
    told: Literal["wet and clean", "set or dusty", "wiped off"]
    wet_ms: int
    late_ms: int = 0
    numbers: Numbers = ()
