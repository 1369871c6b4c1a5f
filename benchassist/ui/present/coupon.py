"""A coupon test in front: which tab, what to do with it, what came of the others.

In the bench's own zones, so that a part that falls due is seen and the foot's meaning
is said as always.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain import coupon as test
from benchassist.domain.runs import box_ms
from benchassist.domain.words import clock, unit_word
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.shown import Now
from benchassist.ui.view import Card, Countdown, Option, Panel
from benchassist.value import replace

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.coupon import Step
    from benchassist.domain.library import Tab
    from benchassist.domain.state import Bench, CouponRun

MS = 1000
HOLDS = "Holds: edge and groove stay"
GONE = "Gone: a streak, no edge, or unsure"
SPOILT = "Spoilt: touched; this tab anew"
THIN = "5 mm ring, tip off the coat. Thin coat on half the tab: one stroke, drawn off."
CLOSE = "1 mm ring. Thin coat on half the tab: one stroke, drawn off."
WIPE = "Dry swab, then needle. Unsure is no. Gloves on; one tab wet at a time."


def shown(bench: Bench, now: Instant) -> Now:
    """Return what the test in front asks for now."""
    run = bench.coupon
    if run is None:
        return Now("No coupon test is under way")
    step = test.step(run)
    screen = {
        "blank": _blank,
        "light": _light,
        "judge": _judge,
        "choose": _choose,
        "box": _box,
    }.get(step.kind)
    if step.kind == "lit":
        found = _lit(run, step, now)
    elif step.kind == "boxed":
        found = _boxed(bench, run, step, now)
    elif screen is not None:
        found = screen(bench, run, step)
    else:
        found = Now("The test is over")
    return replace(found, panels=(*found.panels, *progress(run)))


def about(run: CouponRun) -> str:
    """Return what the test is about, and how long it still needs hands."""
    coupon = run.coupon
    lot = f"new lot {coupon.lot}" if run.short else coupon.lot
    minutes = test.MINUTES_SHORT if run.short else test.MINUTES
    worst = "" if run.short else f", {test.MINUTES_AT_WORST} at worst"
    return (
        f"{coupon.lamp} on {lot}, planned {coupon.planned_s} s. "
        f"About {minutes} min of hands{worst}."
    )


def _leave() -> Option:
    return Option(
        "Give it up",
        "0",
        Gap(cm.LeaveCoupon(""), "reason"),
        hold=True,
        tone="quiet",
        needs_text="Why it is given up",
    )


def _answers(yes: str, no: str) -> tuple[Option, ...]:
    return (
        Option(yes, "1", cm.JudgeTab("yes"), tone="good"),
        Option(no, "2", cm.JudgeTab("no"), tone="stop"),
        Option(SPOILT, "3", cm.JudgeTab("spoilt")),
        _leave(),
    )


def _blank(bench: Bench, run: CouponRun, step: Step) -> Now:
    del bench, step
    lines = (
        "Coat half a tab and give it no light.",
        "Dry swab once across. The edge of the coat must vanish.",
    )
    return Now(
        "Blank: coat half, no light, swab",
        about(run),
        card=Card(
            "Has the edge vanished?",
            lines,
            _answers("Wiped clean", "Something stays, or unsure"),
        ),
    )


def _light(bench: Bench, run: CouponRun, step: Step) -> Now:
    coupon, session = run.coupon, bench.lamp_session
    ready = session and (session.lamp, session.operator) == (
        coupon.lamp,
        bench.operator,
    )
    headline = f"{_name(step)}: light {step.seconds} s"
    if not ready:
        card = Card(
            "Before the lamp",
            (
                "Eyewear on: filter for this lamp",
                f"{coupon.lamp} in hand, tip clean",
            ),
            (
                Option(
                    "Yes, both",
                    "Enter",
                    cm.OpenLampSession(coupon.lamp),
                    hold=True,
                    tone="attention",
                ),
                _leave(),
            ),
        )
        return Now(headline, about(run), card=card)
    lines = (CLOSE if step.of in ("B", "air") else THIN, _then(step))
    return Now(headline, about(run), card=Card("Then press", lines, (_leave(),)))


def _lit(run: CouponRun, step: Step, now: Instant) -> Now:
    if run.lit is None:
        return Now(_name(step))
    spent = max(0, now.since(run.lit))
    left = max(0, run.light_ms - spent)
    return Now(
        f"{_name(step)}: light {step.seconds} s",
        about(run),
        Countdown(
            str(-(-left // MS)),
            f"s left of {run.light_ms // MS}",
            (_then(step),),
            min(1.0, spent / max(1, run.light_ms)),
        ),
        fill=min(1.0, spent / max(1, run.light_ms)),
    )


def _judge(bench: Bench, run: CouponRun, step: Step) -> Now:
    del bench
    name = _name(step)
    if step.of == "B":
        card = Card(
            "Rinsed and dry: does the skin drag?",
            ("Alcohol swab, then a plastic tip: no drag, no dull mark.",),
            _answers("Finished: no drag, no mark", "Drags, a dull mark, or unsure"),
        )
        return Now(f"{name}: alcohol swab, tip", about(run), card=card)
    if step.of == "air":
        card = Card(
            "Is it sticky?",
            ("Cured in air it has to be sticky, or no skin can be told here.",),
            _answers("Sticky", "Not sticky, or unsure"),
        )
        return Now("Air tab: touch it with a tip", about(run), card=card)
    card = Card("Does it hold?", (WIPE,), _answers(HOLDS, GONE))
    return Now(f"{name}, {step.seconds} s: swab, needle", about(run), card=card)


def _choose(bench: Bench, run: CouponRun, step: Step) -> Now:
    del bench, step
    coupon = replace(run.coupon, held_s=test.held_s(run))
    star, top = coupon.star_s, 2 * coupon.planned_s
    least = test.least_top_s(star)
    told = f"Set B, for {star} to {least} s"
    options = [
        Option(told, "1", cm.GoOnWithB(least), tone="attention"),
        Option("Stop here: set A only", "3", cm.StopAfterA()),
        _leave(),
    ]
    if top > least:
        told = f"Set B, for {star} to {top} s"
        options.insert(1, Option(told, "2", cm.GoOnWithB(top)))
    card = Card(
        "Set B: does the skin finish?",
        (
            test.PROVES_A.format(star=star),
            f"Set B takes {coupon.count} in {coupon.box}, twice.",
            "A longer top time is harder to pass.",
        ),
        tuple(options),
    )
    held = f"Held {coupon.held_s:g} s; with margin {star} s"
    return Now(held, about(run), card=card)


def _box(bench: Bench, run: CouponRun, step: Step) -> Now:
    coupon = run.coupon
    word = unit_word(bench.boxes[coupon.box].unit, coupon.count)
    lines: tuple[str, ...]
    if step.of == "air":
        lines = (
            "The tab in the box as it is, no glycerine",
            f"{coupon.count} {word} set on {coupon.box}, door shut",
        )
        title = "Air tab into the box"
    else:
        glycerine = "a portion of its own" if run.own_glycerine else coupon.vessel
        lines = (
            f"{step.total} tabs under glycerine, 5 mm over: {glycerine}",
            "No bubble on a coat, none shades another",
            f"{coupon.count} {word} set on {coupon.box}, door shut",
        )
        title = f"{step.total} tabs into the glycerine"
    start = Option(
        "Yes, all checked: box started",
        "Enter",
        cm.BoxCoupon(coupon.count),
        hold=True,
        tone="attention",
    )
    return Now(title, about(run), card=Card("Into the box", lines, (start, _leave())))


def _boxed(bench: Bench, run: CouponRun, step: Step, now: Instant) -> Now:
    coupon = run.coupon
    box = bench.boxes[coupon.box]
    whole = box_ms(box, coupon.count)
    left = whole - now.since(run.boxed) if run.boxed else 0
    what = "Air tab" if step.of == "air" else "Tabs"
    told = f"{coupon.count} {unit_word(box.unit, coupon.count)} on {box.code}"
    if left > 0:
        big = Countdown(clock(left), lines=(told,), fill=1 - left / max(1, whole))
        return Now(f"{what} in the box: ends in", about(run), big, fill=big.fill or 0)
    card = Card(
        "What did the box show?",
        (told,),
        (
            Option(
                f"Completed, all {coupon.count}",
                "1",
                cm.TellCouponBox(coupon.count),
                hold=True,
                tone="good",
            ),
            Option(
                "Another count: type what it gave",
                "2",
                Gap(cm.TellCouponBox(0), "count", number=True),
                hold=True,
                needs_number=f"What did {box.code} show?",
            ),
            _leave(),
        ),
    )
    return Now(f"{what}: what did the box show?", about(run), card=card)


def _name(step: Step) -> str:
    if step.of == "air":
        return "Air tab"
    twice = (
        f", light {step.light} of 2" if step.of == "B" and step.kind != "judge" else ""
    )
    return f"Tab {step.number} of {step.total}{twice}"


def _then(step: Step) -> str:
    if step.of == "B":
        return "Then the next: this one waits for the box."
    return "Then the box, in air." if step.of == "air" else "Then: dry swab, needle."


# --- what came of it so far ----------------------------------------------------------


def progress(run: CouponRun) -> tuple[Panel, ...]:
    """Return set A and set B with what each time and tab has come to."""
    title = (
        "New lot: does it set?" if run.short else "Set A, thin at 5 mm: does it set?"
    )
    panels = [Panel(title, "", "plain", _set_a(run))]
    if not run.short:
        title = "Set B, thin at 1 mm, twice: does it finish?"
        panels.append(Panel(title, "", "plain", _set_b(run)))
    return tuple(panels)


def _set_a(run: CouponRun) -> tuple[str, ...]:
    lines = []
    if not run.short:
        blank = _went(run, "blank")
        lines.append(f"blank: {blank or 'no light; the edge must vanish'}")
    names = ("½T", "1T", "1½T", "2T")
    for name, seconds in zip(names, test.levels(run), strict=False):
        went = _went(run, test.set_a(run), seconds)
        label = f"{seconds} s" if run.short else f"{name}, {seconds} s"
        lines.append(f"{label}: {went or 'waits'}")
    return tuple(lines)


def _set_b(run: CouponRun) -> tuple[str, ...]:
    top = f"{run.coupon.top_s:g} s" if run.part_b else "the longest time"
    lit = f"{run.ready} lit" if run.ready else "waits"
    return (
        f"three tabs, {top}, twice: {_went(run, 'B') or lit}",
        f"one tab cured in air, sticky: {_went(run, 'air') or 'waits'}",
    )


def _went(run: CouponRun, of: str, seconds: int = 0) -> str:
    """Return how the tabs of a set went, such as ``held, held, gone``."""
    tabs: list[Tab] = [
        tab
        for tab in run.coupon.tabs
        if tab.of == of and (not seconds or tab.seconds == seconds)
    ]
    words = {
        "blank": {"yes": "wiped clean", "no": "stays"},
        "B": {"yes": "finished", "no": "drags"},
        "air": {"yes": "sticky", "no": "not sticky"},
    }.get(of, {"yes": "holds", "no": "gone"})
    return ", ".join(words.get(tab.outcome, "spoilt") for tab in tabs)
