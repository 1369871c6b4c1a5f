"""A coupon test at the bench: tabs lit and judged, its box runs, what it ended with."""

from __future__ import annotations

from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.events.base import Event, FreeText
from benchassist.domain.library import Coupon, Tab
from benchassist.value import value


@value
class CouponBegun(Event):
    """A coupon test began; ``coupon`` says under what, and holds no tabs yet.

    ``short`` tests a new lot of what an earlier coupon, ``of``, has shown.
    ``own_glycerine``: its tabs lie in a portion of their own.
    """

    coupon: Coupon
    own_glycerine: bool
    short: bool = False
    of: str = ""


@value
class CouponBrought(Event):
    """A coupon test was brought to the front by hand; the foot means it now."""

    coupon: str


@value
class CouponTabLit(Event):
    """The lamp was switched on over a tab, for ``light_ms``."""

    coupon: str
    lamp: str
    light_ms: int


@value
class CouponTabShone(Event):
    """A tab had its whole light; ``ended`` is when, by the paced timeline."""

    coupon: str
    lamp: str
    light_ms: int
    ended: Instant


@value
class CouponTabReady(Event):
    """A tab has had all its light and waits for the box."""

    coupon: str


@value
class CouponTabStopped(Event):
    """A tab's light was broken off after ``light_ms``; the tab is done anew."""

    coupon: str
    lamp: str
    light_ms: int
    why: Literal["not done", "stall", "program was away"]


@value
class CouponTabJudged(Event):
    """A hand said what it saw and felt on a tab."""

    coupon: str
    tab: Tab


@value
class CouponWentOn(Event):
    """Set A held, and set B is done now; ``top_s`` is the longest time to be used."""

    coupon: str
    top_s: int


@value
class CouponBoxStarted(Event):
    """Tabs of a coupon went into a box, under glycerine or in air.

    ``immersions`` is what the vessel's fill stands at with them; -1 where they lie
    in a portion of their own, or in air.
    """

    coupon: str
    box: str
    vessel: str
    count: int
    cover: Literal["glycerine", "air"]
    immersions: int


@value
class CouponBoxEnded(Event):
    """The box showed ``count`` at the end; fewer than planned spoils the tabs in it."""

    coupon: str
    count: int
    whole: bool


@value
class CouponFinished(Event):
    """A coupon test ended with what it showed; its days run from ``day``."""

    coupon: Coupon
    day: str


@value
class CouponLeft(Event):
    """A coupon test was given up before it showed anything."""

    coupon: str
    reason: FreeText


@value
class CouponEnded(Event):
    """A test of a lamp on a material holds no longer.

    ``coupon`` names the one that ended; empty: a single tab, good for its own day.
    """

    coupon: str
    lamp: str
    material: str
    why: FreeText


@value
class CouponExplained(Event):
    """Why a tab failed where it should not have was found out and written down."""

    lamp: str
    material: str
    reason: FreeText
