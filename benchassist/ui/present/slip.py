"""What a slip says of a tooth and a jaw, and what a print file says beside it."""

from __future__ import annotations

from benchassist.domain import codes
from benchassist.domain.shape import PartShape
from benchassist.domain.state import Bench
from benchassist.mesh.reading import Unit
from benchassist.ui.words import say

JAWS = ("upper", "lower")
UNITS: tuple[Unit, ...] = ("mm", "cm", "inch", "m")


def next_unit(unit: Unit, by: int = 1) -> Unit:
    """Return the unit of a print file that comes ``by`` after another."""
    return UNITS[(UNITS.index(unit) + by) % len(UNITS)]


def read(typed: str) -> tuple[str, str]:
    """Return the teeth, one for each with commas, and the jaw that were typed."""
    words = typed.lower().replace(",", " ").split()
    jaw = next((word for word in words if word in JAWS), "")
    if not jaw:
        return typed.replace(", ", ",").strip(), ""
    return ",".join(word for word in words if word not in JAWS), jaw


def amiss(bench: Bench, teeth: str) -> str:
    """Return why these are no teeth as the practice writes them, or nothing."""
    told = (each.strip() for each in teeth.split(","))
    return next((why for each in told if each and (why := _why(bench, each))), "")


def _why(bench: Bench, tooth: str) -> str:
    return codes.tooth_amiss(bench, tooth)


def file_words(shape: PartShape | None, unit: str, count: int) -> tuple[str, str]:
    """Return what the row of the print file says, and its note."""
    if count > 1:
        return "–", say("one for each: later, keys C, 9, 4")
    if shape is None:
        return "–", say("none needed; or drop it here")
    told = say(
        "{area} cm², {volume} cm³, {high} mm high",
        area=f"{shape.area_cm2:.1f}",
        volume=f"{shape.volume_cm3:.2f}",
        high=f"{shape.height_mm:.1f}",
    )
    closed = say("closed") if shape.watertight else say("NOT closed")
    return told, say("{closed}; unit {unit}", closed=closed, unit=unit)
