"""How long a chamber is flushed until its oxygen is low enough."""

from typing import Annotated

from pydantic import Field

from benchassist.calculators.model import Answer, Model
from benchassist.physics.purge import purge_s


class Input(Model):
    """Chamber, flow of nitrogen, and the oxygen to be reached, in vol%."""

    chamber_l: Annotated[float, Field(ge=0.05, le=1000)]
    flow_l_min: Annotated[float, Field(ge=0.01, le=1000)]
    target_percent: Annotated[float, Field(ge=0.001, le=100)]


class Output(Answer):
    """Time for a well-mixed chamber that held air; dead corners take longer."""

    s: float


def run(question: Input) -> Output:
    """Return the flushing time."""
    return Output(
        s=purge_s(
            chamber_l=question.chamber_l,
            flow_l_min=question.flow_l_min,
            target_percent=question.target_percent,
        )
    )
