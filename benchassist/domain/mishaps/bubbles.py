"""Bubbles in the glycerine or on the coat: wait, or brush them off."""

from __future__ import annotations

from benchassist.domain.coat import coat_state
from benchassist.domain.limits import limit
from benchassist.domain.mishaps import touched
from benchassist.domain.mishaps.kind import (
    YES,
    Answers,
    Branch,
    Case,
    Mishap,
    Question,
    options,
)
from benchassist.domain.state import Bench, Part
from benchassist.physics.bubbles import SMALLEST_WORTH_WAITING_MM, rise
from benchassist.physics.glycerine import density_kg_m3, viscosity_pa_s

PURE = 100.0  # [% by mass] water makes it thinner and the wait shorter
MINUTE_S = 60
ON_COAT = "on the coat"
SIZE = Question("Smallest bubble? Empty if unknown.", unit="mm")
DEPTH = Question("Glycerine over it? Empty if unknown.", unit="mm")
WHERE = options("Where are they?", "rising in the glycerine", ON_COAT)
CRATER = options("Did one leave a crater in the coat?", "no", YES)


def when(bench: Bench, part: Part) -> bool:
    """Return whether the part lies in glycerine, or did."""
    under = bool(part.immersed_in) or part.stage.kind == "submerge"
    return under or coat_state(part) == "cured"


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return size and depth before the cure, the crater after it."""
    return (CRATER,) if coat_state(part) == "cured" else (WHERE, SIZE, DEPTH)


def branch(case: Case) -> Branch:
    """Return how long a bubble takes, or that waiting never pays."""
    if coat_state(case.part) == "cured":
        return touched.by_state(case, "Bubble on the coat", case.said(0))
    size, depth = case.number(1), case.number(2)
    brush = "Brush it off below the surface; do not touch the coat."
    if case.said(0) == ON_COAT:
        steps = (brush, "A bubble on the coat is air on it: it leaves a crater.")
        return Branch("Bubble on the coat", steps, stops=False)
    if not size or not depth:
        return Branch("Bubbles", (brush,), stops=False)
    celsius = limit(case.bench, "room_celsius")
    found = rise(
        diameter_mm=size,
        depth_mm=depth,
        viscosity_pa_s=viscosity_pa_s(wt_percent=PURE, celsius=celsius),
        density_kg_m3=density_kg_m3(wt_percent=PURE, celsius=celsius),
    )
    minutes = found.rise_s / MINUTE_S
    told = f"{size:g} mm rise {depth:g} mm in {minutes:.1f} min at {celsius:.0f} °C."
    small = size < SMALLEST_WORTH_WAITING_MM
    then = "Do not wait for it." if small else "Wait so long, or brush it off."
    return Branch(
        "Bubbles: brush them off" if small else "Bubbles: wait or brush off",
        (told, then, brush),
        numbers=(("rise_min", round(minutes, 1)),),
        stops=False,
    )


MISHAP = Mishap("bubbles", "Bubbles", when, questions, branch)
