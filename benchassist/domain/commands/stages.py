"""Begin, end, quiet, hold and undo what a part is at."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.commands.base import Command, Held
from benchassist.value import value


@value
class StartStage(Command):
    """Start the timed stage a part is at, for its whole basket."""

    part: str


@value
class TakeOut(Command):
    """Take a basket out of its bath; ``count`` is how many came out (0: all)."""

    part: str
    count: int = 0


@value
class Quiet(Command):
    """Let the sound of what is due rest for a while: not yet."""

    part: str


@value
class FinishStage(Command):
    """The hand work a part is at is done."""

    part: str


@value
class ConfirmFlip(Held, Command):
    """Confirm by hand that a part was turned to the side its stage names."""

    part: str


@value
class HoldPart(Held, Command):
    """Put a part on hold between stages, covered and dark."""

    part: str
    reason: str


@value
class ResumePart(Held, Command):
    """Take a part from hold."""

    part: str


@value
class VoidStart(Command):
    """Undo the last start by hand and say whether the thing really ran."""

    really_ran: Literal["yes", "no", "not sure"]
