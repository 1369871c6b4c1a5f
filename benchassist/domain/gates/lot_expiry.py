"""A lot past its day is not used; a mix is as old as its oldest parent."""

from collections.abc import Iterator

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.layer import lot_for
from benchassist.domain.library import lineage
from benchassist.domain.state import Bench

MS_A_DAY = 86_400_000
NEVER = "9999-12-31"


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the lot this stage uses, at the moment of use."""
    layer = ask.stage.layer or "body"
    lot = lot_for(ask.part, layer)
    if layer != "body" and not lot:
        return Verdict(
            "fail", f"No lot is chosen for {layer}.", (), "Choose the lot by hand."
        )
    if layer != "body" and lot in bench.closed_lots:
        return Verdict(
            "fail",
            f"Lot {lot} was put away on {bench.closed_lots[lot]}.",
            (),
            "Take the bottle in hand: choose its lot.",
        )
    last = last_day(bench, lot)
    if last < now.day():
        return Verdict(
            "fail", f"Lot {lot} expired on {last}.", (), "Take a lot that is in date."
        )
    return passed(f"Lot {lot} is in date." if lot else "No lot is used.")


def last_day(bench: Bench, lot: str) -> str:
    """Return the last day a lot may be used, as ``YYYY-MM-DD``."""
    days = (day for code in lineage(bench.lots, lot) for day in _days(bench, code))
    return min((day for day in days if day), default=NEVER)


def _days(bench: Bench, lot: str) -> Iterator[str]:
    """Yield a lot's printed day, and those that opening and decanting set."""
    found = bench.lots[lot]
    yield found.expires
    keeping, bottle = bench.keeping.get(found.material), bench.bottles.get(lot)
    if keeping is None or bottle is None:
        return
    lives = (
        (bottle.opened, keeping.open_days),
        (bottle.decanted, keeping.decanted_days),
    )
    for since, days in lives:
        if since is not None and days:
            yield since.plus(round(days * MS_A_DAY)).day()


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
