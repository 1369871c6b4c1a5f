"""A lot past its day is not used; a mix is as old as its oldest parent.

What was printed was used on the day of its printing: what expired since is nothing to
the part, and what had expired then no hand undoes at the bath. That is a deviation.
"""

from collections.abc import Iterator

from benchassist.clock import DAY_MS, Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.layer import lot_for
from benchassist.domain.library import lineage
from benchassist.domain.state import Bench, Part

NEVER = "9999-12-31"
PRINTED_LATE = "print-lot-expired"  # the deviation of what had expired then


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the lot this stage uses, at the moment of use."""
    layer = ask.stage.layer
    if not layer:
        return passed(_of_print(bench, ask.part))
    lot = lot_for(ask.part, layer)
    if not lot:
        return failed(f"No lot is chosen for {layer}.", "Choose the lot by hand.")
    if lot in bench.closed_lots:
        return failed(
            f"Lot {lot} was put away on {bench.closed_lots[lot]}.",
            "Take the bottle in hand: choose its lot.",
        )
    last = last_day(bench, lot)
    if last < now.day():
        return failed(f"Lot {lot} expired on {last}.", "Take a lot that is in date.")
    return passed(_in_date(lot, last))


def _in_date(lot: str, last: str) -> str:
    if last == NEVER:
        return f"Lot {lot}: no expiry on file."
    return f"Lot {lot} is in date until {last}."


def _of_print(bench: Bench, part: Part) -> str:
    """Return how the print lot stood on the day of printing."""
    lot = part.print_lot
    if not lot:
        return "The print lot is not known: no release without it."
    last = last_day(bench, lot)
    if last < part.printed:
        return f"Lot {lot} had expired on {last}; printed on {part.printed}."
    return f"Printed on {part.printed}. {_in_date(lot, last)}"


def expired_at_printing(bench: Bench, lot: str, printed: str) -> str:
    """Return the last day of a lot if it was past when it was printed with, else ""."""
    last = last_day(bench, lot) if lot else NEVER
    return last if last < printed else ""


def last_day(bench: Bench, lot: str) -> str:
    """Return the last day a lot may be used, as ``YYYY-MM-DD``."""
    parents = lineage(bench.lots, lot)
    days = [day for code in parents for day in _days(bench, code) if day]
    return min(days, default=NEVER)


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
            yield since.plus(round(days * DAY_MS)).day()


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
