"""What a decision can answer besides events: a refusal, or a thing said."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Literal, ParamSpec, TypeVar

from benchassist.domain.events import Event, Numbers
from benchassist.domain.words import sentences
from benchassist.value import value

Level = Literal["pass", "marginal", "fail"]
P = ParamSpec("P")
T = TypeVar("T")


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


class RefusedError(Exception):
    """A refusal on its way out of a decision; ``answering`` makes a value of it."""

    def __init__(self, refusal: Refusal) -> None:
        """Carry a refusal."""
        super().__init__(refusal.message)
        self.refusal = refusal


def granted(found: T | Refusal) -> T:
    """Return what was found; a refusal ends the decision it is asked in.

    Raises
    ------
    RefusedError
        If it is a refusal.
    """
    if isinstance(found, Refusal):
        raise RefusedError(found)
    return found


def answering(decides: Callable[P, T]) -> Callable[P, T | Refusal]:
    """Return a function that gives back the refusal a decision ended in."""

    @wraps(decides)
    def answer(*given: P.args, **named: P.kwargs) -> T | Refusal:
        try:
            return decides(*given, **named)
        except RefusedError as no:
            return no.refusal

    return answer
