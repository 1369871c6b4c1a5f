"""How large a part is, by its print file or by its class, and whether it has room.

Common practice, no source, but for what a print file or a ruler says; cured unfilled
resins 1.16 to 1.20 g/cm³ from memory.
"""

from __future__ import annotations

from collections.abc import Sequence

from benchassist.domain.state import Bench, Part
from benchassist.physics.vessel import Fit, fit
from benchassist.value import value


@value
class Size:
    """A part's volume, height, density, resin carried into the wash, and skin.

    ``measured`` says that its print file was read; the density is its class's still.
    """

    volume_cm3: float
    height_mm: float
    density_g_cm3: float
    carried_g: float
    area_cm2: float
    measured: bool = False


SIZES: dict[str, Size] = {
    "crown": Size(0.45, 10.0, 1.52, 0.055, 5.0),
    "bridge": Size(1.5, 10.0, 1.52, 0.17, 15.0),
    "veneer": Size(0.15, 10.0, 1.52, 0.03, 3.0),
    "splint": Size(12.0, 14.0, 1.19, 1.3, 80.0),
    "denture": Size(18.0, 20.0, 1.19, 1.5, 90.0),
}
USUAL = Size(1.0, 12.0, 1.19, 0.1, 10.0)


def size_of(bench: Bench, part: Part | None) -> Size:
    """Return how large a part is: by its print file, else by its class of item."""
    told = bench.recipe_of(part).item_class.lower() if part else ""
    usual = next((size for word, size in SIZES.items() if word in told), USUAL)
    shape = part.shape if part else None
    if shape is None:
        return usual
    film = usual.carried_g / usual.area_cm2
    return Size(
        volume_cm3=shape.volume_cm3,
        height_mm=shape.height_mm,
        density_g_cm3=usual.density_g_cm3,
        carried_g=film * shape.area_cm2,
        area_cm2=shape.area_cm2,
        measured=True,
    )


@value
class Room:
    """Whether parts have room in a vessel and it in a box; ``sure``: all measured."""

    fit: Fit
    vessel_mm: float
    chamber_mm: float
    sure: bool


def room_for(bench: Bench, parts: Sequence[Part]) -> Room | None:
    """Return what room parts have in the vessel of the first; None: not known.

    The vessel's floor and inner cross-section are told by a ruler, its height and
    the chamber's are on file.
    """
    if not parts:
        return None
    first = parts[0]
    vessel, box = bench.vessels.get(first.vessel), bench.boxes.get(first.box)
    measured = bench.vessel_sizes.get(first.vessel)
    if vessel is None or box is None or measured is None:
        return None
    sizes = [size_of(bench, part) for part in parts]
    found = fit(
        vessel_mm=vessel.height_mm,
        floor_mm=measured.floor_mm,
        part_mm=max(size.height_mm for size in sizes),
        chamber_mm=box.chamber_height_mm,
        vessel_area_cm2=measured.inside_cm2,
        part_cm3=sum(size.volume_cm3 for size in sizes),
    )
    sure = all(size.measured for size in sizes)
    return Room(found, vessel.height_mm, box.chamber_height_mm, sure)
