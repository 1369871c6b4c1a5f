"""Who stands here, who holds what, breaks, hand-overs and learners."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.commands.base import Command, Held
from benchassist.value import value


@value
class ClaimStation(Command):
    """Take the station as operator ``who``."""

    who: str


@value
class CallAway(Command):
    """Freeze the place, whatever is going on: the operator is called away."""


@value
class ComeBack(Command):
    """Tell by hand that the operator is back at the frozen place."""


@value
class ClaimThing(Command):
    """Claim a part or a lamp, so that nobody else uses it."""

    kind: Literal["part", "lamp"]
    code: str


@value
class PutDown(Command):
    """Give a claim up."""

    kind: Literal["part", "lamp"]
    code: str


@value
class TakeOver(Held, Command):
    """Take what another operator holds, with a reason."""

    kind: Literal["part", "lamp"]
    code: str
    reason: str


@value
class HandOver(Held, Command):
    """Hand the station and all that is claimed to operator ``to``."""

    to: str


@value
class ReadHandOver(Command):
    """Tell by hand that what was handed over has been read."""


@value
class SetLevel(Held, Command):
    """Set how far an operator works by themselves."""

    who: str
    level: Literal["watch", "every prompt", "gates only", "alone"]


@value
class Predict(Command):
    """Say beforehand what the bench will show."""

    part: str
    question: str
    answer: float
