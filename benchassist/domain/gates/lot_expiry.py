"""A lot past its day is not used; a mix is as old as its oldest parent."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.layer import lot_for
from benchassist.domain.library import lineage
from benchassist.domain.state import Bench

NEVER = "9999-12-31"


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the lot this stage uses, at the moment of use."""
    layer = ask.stage.layer or "body"
    lot = lot_for(ask.part, layer)
    if layer != "body" and not lot:
        return Verdict(
            "fail", f"No lot is chosen for {layer}.", (), "Choose the lot by hand."
        )
    last = last_day(bench, lot)
    if last < now.day():
        return Verdict(
            "fail", f"Lot {lot} expired on {last}.", (), "Take a lot that is in date."
        )
    return passed(f"Lot {lot} is in date." if lot else "No lot is used.")


def last_day(bench: Bench, lot: str) -> str:
    """Return the last day a lot may be used, as ``YYYY-MM-DD``."""
    days = (bench.lots[code].expires for code in lineage(bench.lots, lot))
    return min((day for day in days if day), default=NEVER)


GATE = Gate(
    "lot-expiry",
    "Lot in date",
    acceptable=False,
    check=check,
    why=(
        "Old resin sets differently, and nobody could answer for it. A mix is "
        "as old as its oldest part."
    ),
)
