"""The film of liquid that a part carries out of a bath."""

from typing import Annotated

from pydantic import AliasChoices, Field

from benchassist.calculators.model import Answer, Model
from benchassist.physics.wash import drained_film


class Input(Model):
    """The liquid and how fast the part is drawn out of it."""

    viscosity_pa_s: Annotated[float, Field(ge=1e-5, le=1e4)]
    speed_m_s: Annotated[float, Field(ge=1e-6, le=10)]
    tension_n_m: Annotated[float, Field(ge=1e-3, le=1)]
    density_kg_m3: Annotated[
        float,
        Field(
            ge=100,
            le=20_000,
            validation_alias=AliasChoices("density_kg_m3", "density"),
        ),
    ]


class Output(Answer):
    """Film on a smooth vertical plate; dripping and shaking leave less."""

    film_um: float
    capillary_number: float
    reason: str | None = None


def run(question: Input) -> Output:
    """Return the film by the law of Landau and Levich."""
    film = drained_film(
        viscosity_pa_s=question.viscosity_pa_s,
        speed_m_s=question.speed_m_s,
        tension_n_m=question.tension_n_m,
        density_kg_m3=question.density_kg_m3,
    )
    return Output(
        film_um=film.film_um,
        capillary_number=film.capillary_number,
        reason=None
        if film.law_holds
        else "The capillary number is too large for the law: an upper estimate.",
    )
