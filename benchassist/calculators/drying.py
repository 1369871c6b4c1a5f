"""How near a wet part's vapour comes to the lower explosive limit in a closed box."""

from typing import Annotated, Literal

from pydantic import Field

from benchassist.calculators.model import Answer, Model
from benchassist.physics.drying import ETHANOL, ISOPROPANOL, Solvent, vapour

SOLVENTS = {solvent.name: solvent for solvent in (ISOPROPANOL, ETHANOL)}


class Input(Model):
    """A wet part and the chamber it is put into."""

    area_cm2: Annotated[float, Field(ge=0, le=1e4)]
    film_um: Annotated[float, Field(ge=0, le=1e4)]
    chamber_l: Annotated[float, Field(ge=0.05, le=1000)]
    solvent: Literal["isopropanol", "ethanol"] = "isopropanol"


class Output(Answer):
    """Vapour if all of the film evaporates and mixes; near the part it is richer."""

    liquid_ml: float
    vapour_percent: float
    fraction_of_lower_explosive_limit: float
    lower_explosive_percent: float
    liquid_at_limit_ml: float
    advice: str
    reason: str | None = None


def _saturated(percent: float, solvent: Solvent) -> str | None:
    """Return that air holds no more vapour than this: the rest stays liquid."""
    if percent <= solvent.saturated_percent:
        return None
    return (
        f"Air holds {solvent.saturated_percent:.2g} % at most at 20 °C; the rest stays "
        "liquid. Are area, film and chamber in cm2, um and litres?"
    )


def run(question: Input) -> Output:
    """Return the vapour as a share of the limit; no share is a licence."""
    solvent = SOLVENTS[question.solvent]
    result = vapour(
        area_cm2=question.area_cm2,
        film_um=question.film_um,
        chamber_l=question.chamber_l,
        solvent=solvent,
    )
    return Output(
        liquid_ml=result.liquid_ml,
        vapour_percent=result.vapour_percent,
        fraction_of_lower_explosive_limit=result.fraction_of_lower_explosive_limit,
        lower_explosive_percent=solvent.lower_explosive_percent,
        liquid_at_limit_ml=result.liquid_at_limit_ml,
        reason=_saturated(result.vapour_percent, solvent),
        advice="Dry the part fully before it goes into the box, whatever the share.",
    )
