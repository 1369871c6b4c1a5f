"""State from events about coupons: tabs, tests, what they say and what ends them."""

from __future__ import annotations

from collections.abc import Callable

from benchassist.domain import events as ev
from benchassist.domain.coupon import after
from benchassist.domain.evolve.coat import lamp_on
from benchassist.domain.evolve.table import on
from benchassist.domain.library import Coupon
from benchassist.domain.state import (
    Bench,
    CouponRun,
    Pair,
    Tested,
)
from benchassist.domain.tested import good_until
from benchassist.value import replace

CONTRADICTED = "a newer tab contradicts it"


@on(ev.CouponRecorded)
def _tab(bench: Bench, entry: ev.Entry, event: ev.CouponRecorded) -> Bench:
    key = (event.lamp, event.material)
    bench = bench.put("trials", key, (*bench.trials.get(key, ()), event))
    if event.passed:
        if event.tack_s > 0:
            bench = bench.put("tabs", key, (event.tack_s, entry.at.day()))
        return bench.without("against", key)
    bench = bench.without("tabs", key).put("against", key, event)
    return _each(bench, key, lambda old: _withdrawn(old, event))


def _withdrawn(old: Tested, event: ev.CouponRecorded) -> str:
    """Return why a test holds no longer once a tab has failed, empty where it does.

    What had not set at the time to be used or later, and what stayed soft at the
    longest to be used or earlier, cannot both be so. Untold seconds count against it.
    """
    seconds, coupon = event.tack_s, old.coupon
    if not coupon.held_s:
        return ""
    longest = coupon.top_s or coupon.star_s
    said = (
        not seconds
        or (event.how in ("", "not set") and seconds >= coupon.star_s)
        or (event.how in ("", "tacky at the end") and seconds <= longest)
    )
    how = event.how or "it failed"
    return f"{CONTRADICTED}: {how} at {seconds:g} s" if said else ""


@on(ev.CouponFinished)
def _finished(bench: Bench, entry: ev.Entry, event: ev.CouponFinished) -> Bench:
    coupon = event.coupon
    key = (coupon.lamp, coupon.material)
    if bench.coupon is not None and bench.coupon.coupon.id == coupon.id:
        bench = replace(bench, coupon=None)
    else:  # done on paper, and filed: it has a number of its own
        bench = replace(bench, coupons_begun=bench.coupons_begun + 1)
    if coupon.void:
        return bench
    soft = bool(coupon.top_s) and not coupon.finished
    how: ev.CouponFault = "tacky at the end" if soft else "not set"
    if soft or not coupon.held_s:
        tried = coupon.top_s if soft else coupon.tried_s
        failed = ev.CouponRecorded(
            coupon.lamp, coupon.material, passed=False, tack_s=tried, how=how
        )
        bench = bench.put("against", key, failed)
        bench = _each(bench, key, lambda old: _withdrawn(old, failed))
    else:
        bench = bench.without("against", key)
    test = Tested(coupon, event.day, good_until(coupon, event.day))
    return bench.put("tested", key, (*bench.tested.get(key, ()), test))


@on(ev.CouponEnded)
def _ended(bench: Bench, entry: ev.Entry, event: ev.CouponEnded) -> Bench:
    key = (event.lamp, event.material)
    if not event.coupon:
        return bench.without("tabs", key)
    return _each(
        bench, key, lambda old: event.why if old.coupon.id == event.coupon else ""
    )


@on(ev.CouponExplained)
def _explained(bench: Bench, entry: ev.Entry, event: ev.CouponExplained) -> Bench:
    return bench.without("against", (event.lamp, event.material))


def _each(bench: Bench, key: Pair, why: Callable[[Tested], str]) -> Bench:
    """Return the bench with those tests of a pair ended that ``why`` gives a reason."""
    found = tuple(
        old if old.ended else replace(old, ended=why(old))
        for old in bench.tested.get(key, ())
    )
    return bench.put("tested", key, found) if found else bench


def explained(bench: Bench, code: str) -> Bench:
    """Return the bench where what is on file of a lamp or material was corrected."""
    kept = {k: each for k, each in bench.against.items() if code not in k}
    return replace(bench, against=kept)


def changed(bench: Bench, about: Callable[[Coupon], bool], why: str) -> Bench:
    """Return the bench on which tests about what has changed have ended."""
    for key in bench.tested:
        bench = _each(bench, key, lambda old: why if about(old.coupon) else "")
    return bench


# --- a test under way ----------------------------------------------------------------


@on(ev.CouponBegun)
def _begun(bench: Bench, entry: ev.Entry, event: ev.CouponBegun) -> Bench:
    run = CouponRun(event.coupon, event.own_glycerine, entry.at, event.short, event.of)
    return replace(bench, coupon=run, coupons_begun=bench.coupons_begun + 1, focus="")


@on(ev.CouponBrought)
def _brought(bench: Bench, entry: ev.Entry, event: ev.CouponBrought) -> Bench:
    return replace(_with(bench, front=True), focus="")


@on(ev.CouponTabLit)
def _lit(bench: Bench, entry: ev.Entry, event: ev.CouponTabLit) -> Bench:
    return _with(bench, lit=entry.at, light_ms=event.light_ms)


@on(ev.CouponTabShone)
def _shone(bench: Bench, entry: ev.Entry, event: ev.CouponTabShone) -> Bench:
    run = bench.coupon
    if run is None:
        return bench
    bench = _with(bench, lit=None, shone=run.shone + 1)
    return lamp_on(bench, entry, event.lamp, event.light_ms)


@on(ev.CouponTabStopped)
def _stopped(bench: Bench, entry: ev.Entry, event: ev.CouponTabStopped) -> Bench:
    bench = _with(bench, lit=None, shone=0)
    return lamp_on(bench, entry, event.lamp, event.light_ms)


@on(ev.CouponTabReady)
def _ready(bench: Bench, entry: ev.Entry, event: ev.CouponTabReady) -> Bench:
    return _then(bench, lambda run: replace(run, ready=run.ready + 1, shone=0))


@on(ev.CouponTabJudged)
def _judged(bench: Bench, entry: ev.Entry, event: ev.CouponTabJudged) -> Bench:
    return _then(bench, lambda run: after(run, event.tab))


@on(ev.CouponWentOn)
def _went_on(bench: Bench, entry: ev.Entry, event: ev.CouponWentOn) -> Bench:
    top_s = float(event.top_s)
    return _then(
        bench,
        lambda run: replace(run, coupon=replace(run.coupon, top_s=top_s), part_b=True),
    )


@on(ev.CouponBoxStarted)
def _boxed(bench: Bench, entry: ev.Entry, event: ev.CouponBoxStarted) -> Bench:
    fill = bench.fills.get(event.vessel)
    if fill is not None and event.immersions >= 0:
        fill = replace(fill, immersions=event.immersions)
        bench = bench.put("fills", event.vessel, fill)
    return _with(bench, boxed=entry.at, shone=0)


@on(ev.CouponBoxEnded)
def _box_ended(bench: Bench, entry: ev.Entry, event: ev.CouponBoxEnded) -> Bench:
    bench = _with(bench, boxed=None, out=event.whole)
    return bench if event.whole else _with(bench, ready=0)


@on(ev.CouponLeft)
def _left(bench: Bench, entry: ev.Entry, event: ev.CouponLeft) -> Bench:
    return replace(bench, coupon=None)


def _with(bench: Bench, **changes: object) -> Bench:
    return _then(bench, lambda run: replace(run, **changes))


def _then(bench: Bench, change: Callable[[CouponRun], CouponRun]) -> Bench:
    """Return the bench whose test under way is changed, should there be one."""
    run = bench.coupon
    return bench if run is None else replace(bench, coupon=change(run))
