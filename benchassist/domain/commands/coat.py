"""Lamp session, brush, paced walk, and the look at a wet coat."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.commands.base import Command, Held
from benchassist.value import value


@value
class OpenLampSession(Held, Command):
    """Confirm by hand: eyewear on, this lamp in hand."""

    lamp: str


@value
class WetBrush(Command):
    """Wet the brush and start the first stroke of the next segment."""

    part: str


@value
class StartWalk(Command):
    """The segment is brushed: start its paced walk."""

    part: str


@value
class BreakSpot(Command):
    """Tell that this spot is not done; the walk pauses."""

    part: str


@value
class HoldHere(Command):
    """Hold the walk here: the operator is called away."""

    part: str


@value
class GoOn(Command):
    """Go on with a paused walk; the spot not done starts whole."""

    part: str


@value
class BackOne(Command):
    """Go back one spot in a paused walk."""

    part: str


@value
class TellCoatState(Held, Command):
    """Tell by hand, after looking, how the interrupted coat is."""

    part: str
    told: Literal["wet and clean", "set or dusty", "wiped off"]
