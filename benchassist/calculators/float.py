"""Whether a part floats in glycerine, and what holds it down where."""

from typing import Annotated, Literal

from pydantic import AliasChoices, Field

from benchassist.calculators.model import Answer, Model
from benchassist.calculators.shapes import Glycerine
from benchassist.physics.buoyancy import buoyancy

Volume = Annotated[float, Field(ge=1e-6, le=1000, description="cm3")]

HOLD_DOWN = (
    "Hold from the peg, stub or clip, never by a loose weight that presses a coat "
    "down; coat at least 3 mm clear of floor and walls, at least 5 mm of glycerine "
    "over it."
)
ORIENTATION = (
    "Enter with the hollow side facing sideways, after filling it with a syringe or "
    "brush; coated faces touch nothing."
)


class Input(Model):
    """A part and the glycerine it goes into."""

    volume_cm3: Volume
    density_g_cm3: Annotated[
        float,
        Field(ge=0.1, le=20, validation_alias=AliasChoices("density_g_cm3", "density")),
    ]
    trapped_air_cm3: Annotated[float, Field(ge=0, le=1000)] = 0.0
    glycerine: Glycerine = Glycerine()
    glycerine_g_cm3: Annotated[float, Field(ge=0.9, le=1.4)] | None = None


class Output(Answer):
    """Forces in grams-force, upwards positive; about 20 % sure.

    ``air_to_float_cm3`` is the trapped air that would lift a part which sinks.
    """

    net_gf: float
    verdict: Literal["floats", "sinks"]
    hold_down_g: float
    air_to_float_cm3: float
    bubble_to_float_mm: float
    glycerine_g_cm3: float
    orientation: str
    where_to_hold: str


def run(question: Input) -> Output:
    """Weigh the part in glycerine."""
    liquid_g_cm3 = question.glycerine_g_cm3 or question.glycerine.density_g_cm3()
    result = buoyancy(
        volume_cm3=question.volume_cm3,
        density_g_cm3=question.density_g_cm3,
        liquid_g_cm3=liquid_g_cm3,
        trapped_air_cm3=question.trapped_air_cm3,
    )
    return Output(
        net_gf=result.net_gf,
        verdict="floats" if result.floats else "sinks",
        hold_down_g=result.hold_down_g,
        air_to_float_cm3=result.air_to_float_cm3,
        bubble_to_float_mm=result.bubble_to_float_mm,
        glycerine_g_cm3=liquid_g_cm3,
        orientation=ORIENTATION,
        where_to_hold=HOLD_DOWN,
    )
