"""What went wrong, and what of it is on the part from then on."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.events.base import CoatState, Event, FreeText, Numbers
from benchassist.domain.route import Stage
from benchassist.value import value


@value
class MishapReported(Event):
    """Something went wrong; the branch that was advised, as it was advised."""

    part: str
    mishap: str
    coat: CoatState
    answers: tuple[str, ...]
    title: str
    steps: tuple[str, ...]
    numbers: Numbers
    scrap: bool


@value
class ScrapAsked(Event):
    """Whether a part is worth going on with; nothing begins on it meanwhile."""

    part: str
    deviation: str


@value
class ScrapAnswered(Event):
    """A hand answered whether a part is scrapped or kept, and why."""

    part: str
    deviation: str
    decision: Literal["scrap", "keep"]
    reason: FreeText


@value
class RouteChanged(Event):
    """A part goes on by another route; ``at`` is the stage it now stands at.

    ``rework`` says that a coat is laid again, so that what was checked is void.
    """

    part: str
    route: tuple[Stage, ...]
    at: int
    why: str
    rework: bool


@value
class LayerStripped(Event):
    """A layer was taken off again; its light stays on the record."""

    part: str
    layer: str


@value
class ImmersionCounted(Event):
    """A lifted part went back into its glycerine: one immersion more."""

    part: str
    vessel: str
    immersions: int


@value
class GlycerineSpoilt(Event):
    """A filling of glycerine may not be used again."""

    vessel: str
    why: str


@value
class PartFoundWet(Event):
    """A part thought dry was found wet: its drying counts from now."""

    part: str


@value
class CheckAdded(Event):
    """A part owes one more named check before it can be released."""

    part: str
    check: str
    why: str


@value
class DoseNoticed(Event):
    """A side's body passed the share of its count at which it is said."""

    part: str
    side: str
    high: int
    total: int
