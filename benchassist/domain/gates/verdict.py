"""What a gate is asked and what it answers."""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain.events import Numbers
from benchassist.domain.outcome import Level
from benchassist.domain.route import Stage
from benchassist.domain.state import Bench, Part
from benchassist.value import value


@value
class Ask:
    """A question to a gate, whether a part may begin a stage now.

    ``together`` names all parts that would go in by the same action, ``count``
    is what the hand says is set on the box (0: not said yet).
    """

    part: Part
    stage: Stage
    together: tuple[str, ...]
    count: int = 0


@value
class Verdict:
    """A gate's answer: level, one sentence, the numbers and what clears it.

    ``scope`` is what an acceptance by hand would be kept for; empty means that
    no hand may accept it at this level. ``thing`` is the same for the things alone,
    whatever part they are used on; empty where it can only be taken part by part.
    ``badge`` says in a word or two how well what it rests on is known, such as TESTED
    HERE. ``after`` is a part to be seen to first: then the gate opens of itself.
    """

    level: Level
    sentence: str
    numbers: Numbers = ()
    remedy: str = ""
    scope: str = ""
    thing: str = ""
    badge: str = ""
    after: str = ""


Check = Callable[[Bench, Ask, Instant], Verdict]


@value
class Gate:
    """One gate: code, title, whether a hand may ever accept it, its function.

    ``why`` is for whoever learns the work: at most 25 words. ``measure`` names the
    number that must not have grown since a warning was accepted for a thing.
    """

    code: str
    title: str
    acceptable: bool
    check: Check
    why: str = ""
    measure: str = ""


def passed(sentence: str, *numbers: tuple[str, float]) -> Verdict:
    """Return a verdict that lets the stage begin."""
    return Verdict("pass", sentence, numbers)


def failed(sentence: str, remedy: str, *numbers: tuple[str, float]) -> Verdict:
    """Return a verdict that keeps the stage from beginning, whatever a hand says."""
    return Verdict("fail", sentence, numbers, remedy)
