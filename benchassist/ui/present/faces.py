"""Marking the faces to coat: what is marked so far, and the spots it takes."""

from __future__ import annotations

from collections.abc import Mapping

from benchassist.domain import commands as cm
from benchassist.domain.library import SpotFace
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench, Part
from benchassist.ui.present.fill import Gap, held
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import value

SIDES = ("top", "front", "right", "back", "left", "bottom")
NAMES = {
    "top": say("from above"),
    "front": say("from the front"),
    "right": say("from the right"),
    "back": say("from behind"),
    "left": say("from the left"),
    "bottom": say("from below"),
}
ASK = say("The print file, .stl, .3mf or .obj")


@value
class OpenSkin:
    """Read the print file again, to be looked at; an empty path asks with a picker."""

    path: str = ""


@value
class Look:
    """Look from a side."""

    side: str


@value
class Mark:
    """Mark or clear all that is seen from here, or turn the brush round."""

    what: str


def pitch_mm(bench: Bench) -> float:
    """Return from spot to spot: a useful beam less its overlap."""
    return limit(bench, "beam_mm") * (1 - limit(bench, "spot_overlap"))


def faces_of(found: Mapping[str, int]) -> tuple[SpotFace, ...]:
    """Return the marked faces, in the order in which sides are looked from."""
    return tuple(SpotFace(side, found[side]) for side in SIDES if side in found)


def first(part: Part) -> tuple[Option, ...]:
    """Return what is offered while there is nothing to look at yet."""
    del part
    typed = Gap(OpenSkin(), "path")
    return (
        Option(say("Look for the print file"), "1", OpenSkin(), tone="attention"),
        Option(say("Type the print file's name"), "2", typed, needs_text=ASK),
    )


def options(
    part: Part, side: str, found: Mapping[str, int], area_mm2: float, *, rubs: bool
) -> tuple[Option, ...]:
    """Return the sides, the brush and the act."""
    sides = [
        Option(
            NAMES[each],
            str(n),
            Look(each),
            tone="attention" if each == side else "plain",
        )
        for n, each in enumerate(SIDES, start=1)
    ]
    brush = say("The brush rubs out") if rubs else say("The brush marks")
    out = [
        *sides,
        Option(say("All seen from here"), "7", Mark("all")),
        Option(say("Nothing from here"), "8", Mark("none")),
        Option(brush, "9", Mark("turn")),
    ]
    faces = faces_of(found)
    if found and faces != part.faces:
        spots = sum(face.spots for face in faces)
        command = cm.MarkFaces(part.code, faces, round(area_mm2, 1))
        told = say("Coat these: {spots} spots", spots=spots)
        out.append(held(told, command))
    return tuple(out)


def told(
    bench: Bench, part: Part, found: Mapping[str, int], area_mm2: float
) -> tuple[str, ...]:
    """Return what is marked, in lines."""
    usual = sum(face.spots for face in bench.recipe_of(part).faces)
    if not found:
        return (
            say("Mark with a finger or the mouse, or take all that is seen: 7."),
            say("Never the fitting surface, 0.5 mm off the margin."),
            say("The recipe walks {usual} spots.", usual=usual),
        )
    each = ", ".join(f"{NAMES[face.title]} {face.spots}" for face in faces_of(found))
    return (
        say("Marked: {area} mm².", area=f"{area_mm2:.0f}"),
        say("Spots {each}.", each=each),
        say(
            "{pitch} mm from spot to spot; the recipe walks {usual}.",
            pitch=f"{pitch_mm(bench):g}",
            usual=usual,
        ),
    )
