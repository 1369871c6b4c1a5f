"""What is known of a part beside its stages, and of the room it needs."""

from __future__ import annotations

from benchassist.domain.events.base import Event, FreeText
from benchassist.domain.library import SpotFace
from benchassist.domain.shape import BoxPlan, PartShape, VesselSize
from benchassist.value import value


@value
class PartMeasured(Event):
    """A part's print file was read: its shape, and the digest of the file."""

    part: str
    shape: PartShape


@value
class FacesMarked(Event):
    """The faces to be coated were marked by hand, with the spots that cover them.

    ``area_mm2`` is the marked skin. No faces: as the recipe says again.
    """

    part: str
    faces: tuple[SpotFace, ...]
    area_mm2: float


@value
class PhotoKept(Event):
    """A photo of a part was kept beside the journal, under its digest."""

    part: str
    digest: str
    note: FreeText = ""


@value
class PartNoted(Event):
    """A note on a part; the newest stands, the older ones are in its story."""

    part: str
    text: FreeText


@value
class VesselMeasured(Event):
    """A vessel was measured with a ruler."""

    vessel: str
    size: VesselSize


@value
class PlacesDrawn(Event):
    """The places on the shelf of a box were drawn, in place of those before."""

    box: str
    plan: BoxPlan
