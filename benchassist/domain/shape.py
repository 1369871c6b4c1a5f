"""Sizes as told: of a part by its print file, of a vessel and a box by a ruler.

Plain frozen values, told by a hand and kept in the journal; nothing is computed here.
"""

from __future__ import annotations

from benchassist.value import value

MOST_OUTLINE = 64  # [points] of an outline: enough to draw it
MOST_PLACES = 12  # [places] in one box


@value
class PartShape:
    """What a print file says of a part, and the SHA-256 of that file.

    ``volume_mm3`` is that of the convex hull, which is more, where the skin is not
    closed (``watertight``). ``height_mm`` is along the printer's z; ``outline_mm`` the
    convex outline seen from above. ``unit`` is what a hand said one unit is.
    """

    digest: str
    unit: str
    area_mm2: float
    volume_mm3: float
    watertight: bool
    width_mm: float
    depth_mm: float
    height_mm: float
    outline_mm: tuple[tuple[float, float], ...] = ()

    @property
    def area_cm2(self) -> float:
        """Return the skin in cm²."""
        return self.area_mm2 / 100

    @property
    def volume_cm3(self) -> float:
        """Return the volume in cm³."""
        return self.volume_mm3 / 1000


@value
class VesselSize:
    """A vessel by a ruler: outer footprint, floor, and inner cross-section."""

    wide_mm: float
    deep_mm: float
    floor_mm: float
    inside_cm2: float


@value
class BoxPlace:
    """A place on the shelf of a box: its mark, its centre and the room it has."""

    name: str
    x_mm: float
    y_mm: float
    wide_mm: float
    deep_mm: float

    def meets(self, other: BoxPlace, gap_mm: float = 0.0) -> bool:
        """Return whether two places overlap, or lie nearer than a gap."""
        across = (self.wide_mm + other.wide_mm) / 2 + gap_mm
        along = (self.deep_mm + other.deep_mm) / 2 + gap_mm
        return (
            abs(self.x_mm - other.x_mm) < across and abs(self.y_mm - other.y_mm) < along
        )


@value
class BoxPlan:
    """The shelf of a box from above: its size, its places, and a photo of it."""

    wide_mm: float
    deep_mm: float
    places: tuple[BoxPlace, ...] = ()
    photo: str = ""
