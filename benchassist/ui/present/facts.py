"""What is known of a part beside its stages: photos, its print file, a note."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.mishaps.rework import COAT_UM
from benchassist.domain.names import person_in
from benchassist.domain.shape import PartShape
from benchassist.domain.size import size_of
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import Typed
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import value

NOTE = say("The note; codes and shop words, never a name")
PHOTO = say("The photo's file, .jpg or .png")
FILE = say("The print file, .stl, .3mf or .obj")


@value
class AddPhoto:
    """Take the photo in a file; an empty path asks for it with a picker."""

    path: str = ""


@value
class ReadPrint:
    """Read a print file; an empty path asks for it with a picker."""

    path: str = ""


@value
class TurnUnit:
    """Take the print file in the next unit."""


@value
class SayNote:
    """Write the note of the part in front; ``sure``: what reads like a name is none."""

    text: str = ""
    sure: bool = False


def options(bench: Bench, part: Part, unit: str, doubt: str) -> tuple[Option, ...]:
    """Return what can be told of a part; ``doubt`` is a note that reads like a name."""
    photo, solid = Gap(AddPhoto(), "path"), Gap(ReadPrint(), "path")
    out = [
        Option(say("Look for a photo"), "1", AddPhoto()),
        Option(say("Type a photo's name"), "2", photo, needs_text=PHOTO),
        Option(say("Look for the print file"), "3", ReadPrint()),
        Option(say("Type the print file's name"), "4", solid, needs_text=FILE),
        Option(say("One unit of a file is 1 {unit}", unit=unit), "5", TurnUnit()),
    ]
    coated = bench.recipe_of(part).coats > 0 and not part.work
    if coated and part.shape is not None:
        out.append(Option(say("Mark the faces to coat"), "6", OpenPage("faces")))
    if coated and part.faces:
        again = cm.MarkFaces(part.code)
        out.append(Option(say("Faces as the recipe says"), "7", again, hold=True))
    if doubt:
        keep = SayNote(doubt, sure=True)
        out.append(Option(say("It is no name: keep the note"), "8", keep))
    else:
        note = Gap(SayNote(), "text")
        out.append(Option(say("Write a note"), "8", note, needs_text=NOTE))
    return tuple(out)


def lines(bench: Bench, part: Part) -> tuple[str, ...]:
    """Return what is on record of a part, a line each."""
    told = [say("Note: {note}", note=Typed(part.note))] if part.note else []
    shape = part.shape
    if shape is None:
        size = size_of(bench, part)
        told.append(
            say(
                "No print file: taken as {area} cm², {volume} cm³, as usual for its"
                " class.",
                area=f"{size.area_cm2:g}",
                volume=f"{size.volume_cm3:g}",
            )
        )
    else:
        told += shape_lines(shape)
    if part.faces:
        faces = ", ".join(f"{face.title} {face.spots}" for face in part.faces)
        told.append(say("Coated where marked: {faces} spots.", faces=faces))
    return tuple(told)


def shape_lines(shape: PartShape) -> tuple[str, ...]:
    """Return what a print file says, and what it leads to."""
    low, high = (shape.area_cm2 * um * 1e-4 for um in COAT_UM)
    facts = {
        "file": shape.digest[:8],
        "area": f"{shape.area_cm2:.1f}",
        "volume": f"{shape.volume_cm3:.2f}",
    }
    return (
        say("Print file {file}: skin {area} cm², volume {volume} cm³.", **facts)
        if shape.watertight
        else say(
            "Print file {file}: skin {area} cm², NOT closed: at most {volume} cm³, of"
            " its hull.",
            **facts,
        ),
        say(
            "{wide} × {deep} mm, {high} high (1 unit is 1 {unit}).",
            wide=f"{shape.width_mm:.1f}",
            deep=f"{shape.depth_mm:.1f}",
            high=f"{shape.height_mm:.1f}",
            unit=shape.unit,
        ),
        say(
            "A coat all over it takes {low} to {high} mL.",
            low=f"{low:.3f}",
            high=f"{high:.3f}",
        ),
    )


def doubtful(text: str, now: Instant) -> str:
    """Return one sentence where a note reads like a person, else nothing."""
    return person_in(text, year=now.local().year)
