"""What a practice sets for itself: how codes are written, a limit, a vessel's size."""

from __future__ import annotations

from typing import Any

from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain.limits import LIMITS, limit, limit_on
from benchassist.domain.shape import VesselSize
from benchassist.domain.state import Bench
from benchassist.ui.present.forms import Form, Row, alone, as_read, on_shelf
from benchassist.ui.words import say

IMMERSIONS = "glycerine_immersions"


def _limit(_bench: Bench, read: dict[str, Any]) -> cm.SetLimit:
    return cm.SetLimit(IMMERSIONS, **read)


def _holds(bench: Bench) -> str:
    """Return what holds now: by a record until its day, else without one."""
    if bench.latest is None:
        return f"{limit(bench, IMMERSIONS):g}"
    return f"{limit_on(bench, IMMERSIONS, bench.latest):g}"


def _limit_now(bench: Bench) -> str:
    """Return what holds: without a record, and by one until its day."""
    told = say("{limit:g} without a record", limit=limit(bench, IMMERSIONS))
    found = bench.validated.get(IMMERSIONS)
    if found is not None:
        record, until = found.record, found.until
        told += ", " + say("{record}, to {until}", record=record, until=until)
    rule = say(
        "Fewer: with a reason. More: only by a validation record, until its day."
    )
    return f"{told}. {rule}"


def _shapes_now(bench: Bench) -> str:
    shapes = [f"{kind} {shape}" for kind, shape in bench.code_shapes.items() if shape]
    told = ", ".join(shapes) if shapes else say("as they come")
    rule = say("A code that does not fit is refused, with how to write it.")
    return f"{told}. {rule}"


def _measured(_bench: Bench, read: dict[str, Any]) -> cm.MeasureVessel:
    """Return the command; its size is judged where it is decided."""
    size = VesselSize(read["wide"], read["deep"], read["floor"], read["inside"])
    return cm.MeasureVessel(read["vessel"], size)


CODE_SHAPE = Form(
    "code-shape",
    say("How codes are written"),
    (
        Row("kind", say("Codes of"), choices=alone(codes.EXAMPLES)),
        Row("shape", say("Shape"), help=say("# a digit, @ a letter, * the rest")),
        Row("reason", say("Why"), help=say("Why codes are written so")),
    ),
    as_read(cm.SetCodeShape),
    _shapes_now,
    back="shelf-acts",
)
GLYCERINE_LIMIT = Form(
    "glycerine-limit",
    say("Glycerine limit"),
    (
        Row(
            "value",
            say("Immersions"),
            "reading",
            say("as delivered {default:g}", default=LIMITS[IMMERSIONS].default),
            _holds,
        ),
        Row("document", say("Document"), help=say("Name of the validation document")),
        Row("revision", say("Revision"), help=say("Its revision")),
        Row("record", say("Record number"), help=say("of the validation")),
        Row("until", say("Holds to"), "day", say("2027-03-31, or empty")),
        Row("reason", say("Why"), help=say("it stays on the record")),
    ),
    _limit,
    _limit_now,
    back="shelf-acts",
)
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
