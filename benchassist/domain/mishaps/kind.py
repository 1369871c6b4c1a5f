"""What a mishap asks, and what its branch does to the part and the bench."""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain.commands import TakeOut, TellRunEnd
from benchassist.domain.events import Event, Numbers
from benchassist.domain.state import Bench, Part
from benchassist.value import value

MOST_QUESTIONS = 3
YES = "yes"


@value
class Question:
    """One question: options to choose from, or a number in ``unit`` to type.

    A number may be left empty where nobody can know it.
    """

    text: str
    options: tuple[str, ...] = ()
    unit: str = ""


@value
class Case:
    """A mishap as it was told: the part, the answers in order, and when."""

    bench: Bench
    part: Part
    answers: tuple[str, ...]
    now: Instant

    def said(self, number: int) -> str:
        """Return the answer to a question, empty where it was not asked."""
        return self.answers[number] if number < len(self.answers) else ""

    def number(self, number: int) -> float | None:
        """Return a typed number, or None where it was left empty."""
        text = self.said(number).strip().replace(",", ".")
        return float(text) if text else None


@value
class Deviates:
    """A deviation to be opened, with every part it concerns."""

    rule: str
    parts: tuple[str, ...]
    text: str


@value
class Branch:
    """What to do: a title, short steps, and what the bench writes down.

    ``told`` is what is told of box or wash by it and comes before ``events``.
    ``rework`` begins a coat anew; ``scrap`` asks whether to give up. Whatever is lit
    or brushed is brought to a stand first where it ``stops``.
    """

    title: str
    steps: tuple[str, ...]
    events: tuple[Event, ...] = ()
    deviation: Deviates | None = None
    told: TellRunEnd | TakeOut | None = None
    numbers: Numbers = ()
    rework: bool = False
    scrap: bool = False
    stops: bool = True


When = Callable[["Bench", "Part"], bool]
Answers = tuple[str, ...]
Asks = Callable[["Bench", "Part", Answers], tuple[Question, ...]]


@value
class Mishap:
    """One thing that goes wrong; ``when`` says where it can be told.

    ``questions`` are at most three, by where the part stands and what was answered
    so far: the next one is the one at the number of answers.
    """

    code: str
    title: str
    when: When
    questions: Asks
    branch: Callable[[Case], Branch]


def options(text: str, *choices: str) -> Question:
    """Return a question with options."""
    return Question(text, choices)


def asks(*questions: Question) -> Asks:
    """Return the same questions wherever the part stands."""
    return lambda _bench, _part, _answers: questions


def amiss(questions: tuple[Question, ...], answers: tuple[str, ...]) -> str:
    """Return in one sentence what is wrong with the answers, or an empty string."""
    if len(answers) != len(questions):
        return f"{len(questions)} questions, {len(answers)} answers."
    for question, answer in zip(questions, answers, strict=True):
        if question.options and answer not in question.options:
            return f"{question.text} Choose one of: {', '.join(question.options)}."
        if not question.options and not _is_number(answer):
            return f"{question.text} Type a number in {question.unit}, 0 or more."
    return ""


def _is_number(text: str) -> bool:
    if not text.strip():
        return True
    try:
        number = float(text.strip().replace(",", "."))
    except ValueError:
        return False
    return 0 <= number < 1e6  # noqa: PLR2004 - beyond any count, size or temperature
