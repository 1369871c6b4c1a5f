"""A coupon test in front: which tab, what to do with it, what came of the others.

In the bench's own zones, so that a part that falls due is seen and the foot's meaning
is said as always.
"""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain import coupon as test
from benchassist.domain.coupon import Step
from benchassist.domain.library import Tab
from benchassist.domain.runs import box_ms
from benchassist.domain.state import Bench, CouponRun
from benchassist.domain.words import clock, unit_word
from benchassist.ui.present.fill import Gap, held
from benchassist.ui.present.shown import Now
from benchassist.ui.view import Card, Countdown, Option, Panel
from benchassist.ui.words import say
from benchassist.value import replace

HOLDS = say("Holds: edge and groove stay")
GONE = say("Gone: a streak, no edge, or unsure")
SPOILT = say("Spoilt: touched; this tab anew")
THIN = say(
    "5 mm ring, tip off the coat. Thin coat on half the tab: one stroke, drawn off."
)
CLOSE = say("1 mm ring. Thin coat on half the tab: one stroke, drawn off.")
WIPE = say("Dry swab, then needle. Unsure is no. Gloves on; one tab wet at a time.")


def shown(bench: Bench, now: Instant) -> Now:
    """Return what the test in front asks for now."""
    run = bench.coupon
    if run is None:
        return Now(say("No coupon test is under way"))
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
        found = Now(say("The test is over"))
    return replace(found, panels=(*found.panels, *progress(run)))


def about(run: CouponRun) -> str:
    """Return what the test is about, and how long it still needs hands."""
    coupon = run.coupon
    lot = say("new lot {lot}", lot=coupon.lot) if run.short else coupon.lot
    minutes = test.MINUTES_SHORT if run.short else test.MINUTES
    worst = (
        ""
        if run.short
        else say(
            ", {minutes_at_worst} at worst", minutes_at_worst=test.MINUTES_AT_WORST
        )
    )
    return say(
        "{lamp} on {lot}, planned {planned_s} s. About {minutes} min of hands{worst}.",
        lamp=coupon.lamp,
        lot=lot,
        planned_s=coupon.planned_s,
        minutes=minutes,
        worst=worst,
    )


def _leave() -> Option:
    return Option(
        say("Give it up"),
        "0",
        Gap(cm.LeaveCoupon(""), "reason"),
        hold=True,
        tone="quiet",
        needs_text=say("Why it is given up"),
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
        say("Coat half a tab and give it no light."),
        say("Dry swab once across. The edge of the coat must vanish."),
    )
    return Now(
        say("Blank: coat half, no light, swab"),
        about(run),
        card=Card(
            say("Has the edge vanished?"),
            lines,
            _answers(say("Wiped clean"), say("Something stays, or unsure")),
        ),
    )


def _light(bench: Bench, run: CouponRun, step: Step) -> Now:
    coupon, session = run.coupon, bench.lamp_session
    ready = session and (session.lamp, session.operator) == (
        coupon.lamp,
        bench.operator,
    )
    headline = say("{name}: light {seconds} s", name=_name(step), seconds=step.seconds)
    if not ready:
        card = Card(
            say("Before the lamp"),
            (
                say("Eyewear on: filter for this lamp"),
                say("{lamp} in hand, tip clean", lamp=coupon.lamp),
            ),
            (
                held(say("Yes, both"), cm.OpenLampSession(coupon.lamp)),
                _leave(),
            ),
        )
        return Now(headline, about(run), card=card)
    lines = (CLOSE if step.of in ("B", "air") else THIN, _then(step))
    return Now(headline, about(run), card=Card(say("Then press"), lines, (_leave(),)))


def _lit(run: CouponRun, step: Step, now: Instant) -> Now:
    if run.lit is None:
        return Now(_name(step))
    spent = max(0, now.since(run.lit))
    left = max(0, run.light_ms - spent)
    return Now(
        say("{name}: light {seconds} s", name=_name(step), seconds=step.seconds),
        about(run),
        Countdown(
            str(-(-left // MS)),
            say("s left of {light_ms}", light_ms=run.light_ms // MS),
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
            say("Rinsed and dry: does the skin drag?"),
            (say("Alcohol swab, then a plastic tip: no drag, no dull mark."),),
            _answers(
                say("Finished: no drag, no mark"), say("Drags, a dull mark, or unsure")
            ),
        )
        return Now(say("{name}: alcohol swab, tip", name=name), about(run), card=card)
    if step.of == "air":
        card = Card(
            say("Is it sticky?"),
            (say("Cured in air it has to be sticky, or no skin can be told here."),),
            _answers(say("Sticky"), say("Not sticky, or unsure")),
        )
        return Now(say("Air tab: touch it with a tip"), about(run), card=card)
    card = Card(say("Does it hold?"), (WIPE,), _answers(HOLDS, GONE))
    return Now(
        say("{name}, {seconds} s: swab, needle", name=name, seconds=step.seconds),
        about(run),
        card=card,
    )


def _choose(bench: Bench, run: CouponRun, step: Step) -> Now:
    del bench, step
    coupon = replace(run.coupon, held_s=test.held_s(run))
    star, top = coupon.star_s, 2 * coupon.planned_s
    least = test.least_top_s(star)
    told = say("Set B, for {star} to {least} s", star=star, least=least)
    options = [
        Option(told, "1", cm.GoOnWithB(least), tone="attention"),
        Option(say("Stop here: set A only"), "3", cm.StopAfterA()),
        _leave(),
    ]
    if top > least:
        told = say("Set B, for {star} to {top} s", star=star, top=top)
        options.insert(1, Option(told, "2", cm.GoOnWithB(top)))
    card = Card(
        say("Set B: does the skin finish?"),
        (
            test.PROVES_A.format(star=star),
            say(
                "Set B takes {count} in {box}, twice.",
                count=coupon.count,
                box=coupon.box,
            ),
            say("A longer top time is harder to pass."),
        ),
        tuple(options),
    )
    held = say(
        "Held {held_s:g} s; with margin {star} s", held_s=coupon.held_s, star=star
    )
    return Now(held, about(run), card=card)


def _box(bench: Bench, run: CouponRun, step: Step) -> Now:
    coupon = run.coupon
    word = unit_word(bench.boxes[coupon.box].unit, coupon.count)
    setting = say(
        "{count} {word} set on {box}, door shut",
        count=coupon.count,
        word=word,
        box=coupon.box,
    )
    lines: tuple[str, ...]
    if step.of == "air":
        lines = (
            say("The tab in the box as it is, no glycerine"),
            setting,
        )
        title = say("Air tab into the box")
    else:
        glycerine = say("a portion of its own") if run.own_glycerine else coupon.vessel
        lines = (
            say(
                "{total} tabs under glycerine, 5 mm over: {glycerine}",
                total=step.total,
                glycerine=glycerine,
            ),
            say("No bubble on a coat, none shades another"),
            setting,
        )
        title = say("{total} tabs into the glycerine", total=step.total)
    start = held(say("Yes, all checked: box started"), cm.BoxCoupon(coupon.count))
    return Now(
        title, about(run), card=Card(say("Into the box"), lines, (start, _leave()))
    )


def _boxed(bench: Bench, run: CouponRun, step: Step, now: Instant) -> Now:
    coupon = run.coupon
    box = bench.boxes[coupon.box]
    whole = box_ms(box, coupon.count)
    left = whole - now.since(run.boxed) if run.boxed else 0
    what = say("Air tab") if step.of == "air" else say("Tabs")
    told = say(
        "{count} {unit_word} on {code}",
        count=coupon.count,
        unit_word=unit_word(box.unit, coupon.count),
        code=box.code,
    )
    if left > 0:
        big = Countdown(clock(left), lines=(told,), fill=1 - left / max(1, whole))
        return Now(
            say("{what} in the box: ends in", what=what),
            about(run),
            big,
            fill=big.fill or 0,
        )
    card = Card(
        say("What did the box show?"),
        (told,),
        (
            Option(
                say("Completed, all {count}", count=coupon.count),
                "1",
                cm.TellCouponBox(coupon.count),
                hold=True,
                tone="good",
            ),
            Option(
                say("Another count: type what it gave"),
                "2",
                Gap(cm.TellCouponBox(0), "count", number=True),
                hold=True,
                needs_number=say("What did {code} show?", code=box.code),
            ),
            _leave(),
        ),
    )
    return Now(say("{what}: what did the box show?", what=what), about(run), card=card)


def _name(step: Step) -> str:
    if step.of == "air":
        return say("Air tab")
    twice = (
        say(", light {light} of 2", light=step.light)
        if step.of == "B" and step.kind != "judge"
        else ""
    )
    return say(
        "Tab {number} of {total}{twice}",
        number=step.number,
        total=step.total,
        twice=twice,
    )


def _then(step: Step) -> str:
    if step.of == "B":
        return say("Then the next: this one waits for the box.")
    return (
        say("Then the box, in air.")
        if step.of == "air"
        else say("Then: dry swab, needle.")
    )


# --- what came of it so far ----------------------------------------------------------


def progress(run: CouponRun) -> tuple[Panel, ...]:
    """Return set A and set B with what each time and tab has come to."""
    title = (
        say("New lot: does it set?")
        if run.short
        else say("Set A, thin at 5 mm: does it set?")
    )
    panels = [Panel(title, "", "plain", _set_a(run))]
    if not run.short:
        title = say("Set B, thin at 1 mm, twice: does it finish?")
        panels.append(Panel(title, "", "plain", _set_b(run)))
    return tuple(panels)


def _set_a(run: CouponRun) -> tuple[str, ...]:
    lines = []
    if not run.short:
        blank = _went(run, "blank")
        lines.append(
            say("blank: {blank}", blank=blank or say("no light; the edge must vanish"))
        )
    names = ("½T", "1T", "1½T", "2T")
    for name, seconds in zip(names, test.levels(run), strict=False):
        went = _went(run, test.set_a(run), seconds)
        label = f"{seconds} s" if run.short else f"{name}, {seconds} s"
        lines.append(f"{label}: {went or say('waits')}")
    return tuple(lines)


def _set_b(run: CouponRun) -> tuple[str, ...]:
    top = f"{run.coupon.top_s:g} s" if run.part_b else say("the longest time")
    lit = say("{ready} lit", ready=run.ready) if run.ready else say("waits")
    return (
        say("three tabs, {top}, twice: {went}", top=top, went=_went(run, "B") or lit),
        say(
            "one tab cured in air, sticky: {went}",
            went=_went(run, "air") or say("waits"),
        ),
    )


def _went(run: CouponRun, of: str, seconds: int = 0) -> str:
    """Return how the tabs of a set went, such as ``held, held, gone``."""
    tabs: list[Tab] = [
        tab
        for tab in run.coupon.tabs
        if tab.of == of and (not seconds or tab.seconds == seconds)
    ]
    words = {
        "blank": {"yes": say("wiped clean"), "no": say("stays")},
        "B": {"yes": say("finished"), "no": say("drags")},
        "air": {"yes": "sticky", "no": say("not sticky")},
    }.get(of, {"yes": say("holds"), "no": say("gone")})
    return ", ".join(words.get(tab.outcome, say("spoilt")) for tab in tabs)
