"""Tell what is known of a part beside its stages, and of the room it needs."""

from __future__ import annotations

from benchassist.domain.commands.base import Command, Held
from benchassist.domain.library import SpotFace
from benchassist.domain.shape import BoxPlan, PartShape, VesselSize
from benchassist.value import value


@value
class MeasurePart(Command):
    """Put the shape of a part's print file on its record."""

    part: str
    shape: PartShape


@value
class MarkFaces(Held, Command):
    """Say which faces of a part are coated, by marking them; none: as the recipe."""

    part: str
    faces: tuple[SpotFace, ...] = ()
    area_mm2: float = 0.0


@value
class KeepPhoto(Command):
    """Put a photo, kept beside the journal, on a part's record by its digest."""

    part: str
    digest: str
    note: str = ""


@value
class NotePart(Command):
    """Write a note on a part; ``sure`` says that what looks like a name is none."""

    part: str
    text: str
    sure: bool = False


@value
class MeasureVessel(Held, Command):
    """Say how large a vessel is, by a ruler."""

    vessel: str
    size: VesselSize


@value
class DrawPlaces(Held, Command):
    """Say where the places of a box are, and keep a photo of its shelf."""

    box: str
    plan: BoxPlan
