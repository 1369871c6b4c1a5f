"""What coupons tested here still say: which one holds, and what ended the others.

Its days are events (``CouponEnded``); here is what depends on how the bench stands:
lot, meter, room, thickness. The rules are common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta

from benchassist.domain.events import CouponRecorded
from benchassist.domain.library import Coupon
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench, Tested
from benchassist.value import value

GOOD_DAYS = 90
METER_OFF = 0.1
ROOM_CELSIUS = (18.0, 28.0)
ROUNDING = 1e-9


@value
class Tests:
    """The coupons of a lamp on a material, from the view of one lot.

    ``holding`` are those that hold for it, the newest first; ``ended`` says why the
    newest does not, where none holds; ``any`` whether one has ever passed;
    ``against`` is a tab that failed and was not explained yet.
    """

    holding: tuple[Coupon, ...] = ()
    ended: str = ""
    any: bool = False
    against: CouponRecorded | None = None

    @property
    def holds(self) -> Coupon | None:
        """The newest that holds."""
        return self.holding[0] if self.holding else None


def tests_of(bench: Bench, lamp: str, lot: str) -> Tests:
    """Return what coupons of ``lamp`` on the material of a lot say of it."""
    known = bench.lots.get(lot)
    key = (lamp, known.material if known else "")
    on_file = [
        each
        for each in bench.tested.get(key, ())
        if each.coupon.held_s and not each.coupon.void
    ]
    against = bench.against.get(key)
    why = {each.coupon.id: over(bench, each, lot) for each in on_file}
    holding = tuple(e.coupon for e in reversed(on_file) if not why[e.coupon.id])
    ended = "" if holding or not on_file else why[on_file[-1].coupon.id]
    return Tests(holding, ended, any=bool(on_file), against=against)


def over(bench: Bench, tested: Tested, lot: str) -> str:
    """Return why a coupon does not hold for ``lot`` now, empty where it does."""
    coupon = tested.coupon
    if tested.ended:
        return tested.ended
    if coupon.top_s and not coupon.finished:
        return f"the skin stayed soft at the end after {coupon.top_s:g} s"
    if lot != coupon.lot:
        return f"lot {lot} was not tested: three thin tabs at {coupon.star_s} s"
    low, high = ROOM_CELSIUS
    if not low <= limit(bench, "room_celsius") <= high:
        return f"the room is not between {low:g} and {high:g} °C"
    if limit(bench, "coat_um") != coupon.coat_um:
        return f"coats of {limit(bench, 'coat_um'):g} µm were not tested"
    reading = bench.readings.get(coupon.lamp)
    if coupon.reading and reading is not None:
        off = abs(reading.value / coupon.reading - 1)
        if off > METER_OFF + ROUNDING:
            return f"the meter reads {off:.0%} off the coupon's day"
    return ""


def good_until(coupon: Coupon, day: str) -> str:
    """Return the last day a coupon of ``day`` may hold: without a meter that day."""
    days = GOOD_DAYS if coupon.reading else 0
    return (date.fromisoformat(day) + timedelta(days=days)).isoformat()


def newest_of_another_lot(
    bench: Bench, lamp: str, material: str, lot: str
) -> Tested | None:
    """Return the newest coupon that holds for the lot it was tested with.

    None where ``lot`` needs no short test, or has nothing to go by.
    """
    for each in reversed(bench.tested.get((lamp, material), ())):
        coupon = each.coupon
        usable = coupon.held_s and not coupon.void and coupon.lot != lot
        if usable and not over(bench, each, coupon.lot):
            return each
    return None
