"""The form for a vessel measured with a ruler, and the command it stands for."""

from __future__ import annotations

from typing import Any

from benchassist.domain import commands as cm
from benchassist.domain.shape import VesselSize
from benchassist.domain.state import Bench
from benchassist.ui.present.forms import Form, Row, on_shelf
from benchassist.ui.words import say


def _measured(_bench: Bench, read: dict[str, Any]) -> cm.MeasureVessel:
    """Return the command; its size is judged where it is decided."""
    size = VesselSize(read["wide"], read["deep"], read["floor"], read["inside"])
    return cm.MeasureVessel(read["vessel"], size)


VESSEL_SIZE = Form(
    "vessel-size",
    say("A vessel by the ruler"),
    (
        Row("vessel", say("Vessel"), choices=on_shelf("vessel")),
        Row("wide", say("Outside, wide mm"), "reading"),
        Row("deep", say("Outside, deep mm"), "reading", say("round: the same")),
        Row("floor", say("Floor, mm"), "reading", start="3"),
        Row("inside", say("Inside, cm²"), "reading", say("of its inner floor")),
    ),
    _measured,
    say("Then the card says how high to fill it before a part goes in."),
    say("Enter"),
    "shelf-acts",
)
