"""Training: how much the bench says, and what a trainee says before it does.

A trainee who answers first and is shown the number afterwards learns the sum; the
answers are worked out here from the bench itself, never typed in.
"""

from __future__ import annotations

from collections.abc import Callable

from benchassist.domain.events import Level
from benchassist.domain.evolve.people import predicted_key
from benchassist.domain.ledger import next_runs
from benchassist.domain.route import SUBMERGED
from benchassist.domain.state import WET, Bench, Part, Ready
from benchassist.value import value


@value
class Prompts:
    """What a level shows: reasons at gates, questions first."""

    why_at_gates: bool = False
    predict_first: bool = False
    may_act: bool = True


PROMPTS: dict[Level, Prompts] = {
    "watch": Prompts(why_at_gates=True, may_act=False),
    "every prompt": Prompts(why_at_gates=True, predict_first=True),
    "gates only": Prompts(why_at_gates=True),
    "alone": Prompts(),
}


@value
class Question:
    """A question asked before the bench shows the number; ``at`` names the stages."""

    code: str
    text: str
    unit: str
    at: tuple[str, ...]
    expected: Callable[[Bench, Part], float]


def level_of(bench: Bench, who: str = "") -> Level:
    """Return an operator's level, the present one's by default; alone if never set."""
    return bench.levels.get(who or bench.operator, "alone")


def prompts(bench: Bench) -> Prompts:
    """Return what the bench shows to the present operator."""
    return PROMPTS[level_of(bench)]


def _half_count(bench: Bench, part: Part) -> float:
    stage = next(stage for stage in part.route[part.at :] if stage.kind == "box")
    return float(next_runs(bench, part, stage)[0])


def _spots(bench: Bench, part: Part) -> float:
    return float(bench.spots_of(part))


def _immersions(bench: Bench, part: Part) -> float:
    fill = bench.fills.get(part.vessel)
    together = [
        code
        for code in bench.basket_of(part)
        if bench.parts[code].immersed_in != part.vessel
    ]
    return float((fill.immersions if fill else 0) + len(together))


QUESTIONS: dict[str, Question] = {
    each.code: each
    for each in (
        Question(
            "half-count",
            "What count is set on the box for the next run?",
            "counts",
            ("box", "submerge"),
            _half_count,
        ),
        Question("spots", "How many spots has one coat?", "spots", ("coat",), _spots),
        Question(
            "vessel",
            "How many immersions will this glycerine have had, this one included?",
            "immersions",
            ("submerge",),
            _immersions,
        ),
    )
}


def asked(part: Part, code: str) -> str:
    """Return the name under which a question at this stage is written down."""
    return f"{code} at {part.stage.key}"


def fits(part: Part, code: str) -> bool:
    """Return whether a question can be asked where a part stands."""
    # The count of the submerged half is asked where it is set: at the submerging.
    told = part.stage.kind == "box" and part.stage.half == SUBMERGED
    ready = isinstance(part.phase, Ready)
    return ready and part.stage.kind in QUESTIONS[code].at and not told


def to_predict(bench: Bench, part: Part) -> tuple[Question, ...]:
    """Return what the operator says first here and has not said yet."""
    if not prompts(bench).predict_first:
        return ()
    return tuple(
        question
        for question in QUESTIONS.values()
        if fits(part, question.code)
        and predicted_key(bench.operator, part.code, asked(part, question.code))
        not in bench.predicted
    )


def pace(bench: Bench, speed: float) -> float:
    """Return how many times as fast a training clock runs: waits do, hands do not.

    A brush, a lamp and a wet limit are what a trainee learns by doing, and nobody
    brushes a crown in a second and a half.
    """
    wet = any(isinstance(part.phase, WET) for part in bench.in_flight)
    return 1.0 if wet else speed


def score(bench: Bench, who: str) -> tuple[int, int]:
    """Return how many of an operator's predictions were right, and how many made."""
    made = [right for key, right in bench.predicted.items() if key[0] == who]
    return sum(made), len(made)
