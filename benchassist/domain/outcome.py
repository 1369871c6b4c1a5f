"""What a decision can answer besides events: a refusal, or a thing said."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.events import Event, Numbers
from benchassist.domain.words import sentences
from benchassist.value import value

Level = Literal["pass", "marginal", "fail"]


@value
class Refusal:
    """The rules say no: a stable code, one sentence, the numbers, the remedy.

    ``acceptable`` names the gate when a hand may accept it with a reason.
    """

    code: str
    message: str
    numbers: Numbers = ()
    remedy: str = ""
    part: str = ""
    acceptable: bool = False

    @property
    def sentence(self) -> str:
        """What is amiss and what to do about it."""
        return sentences(self.message, self.remedy)


@value
class Said:
    """An answer that changes nothing: how long, where, why."""

    message: str


Decision = tuple[Event, ...] | Refusal | Said
