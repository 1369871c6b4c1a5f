"""What a new store takes over from a damaged one beside its shelf."""

from __future__ import annotations

from typing import ClassVar

from benchassist.clock import Instant
from benchassist.domain.events.base import Event, Level, Numbers
from benchassist.domain.events.shelf import (
    CouponRecorded,
    GlassesShown,
    SmearTested,
)
from benchassist.domain.kept import Bottle, BoxKept, Filed, Keeping, Looked
from benchassist.domain.library import Coupon, Meter
from benchassist.domain.shape import BoxPlan, VesselSize
from benchassist.value import value


@value
class CarriedForward(Event):
    """What was known of things and codes when the old store was left.

    Nothing of it was seen in this store: ``store`` is the old one, ``seq`` and ``hash``
    its last entry that the chain vouches for. Moments are the old ones on this store's
    own clock, as long ago as they can be. ``closed`` are the codes of parts that were
    closed there, each with its day.
    """

    version: ClassVar[int] = 2

    store: str
    seq: int
    hash: str
    readings: tuple[tuple[str, float, Instant], ...] = ()
    serviced: tuple[tuple[str, Instant], ...] = ()  # told once; nothing asks for it
    tested: tuple[tuple[Coupon, str, str], ...] = ()  # with its day, and until when
    coupons_begun: int = 0
    tabs: tuple[tuple[str, str, float, str], ...] = ()
    trials: tuple[CouponRecorded, ...] = ()
    against: tuple[CouponRecorded, ...] = ()
    # lamp, material, points, numbers: what people wrote stays in the old store
    working_curves: tuple[
        tuple[str, str, tuple[tuple[float, float], ...], Numbers], ...
    ] = ()
    glasses: tuple[GlassesShown, ...] = ()
    smears: tuple[SmearTested, ...] = ()
    # vessel, lot, immersions, when filled, why spoilt, percent
    fills: tuple[tuple[str, str, int, Instant, str, float], ...] = ()
    # litres, lot, when filled, percent, what it washed since
    baths: tuple[
        tuple[str, float, str, Instant, float, tuple[tuple[str, int], ...]], ...
    ] = ()
    bottles: tuple[tuple[str, Bottle], ...] = ()
    keeping: tuple[tuple[str, Keeping], ...] = ()
    meters: tuple[Meter, ...] = ()
    boxes_kept: tuple[tuple[str, BoxKept], ...] = ()
    filed: tuple[tuple[str, str, Filed], ...] = ()
    retired: tuple[tuple[str, str, str], ...] = ()
    routines: tuple[tuple[str, str, Looked], ...] = ()
    closed_lots: tuple[tuple[str, str], ...] = ()
    code_shapes: tuple[tuple[str, str], ...] = ()
    levels: tuple[tuple[str, Level], ...] = ()
    accepted: tuple[tuple[str, str, str, Numbers], ...] = ()
    validated: tuple[tuple[str, float, str, str], ...] = ()
    lamp_on: tuple[tuple[str, str, str, int], ...] = ()
    closed: tuple[tuple[str, str], ...] = ()
    vessel_sizes: tuple[tuple[str, VesselSize], ...] = ()
    box_plans: tuple[tuple[str, BoxPlan], ...] = ()
    photos: tuple[tuple[str, tuple[str, ...]], ...] = ()  # digests, by part
