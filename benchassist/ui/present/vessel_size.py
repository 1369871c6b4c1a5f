"""The form for a vessel measured with a ruler, and the command it stands for."""

from __future__ import annotations

from benchassist.domain import commands as cm
from benchassist.domain.shape import VesselSize
from benchassist.domain.state import Bench
from benchassist.ui.present.forms import NONE, number
from benchassist.ui.view import Field, FormView
from benchassist.ui.words import say

WIDE, DEEP = say("Outside, wide mm"), say("Outside, deep mm")
FLOOR, INSIDE = say("Floor, mm"), say("Inside, cm²")


def form(bench: Bench, error: str = "") -> FormView:
    """Return the form for a vessel measured with a ruler."""
    known = tuple((code, code) for code in bench.vessels) or NONE
    fields = (
        Field("vessel", say("Vessel"), "choice", choices=known),
        Field("wide", WIDE, "number"),
        Field("deep", DEEP, "number", help=say("round: the same")),
        Field("floor", FLOOR, "number", "3"),
        Field("inside", INSIDE, "number", help=say("of its inner floor")),
    )
    note = say("Then the card says how high to fill it before a part goes in.")
    title = say("A vessel by the ruler")
    return FormView("vessel-size", title, fields, say("Enter"), note, error)


def command(values: dict[str, str]) -> cm.MeasureVessel:
    """Return the command; its size is judged where it is decided.

    Raises
    ------
    FormError
        If a value is no number.
    """
    size = VesselSize(
        number(WIDE, values["wide"]),
        number(DEEP, values["deep"]),
        number(FLOOR, values["floor"]),
        number(INSIDE, values["inside"]),
    )
    return cm.MeasureVessel(values["vessel"], size)
