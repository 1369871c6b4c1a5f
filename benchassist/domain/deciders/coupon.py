"""Coupon tests: begun, lit by the foot, judged by hand, and what ends them."""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain import coupon as test
from benchassist.domain import events as ev
from benchassist.domain.box_light import apart
from benchassist.domain.deciders.common import needs_reason
from benchassist.domain.deciders.table import decides
from benchassist.domain.gates.lot_expiry import last_day
from benchassist.domain.knowledge import light_known
from benchassist.domain.layer import known_layer, material_of
from benchassist.domain.library import Coupon, Tab
from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Decision, Refusal, RefusedError, Said, granted
from benchassist.domain.runs import box_ms
from benchassist.domain.state import Bench, CouponRun, Walking
from benchassist.domain.tested import newest_of_another_lot
from benchassist.domain.words import clock
from benchassist.value import replace

EARLY_SHARE = 0.05  # of a run's length, as for parts


@decides(cm.BeginCoupon)
def begin(bench: Bench, command: cm.BeginCoupon, now: Instant) -> Decision:
    """Begin a coupon test, unless it could show nothing."""
    granted(_cannot_begin(bench, command, now))
    material = material_of(bench, command.lot)
    if material is None:
        return Refusal("no-lot", f"Lot “{command.lot}” is not on file.")
    reading = bench.readings.get(command.lamp)
    today = reading is not None and reading.at.day() == now.day()
    fresh = Coupon(
        id=f"T-{bench.coupons_begun + 1}",
        lamp=command.lamp,
        material=material.code,
        lot=command.lot,
        box=command.box,
        vessel=command.vessel,
        count=command.count,
        planned_s=command.planned_s,
        held_s=0.0,
        tried_s=0.0,
        top_s=0.0,
        finished=False,
        reading=reading.value if reading and today else 0.0,
        tip=command.tip.strip(),
        celsius=limit(bench, "room_celsius"),
        coat_um=limit(bench, "coat_um"),
    )
    if not command.short:
        return (ev.CouponBegun(fresh, command.own_glycerine),)
    old = newest_of_another_lot(bench, command.lamp, material.code, command.lot)
    if old is None:
        told = "No coupon of another lot holds: test this one whole."
        return Refusal("coupon", told)
    was = old.coupon
    again = replace(was, id=fresh.id, lot=command.lot, tabs=())
    return (ev.CouponBegun(again, command.own_glycerine, short=True, of=was.id),)


def _cannot_begin(
    bench: Bench, command: cm.BeginCoupon, now: Instant
) -> Refusal | None:
    if bench.coupon is not None:
        return Refusal("coupon", "A coupon test is under way: go on with it first.")
    for kind, code, on_file in (
        ("lamp", command.lamp, bench.lamps),
        ("box", command.box, bench.boxes),
        ("vessel", command.vessel, bench.vessels),
        ("lot", command.lot, bench.lots),
    ):
        if code not in on_file:
            return Refusal("no-equipment", f"The {kind} “{code}” is not on file.")
    if last_day(bench, command.lot) < now.day():
        return Refusal("lot-expiry", f"Lot {command.lot} has expired.")
    if not 1 <= command.planned_s <= LONGEST_PLANNED_S or command.count < 1:
        told = f"Seconds from 1 to {LONGEST_PLANNED_S}, and a count above 0."
        return Refusal("coupon", told)
    answer = judge_lamp(bench, command.lamp, command.lot, command.planned_s)
    if answer.rung == 0 or answer.code == "lamp-worn":
        return Refusal(
            "known-mismatch",
            f"{command.lamp}: {answer.reason}. No coupon makes that good.",
            answer.numbers,
            "Take another lamp, or correct a wrong entry, with a reason.",
        )
    box = light_known(bench, bench.boxes[command.box])
    told = apart(box, known_layer(bench, command.lot))
    if told:
        return Refusal("known-mismatch", f"{told}. No coupon makes that good.")
    return None


LONGEST_PLANNED_S = 120


def _run(bench: Bench) -> CouponRun:
    return granted(bench.coupon or Refusal("coupon", "No coupon test is under way."))


def _not_now(run: CouponRun) -> RefusedError:
    told = f"Coupon: now comes {test.words(test.step(run))}."
    return RefusedError(Refusal("coupon", told))


def _at(bench: Bench, *kinds: test.StepKind) -> tuple[CouponRun, test.Step]:
    """Return the test under way and its step, which has to be one of ``kinds``."""
    run = _run(bench)
    step = test.step(run)
    if step.kind not in kinds:
        raise _not_now(run)
    return run, step


@decides(cm.BringCoupon)
def bring(bench: Bench, command: cm.BringCoupon, now: Instant) -> Decision:
    """Bring the test to the front."""
    run = _run(bench)
    if run.front:
        return Said("The coupon test is in front.")
    return (ev.CouponBrought(run.coupon.id),)


@decides(cm.LightTab)
def light_tab(bench: Bench, command: cm.LightTab, now: Instant) -> Decision:
    """Light the tab at hand: eyewear on, lamp in hand, no other walk with it."""
    run, step = _at(bench, "light")
    lamp = run.coupon.lamp
    session = bench.lamp_session
    if not (session and session.lamp == lamp and session.operator == bench.operator):
        return Refusal(
            "lamp-session",
            f"Hold to confirm: glasses on, {lamp} in hand.",
            remedy="Once per lamp and session, by hand.",
        )
    walking = [
        part.code
        for part in bench.in_flight
        if isinstance(part.phase, Walking) and part.phase.lamp == lamp
    ]
    if walking:
        return Refusal("lamp-busy", f"{lamp} is on {walking[0]} just now.")
    return (ev.CouponTabLit(run.coupon.id, lamp, step.seconds * MS),)


@decides(cm.StopTab)
def stop_tab(bench: Bench, command: cm.StopTab, now: Instant) -> Decision:
    """Break the light off; the tab is done anew."""
    run = _run(bench)
    if run.lit is None:
        raise _not_now(run)
    return stopped(run, now, "not done")


def stopped(run: CouponRun, at: Instant, why: str) -> tuple[ev.Event, ...]:
    """Return the event of a light that was broken off at ``at``."""
    if run.lit is None:
        return ()
    lit_ms = min(max(0, at.since(run.lit)), run.light_ms)
    coupon = run.coupon
    return (
        ev.CouponTabStopped(coupon.id, coupon.lamp, lit_ms, why),  # type: ignore[arg-type]
    )


@decides(cm.JudgeTab)
def judge_tab(bench: Bench, command: cm.JudgeTab, now: Instant) -> Decision:
    """Say how a tab went; where that ends the test, what it has shown."""
    run, step = _at(bench, "blank", "judge")
    tab = Tab(step.of, step.seconds, command.outcome)
    judged = ev.CouponTabJudged(run.coupon.id, tab)
    later = test.after(run, tab)
    if test.step(later).kind != "done":
        return (judged,)
    return judged, _finished(bench, later, now)


def _finished(bench: Bench, run: CouponRun, now: Instant) -> ev.CouponFinished:
    """Return what a test has shown; a new lot keeps the days of the first coupon."""
    day = now.day()
    if run.short:
        key = (run.coupon.lamp, run.coupon.material)
        day = next(
            (t.day for t in bench.tested.get(key, ()) if t.coupon.id == run.of), day
        )
    return ev.CouponFinished(test.result(run), day)


@decides(cm.GoOnWithB)
def go_on_with_b(bench: Bench, command: cm.GoOnWithB, now: Instant) -> Decision:
    """Go on with set B, up to the longest time that is to be used."""
    run, _ = _at(bench, "choose")
    star_s = replace(run.coupon, held_s=test.held_s(run)).star_s
    least_s = test.least_top_s(star_s)
    top_s = command.top_s or least_s
    if not least_s <= top_s <= test.LONGEST_S // 2:
        told = f"From {least_s} to {test.LONGEST_S // 2} s: each tab is lit twice."
        return Refusal("coupon", told)
    return (ev.CouponWentOn(run.coupon.id, top_s),)


@decides(cm.StopAfterA)
def stop_after_a(bench: Bench, command: cm.StopAfterA, now: Instant) -> Decision:
    """End the test with what set A has shown: marginal, until set B is done."""
    run, _ = _at(bench, "choose")
    return (_finished(bench, run, now),)


@decides(cm.BoxCoupon)
def box_coupon(bench: Bench, command: cm.BoxCoupon, now: Instant) -> Decision:
    """Start the box with tabs: under glycerine, or the control in air."""
    run, step = _at(bench, "box")
    coupon = run.coupon
    if command.count != coupon.count:
        told = f"Set {coupon.count} on the box; the card says {command.count}."
        return Refusal("count-differs", told, (("planned", coupon.count),))
    busy = [each for each in bench.runs.values() if each.box == coupon.box]
    if busy or coupon.box in bench.loads:
        return Refusal("box-occupied", f"{coupon.box} holds parts: wait for it.")
    air = step.of == "air"
    immersions = -1
    if not air and not run.own_glycerine:
        fill = bench.fills.get(coupon.vessel)
        most = limit(bench, "glycerine_immersions")
        if fill is None or fill.spoilt or fill.immersions + run.ready > most:
            return Refusal(
                "glycerine-count",
                f"The fill of {coupon.vessel} does not do for {run.ready} tabs.",
                remedy="Fill it fresh, or use a portion of its own.",
            )
        immersions = fill.immersions + run.ready
    return (
        ev.CouponBoxStarted(
            coupon.id,
            coupon.box,
            coupon.vessel,
            coupon.count,
            "air" if air else "glycerine",
            immersions,
        ),
    )


@decides(cm.TellCouponBox)
def tell_box(bench: Bench, command: cm.TellCouponBox, now: Instant) -> Decision:
    """Say what the box showed at the end; fewer spoils the tabs that were in it."""
    run = _run(bench)
    if run.boxed is None:
        raise _not_now(run)
    whole = command.count >= run.coupon.count
    needed_ms = box_ms(bench.boxes[run.coupon.box], run.coupon.count)
    spent_ms = now.since(run.boxed)
    if whole and spent_ms < (1 - EARLY_SHARE) * needed_ms:
        return Refusal(
            "too-early", f"That box needs {clock(needed_ms - spent_ms)} more for it."
        )
    return (ev.CouponBoxEnded(run.coupon.id, command.count, whole),)


@decides(cm.LeaveCoupon)
def leave_coupon(bench: Bench, command: cm.LeaveCoupon, now: Instant) -> Decision:
    """Give a test up; what was lit stays on the record, and it shows nothing."""
    run = _run(bench)
    needs_reason(command.reason, "Say in a few words why it is given up.")
    left = ev.CouponLeft(run.coupon.id, command.reason.strip())
    return *stopped(run, now, "not done"), left


# --- time passes ---------------------------------------------------------------------


def passing(
    bench: Bench, watched: Instant, now: Instant, *, stalled: bool
) -> tuple[ev.Event, ...]:
    """Return what time brings: a tab that has had its light, a coupon past its day."""
    return *_shone(bench.coupon, watched, stalled=stalled), *expired(bench, now)


def _shone(
    run: CouponRun | None, watched: Instant, *, stalled: bool
) -> tuple[ev.Event, ...]:
    if run is None or run.lit is None:
        return ()
    ended = run.lit.plus(run.light_ms)
    if watched.since(ended) < 0:
        return stopped(run, watched, "stall") if stalled else ()
    coupon, of = run.coupon, test.step(run).of
    shone = ev.CouponTabShone(coupon.id, coupon.lamp, run.light_ms, ended)
    if of in ("B", "air") and run.shone + 1 >= test.lights(of):
        return shone, ev.CouponTabReady(coupon.id)
    return (shone,)


def expired(bench: Bench, now: Instant) -> tuple[ev.Event, ...]:
    """Return the end of every coupon and tab whose last day is over."""
    if not bench.tested and not bench.tabs:
        return ()
    today = now.day()
    out: list[ev.Event] = [
        ev.CouponEnded(each.coupon.id, each.coupon.lamp, each.coupon.material, why)
        for tests in bench.tested.values()
        for each in tests
        if not each.ended and today > each.until
        for why in (_over(each.coupon),)
    ]
    for (lamp, material), (_, day) in bench.tabs.items():
        if today > day:
            out.append(ev.CouponEnded("", lamp, material, "its day is over"))
    return tuple(out)


def _over(coupon: Coupon) -> str:
    return "its 90 days are over" if coupon.reading else "no meter: good for its day"
