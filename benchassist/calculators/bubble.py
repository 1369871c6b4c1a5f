"""How long a bubble takes to rise out of glycerine, and whether to wait for it."""

from typing import Annotated, Literal

from pydantic import Field

from benchassist.calculators.model import Answer, Model
from benchassist.calculators.shapes import Glycerine
from benchassist.physics.bubbles import SMALLEST_WORTH_WAITING_MM, rise


class Input(Model):
    """The smallest bubble that can be seen, and the glycerine above it."""

    diameter_mm: Annotated[float, Field(ge=0.001, le=20)]
    depth_mm: Annotated[float, Field(ge=1e-6, le=1000)]
    glycerine: Glycerine = Glycerine()


class Output(Answer):
    """``advice`` for a bubble in the bath; one on the coat is always brushed off."""

    rise_s: float
    speed_mm_s: float
    viscosity_pa_s: float
    reynolds: float
    advice: Literal["wait or brush off", "brush off"]
    why: str
    reason: str | None = None


def run(question: Input) -> Output:
    """Return the time by Stokes' law."""
    viscosity_pa_s = question.glycerine.viscosity_pa_s()
    result = rise(
        diameter_mm=question.diameter_mm,
        depth_mm=question.depth_mm,
        viscosity_pa_s=viscosity_pa_s,
        density_kg_m3=question.glycerine.density_g_cm3() * 1e3,
    )
    small = question.diameter_mm < SMALLEST_WORTH_WAITING_MM
    return Output(
        rise_s=result.rise_s,
        speed_mm_s=result.speed_mm_s,
        viscosity_pa_s=viscosity_pa_s,
        reynolds=result.reynolds,
        advice="brush off" if small else "wait or brush off",
        why=(
            f"Below {SMALLEST_WORTH_WAITING_MM:g} mm a bubble rises too slowly to wait "
            "for; brush it off below the surface."
            if small
            else "Wait this long, or brush it off below the surface."
        ),
        reason=None
        if result.stokes_holds
        else "The bubble is too fast for Stokes' law; it takes longer than this.",
    )
