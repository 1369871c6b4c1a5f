"""The part floats or rose in the glycerine."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.mishaps.kind import (
    YES,
    Answers,
    Branch,
    Case,
    Deviates,
    Mishap,
    Question,
    options,
)
from benchassist.domain.route import SUBMERGED
from benchassist.domain.size import size_of
from benchassist.domain.state import BODY, Bench, InRun, Part
from benchassist.domain.words import layer_words
from benchassist.physics.buoyancy import Buoyancy, buoyancy
from benchassist.physics.vessel import CHAMBER_GAP_MM, COVER_MM, STANDOFF_MM

# [g/cm3] pure, 20 C, handbook; with the water it draws it carries less.
GLYCERINE_G_CM3 = 1.26
VOLUME = Question("Volume of the part? Empty: as its print file.", unit="cm³")
DENSITY = Question("Density of its material? Empty if unknown.", unit="g/cm³")
ROSE = options("Did it float up while the light ran?", "no", YES)
HOLD = (
    "Hold it by the peg, stub or clip, never by a weight on a coat.",
    f"Coat {STANDOFF_MM:.0f} mm off the walls, {COVER_MM:.0f} mm under the surface.",
)


def when(bench: Bench, part: Part) -> bool:
    """Return whether the part lies in glycerine or is about to."""
    return bool(part.immersed_in) or part.stage.kind == "submerge"


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return what buoyancy needs and, after light, whether it rose in it."""
    lit = isinstance(part.phase, InRun) or any(
        part.newest_coat in found.layers and found.half == SUBMERGED
        for found in part.exposures
    )
    return (VOLUME, DENSITY, ROSE) if lit else (VOLUME, DENSITY)


def branch(case: Case) -> Branch:
    """Return the force, what holds the part down, and whether its coat is suspect."""
    part = case.part
    size = size_of(case.bench, part)
    known = size if size.measured else None
    volume = case.number(0) or (known.volume_cm3 if known else None)
    density = case.number(1) or (known.density_g_cm3 if known else None)
    force, numbers = _force(volume, density)
    if known and not case.number(1):
        force = (*force, "Its density is its class's: weigh it to be sure.")
    steps = (*force, *HOLD, *_room(case.bench, part))
    if case.said(2) != YES:
        return Branch("It floats", steps, numbers=numbers, stops=False)
    newest = layer_words(part.newest_coat)
    what = "surface" if part.newest_coat == BODY else newest
    text = f"{part.code}: rose out of the glycerine in the light; {what} met air."
    return Branch(
        "It floated up in the light",
        (f"What floated up was cured in air: its {what} is in doubt.", *steps),
        (ev.CheckAdded(part.code, "tack of the face that rose", "cured in air"),),
        Deviates("floated", (part.code,), text),
        numbers=numbers,
        stops=False,
    )


def _force(
    volume_cm3: float | None, density_g_cm3: float | None
) -> tuple[tuple[str, ...], tuple[tuple[str, float], ...]]:
    if not volume_cm3 or not density_g_cm3:
        return ("Weigh it and sink it: grams and cm³ give the weight to hold.",), ()
    found: Buoyancy = buoyancy(
        volume_cm3=volume_cm3,
        density_g_cm3=density_g_cm3,
        liquid_g_cm3=GLYCERINE_G_CM3,
    )
    numbers = (("net_gf", round(found.net_gf, 3)),)
    if found.floats:
        held = round(found.hold_down_g, 1)
        return (
            f"Floats: {found.net_gf:.2f} gf upwards.",
            f"Stainless steel of at least {held:.1f} g holds it down.",
        ), (*numbers, ("hold_down_g", held))
    air = round(found.air_to_float_cm3, 2)
    return (
        f"Sinks, but fill the hollow side: {air:.2f} cm³ of air floats it.",
        f"That is one bubble of {found.bubble_to_float_mm:.1f} mm: enter sideways.",
    ), (*numbers, ("air_to_float_cm3", air))


def _room(bench: Bench, part: Part) -> tuple[str, ...]:
    vessel, box = bench.vessels.get(part.vessel), bench.boxes.get(part.box)
    if vessel is None or box is None:
        return ()
    most = box.chamber_height_mm - CHAMBER_GAP_MM
    fits = "fits" if vessel.height_mm <= most else "does not fit"
    return (
        f"{vessel.code}, {vessel.height_mm:.0f} mm, {fits} the chamber of {box.code}.",
    )


MISHAP = Mishap("floated", "It floats", when, questions, branch)
