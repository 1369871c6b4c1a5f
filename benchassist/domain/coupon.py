"""A coupon test: which tab comes next, how long it is lit, and what all of it shows.

Set A asks whether the thinnest coat sets where the light is weakest, set B whether the
skin finishes where it is strongest; a blank and a tab cured in air show that a streak
and a skin can be seen at all. The rule and its margin were simulated: of the tests that
it passes about one in thirty is false, of single tabs that set nearly two in three.
Pure sums, no physics.
"""

from __future__ import annotations

import math
from typing import Literal

from benchassist.domain.library import Coupon, Tab, TabSet, star
from benchassist.domain.state import CouponRun
from benchassist.value import replace, value

StepKind = Literal["blank", "light", "lit", "judge", "choose", "box", "boxed", "done"]

TABS = 3  # that have to hold at one time, or to finish
TWICE = 2  # lights of a tab of set B
MISSES = 1  # in the first three of set B, which three more have to make good
LONGEST_S = 240  # [s] of one light on a tab; beyond it nobody holds a tip still
# About forty seconds a tab, and at worst every time and three tabs more: estimates.
MINUTES, MINUTES_AT_WORST, MINUTES_SHORT = 16, 23, 2
PROVES_A = "The coat sets from {star} s a spot. Whether its skin finishes is not known."
PROVES = (
    "A coupon shows that the coat sets and its skin finishes, between its two times. "
    "Not conversion, strength or leaching, no other vessel, nothing above."
)


@value
class Step:
    """What comes next: tab ``number`` of ``total`` of a set, with ``seconds`` of light.

    ``light`` counts the lights of one tab (1 or 2).
    """

    kind: StepKind
    of: TabSet = "blank"
    seconds: int = 0
    number: int = 1
    total: int = 1
    light: int = 1


def least_top_s(star_s: int) -> int:
    """Return the shortest time that set B may be done for.

    Coats in use lie on each other and under a lamp that may be a tenth stronger by
    then: tabs that finish after no more than the time to be used pass too many worlds
    in which coats stay soft (simulated, see the benchmarks).
    """
    return star(star_s)


def levels(run: CouponRun) -> tuple[int, ...]:
    """Return the times of set A: half, one, one and a half and two times the plan.

    For a new lot it is the one time that the earlier coupon gave.
    """
    if run.short:
        return (run.coupon.star_s,)
    planned = run.coupon.planned_s
    times = (math.ceil(planned * factor / 2) for factor in (1, 2, 3, 4))
    return tuple(dict.fromkeys(times))


def outcomes(coupon: Coupon, of: TabSet, seconds: int = 0) -> tuple[str, ...]:
    """Return how the tabs of a set went, spoilt ones left out."""
    return tuple(
        tab.outcome
        for tab in coupon.tabs
        if tab.of == of
        and tab.outcome != "spoilt"
        and (not seconds or tab.seconds == seconds)
    )


def held_s(run: CouponRun) -> float:
    """Return the shortest time at which three of three held, 0 while none has."""
    for seconds in levels(run):
        if outcomes(run.coupon, set_a(run), seconds) == ("yes",) * TABS:
            return seconds
    return 0.0


def set_a(run: CouponRun) -> TabSet:
    """Return the name of the set whose tabs are asked whether they set."""
    return "lot" if run.short else "A"


def step(run: CouponRun) -> Step:
    """Return what comes next, or what is going on."""
    found = _next(run)
    if run.lit is not None:
        return replace(found, kind="lit", light=run.shone + 1)
    if run.boxed is not None:
        return replace(found, kind="boxed")
    return found


def _next(run: CouponRun) -> Step:
    blank = outcomes(run.coupon, "blank")
    if not blank and not run.short:
        return Step("blank")
    if "no" in blank:
        return Step("done")
    found = _set_a(run)
    if found is not None:
        return found
    if run.short or not held_s(run):
        return Step("done")
    if not run.part_b:
        return Step("choose", "A")
    return _set_b(run) or _air(run) or Step("done")


def _set_a(run: CouponRun) -> Step | None:
    """Return the next tab of set A; the first that fails leads to the next time."""
    of = set_a(run)
    for seconds in levels(run):
        went = outcomes(run.coupon, of, seconds)
        if "no" in went:
            continue
        if len(went) < TABS:
            kind: StepKind = "judge" if run.shone else "light"
            return Step(kind, of, seconds, len(went) + 1, TABS)
        return None
    return None


def owed_b(coupon: Coupon) -> int:
    """Return how many tabs of set B are asked for: three, or six after one miss."""
    went = outcomes(coupon, "B")
    return 2 * TABS if went.count("no") == MISSES else TABS


def _set_b(run: CouponRun) -> Step | None:
    coupon = run.coupon
    went, owed = outcomes(coupon, "B"), owed_b(coupon)
    top = int(coupon.top_s)
    if went.count("no") > MISSES or len(went) >= owed:
        return None
    if run.out:
        return Step("judge", "B", top, len(went) + 1, owed)
    batch = min(TABS, owed - len(went))
    if run.ready < batch:
        number = len(went) + run.ready + 1
        return Step("light", "B", top, number, owed, run.shone + 1)
    return Step("box", "B", top, run.ready, run.ready)


def _air(run: CouponRun) -> Step | None:
    if not finished(run.coupon) or outcomes(run.coupon, "air"):
        return None
    star = replace(run.coupon, held_s=held_s(run)).star_s
    if run.out:
        return Step("judge", "air", star)
    return Step("box", "air", star) if run.ready else Step("light", "air", star)


def finished(coupon: Coupon) -> bool:
    """Return whether the skins of set B finished: all, or all but one of six."""
    went = outcomes(coupon, "B")
    return len(went) >= owed_b(coupon) and went.count("no") <= MISSES


def lights(of: TabSet) -> int:
    """Return how many whole lights a tab of a set gets."""
    return TWICE if of == "B" else 1


def after(run: CouponRun, tab: Tab) -> CouponRun:
    """Return the test once a tab was judged; evolve and decide share this."""
    coupon = replace(run.coupon, tabs=(*run.coupon.tabs, tab))
    left = max(0, run.ready - 1) if run.out else run.ready
    return replace(run, coupon=coupon, shone=0, ready=left, out=run.out and left > 0)


def result(run: CouponRun) -> Coupon:
    """Return what the test shows, once there is nothing more to do or it is stopped."""
    coupon = run.coupon
    void = ""
    if "no" in outcomes(coupon, "blank"):
        void = "the unlit tab did not wipe clean: a streak cannot be told from a coat"
    elif "no" in outcomes(coupon, "air"):
        void = "the tab cured in air was not sticky: a skin cannot be told here"
    done_b = run.part_b and bool(outcomes(coupon, "B"))
    tried = max((tab.seconds for tab in coupon.tabs if tab.of == set_a(run)), default=0)
    held = held_s(run)
    if run.short:  # a new lot of what was tested: it has the same seconds, or none
        held = coupon.held_s if held else 0.0
    return replace(
        coupon,
        held_s=float(held),
        tried_s=float(tried),
        top_s=coupon.top_s if done_b or (run.short and held) else 0.0,
        finished=coupon.finished if run.short else done_b and finished(coupon),
        void=void,
    )


def words(step: Step) -> str:
    """Return in a few words which tab a step is about."""
    match step.of:
        case "blank":
            return "blank, no light"
        case "air":
            return f"air tab, {step.seconds} s"
        case "B":
            twice = (
                f", light {step.light} of 2" if step.kind in ("light", "lit") else ""
            )
            return f"tab {step.number} of {step.total}, {step.seconds} s{twice}"
        case _:
            return f"tab {step.number} of {step.total}, {step.seconds} s"
