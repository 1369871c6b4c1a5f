"""Readings, coupons, spectra, dishes and glycerine."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.commands.base import Command, Held
from benchassist.domain.events.shelf import ShelfKind
from benchassist.domain.library import (
    Box,
    Curve,
    Lamp,
    Material,
    Meter,
    Recipe,
    Vessel,
)
from benchassist.value import value


@value
class FileThing(Held, Command):
    """Enter a thing of the shelf, or change one that is there, then with a reason.

    A recipe that is there gets a new revision; parts in flight keep theirs.
    """

    thing: Material | Recipe | Lamp | Box | Vessel | Meter
    reason: str = ""


@value
class RetireThing(Held, Command):
    """Use a thing of the shelf no more, and say why; a recipe by its code."""

    kind: ShelfKind
    code: str
    reason: str


@value
class CheckThing(Held, Command):
    """Say that an entry was read against its papers, by another than entered it."""

    kind: ShelfKind
    code: str


@value
class ReadLamp(Command):
    """Enter a lamp reading taken with the practice's own meter."""

    lamp: str
    reading: float


@value
class RecordCoupon(Command):
    """Enter the result of a coupon of a lamp on a material.

    ``tack_s`` is how long it was tacked (0: not told), ``how`` which way it failed.
    """

    lamp: str
    material: str
    passed: bool
    tack_s: float = 0.0
    how: Literal["", "not set", "tacky at the end"] = ""


@value
class FileSpectrum(Held, Command):
    """File a measured spectrum for a lamp, box or vessel, or an operator's glasses.

    ``reading`` is the meter's reading of a lamp when its spectrum was taken (0: that
    of its baseline).
    """

    role: Literal["lamp", "box", "vessel", "glasses"]
    code: str
    curve: Curve
    reason: str
    reading: float = 0.0


@value
class ShowGlasses(Held, Command):
    """Enter what an operator's glasses let through, as their papers state it."""

    who: str
    title: str
    low_nm: float
    high_nm: float
    transmittance: float


@value
class FitWorkingCurve(Held, Command):
    """Fit a working curve to effective exposures (mJ/cm²) and thicknesses (µm)."""

    lamp: str
    material: str
    points: tuple[tuple[float, float], ...]
    record: str


@value
class RecordSmear(Command):
    """Enter a smear test: a drop dragged after ``seconds`` under a light."""

    material: str
    light: str
    klx: float
    seconds: float


@value
class ChangeDish(Command):
    """Open a dish of wet resin under a light, cover it, or throw its drop away."""

    lot: str
    to: Literal["open", "covered", "thrown away"]
    light: str = ""
    klx: float = 0.0


@value
class FillGlycerine(Held, Command):
    """Empty a vessel and fill it with fresh glycerine of a lot."""

    vessel: str
    lot: str


@value
class CloseLot(Held, Command):
    """A bottle is empty or thrown away: nothing is taken from it any more."""

    lot: str
    reason: str
