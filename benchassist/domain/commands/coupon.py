"""What is known of lights and layers: papers, the own meter, coupons tested here."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.commands.base import Command, Held
from benchassist.domain.library import Interval, Sourced
from benchassist.value import value


@value
class TypePapers(Command):
    """Enter what the label or papers of a lamp, box or material state, with a reason.

    ``bands`` in nm; empty leaves those on file. ``mw_cm2`` is a lamp's (0: not
    stated). ``document`` and ``revision`` say where its numbers are from.
    """

    of: Sourced
    code: str
    reason: str
    bands: tuple[Interval, ...] = ()
    document: str = ""
    revision: str = ""
    mw_cm2: float = 0.0


@value
class ReadThrough(Command):
    """Enter the share of a box's light that the own meter reads in an empty vessel."""

    vessel: str
    through: float


@value
class EndCoupons(Held, Command):
    """End every coupon of a lamp or box: repaired, another tip, another box lamp."""

    of: Literal["lamp", "box"]
    code: str
    why: Literal["repair", "another tip", "another box lamp"]


@value
class ExplainCoupon(Held, Command):
    """Write down why a tab failed that should have passed; the light check goes on."""

    lamp: str
    material: str
    reason: str


@value
class BeginCoupon(Command):
    """Begin a coupon test of a lamp on the resin of a lot.

    ``planned_s`` is T, the seconds that are planned; ``count`` what the box will be
    set to. ``short``: three tabs for a new lot of what an earlier coupon has shown.
    """

    lamp: str
    lot: str
    box: str
    vessel: str
    planned_s: int
    count: int
    tip: str = ""
    own_glycerine: bool = False
    short: bool = False


@value
class BringCoupon(Command):
    """Bring the coupon test to the front: the foot means it."""


@value
class LightTab(Command):
    """Switch the lamp on over the tab at hand."""


@value
class StopTab(Command):
    """Break the light of the tab off; the tab is done anew."""


@value
class JudgeTab(Command):
    """Say what was seen and felt on a tab."""

    outcome: Literal["yes", "no", "spoilt"]


@value
class GoOnWithB(Command):
    """Go on with set B, for times up to ``top_s`` (0: the shortest there may be)."""

    top_s: int = 0


@value
class StopAfterA(Command):
    """End the test with what set A has shown."""


@value
class BoxCoupon(Held, Command):
    """Start the box with the tabs in it, by its card held by hand."""

    count: int


@value
class TellCouponBox(Held, Command):
    """Say what the box showed at the end of the coupon's run."""

    count: int


@value
class LeaveCoupon(Held, Command):
    """Give the coupon test up; it then shows nothing."""

    reason: str
