"""How a box's count is split into a first and a submerged half."""

from typing import Annotated

from pydantic import Field

from benchassist.calculators.model import Answer, Model, about
from benchassist.domain import halves

Count = Annotated[int, Field(ge=1, le=1_000_000, description="flashes or seconds")]


class Input(Model):
    """What the recipe owes each side, and what the box can be set to.

    A box with programs is set to nothing else; ``step`` is then not used.
    """

    total: Annotated[int, Field(ge=1, le=1_000_000, description="count per side")]
    sides: Annotated[int, Field(ge=1, le=2)] = 1
    step: Count = 1
    max_run: Count | None = None
    programs: Annotated[list[Count], Field(max_length=20, default_factory=list)]


class Side(Model):
    """The runs of one side, in order."""

    side: int
    first_half: list[int]
    second_half: list[int]


class Output(Answer):
    """``excess`` is counted per side; ``presses`` is how often the box is started."""

    runs: list[Side]
    first_total: int
    second_total: int
    excess: int
    excess_percent: float
    presses: int
    reason: str | None = None


def run(question: Input) -> Output:
    """Plan the halves: least excess, most equal, fewest presses, smaller first."""
    with about("step" if not question.programs else "programs"):
        plan = halves.split(
            question.total,
            step=question.step,
            max_run=question.max_run,
            programs=tuple(question.programs),
        )
    return Output(
        runs=[
            Side(
                side=side,
                first_half=list(plan.first),
                second_half=list(plan.second),
            )
            for side in range(1, question.sides + 1)
        ],
        first_total=sum(plan.first),
        second_total=sum(plan.second),
        excess=plan.excess,
        excess_percent=100.0 * plan.excess / question.total,
        presses=plan.presses * question.sides,
        reason=None
        if plan.first
        else "The box cannot halve this count without a larger excess.",
    )
