"""How well a lamp and a layer are known here: each step up, and what it allows."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import coupon as test
from benchassist.domain.gates.box_light import second_half
from benchassist.domain.knowledge import TESTED_HERE, Known, light_known
from benchassist.domain.layer import known_layer, material_of
from benchassist.domain.light import SOURCED, LampAnswer, judge_lamp
from benchassist.domain.state import Bench, Tested
from benchassist.domain.tested import newest_of_another_lot, tests_of
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.shown import TONES
from benchassist.ui.view import Option, TableView, Tone
from benchassist.ui.words import say
from benchassist.value import replace, value

if TYPE_CHECKING:
    from benchassist.sums.subject import Subject

TESTED = 3  # the rung of a coupon
LEAST_AXIS_S = 20.0
UP = say("The better it is known, the narrower the seconds.")
OTHER = say("No coupon makes that good: another lamp, or correct a wrong entry.")
NONE = say("no seconds: none can be given, by key or foot")


@value
class StepRow:
    """One step: what is known, what it allows, and the seconds it leaves.

    ``low`` to ``high`` is the interval in seconds (``high`` infinite: no longest is
    known; ``low`` 0: no seconds). ``here`` marks the step that counts now.
    """

    title: str
    lines: tuple[str, ...]
    verdict: str
    badge: str
    tone: Tone
    low: float = 0.0
    high: float = 0.0
    told: str = ""
    here: bool = False


@value
class Knowing:
    """The whole page: a headline, sentences, three steps and an axis in seconds."""

    title: str
    about: str
    headline: str
    tone: Tone
    lines: tuple[str, ...]
    steps: tuple[StepRow, ...]
    planned_s: float
    axis_s: float


def knowing(bench: Bench, subject: Subject) -> Knowing:
    """Return how well the subject's lamp and its coat are known."""
    planned = subject.recipe.planned_tack_s
    answer = judge_lamp(bench, subject.lamp, subject.lot, planned)
    steps = (
        _on_paper(bench, subject, answer),
        _coupon(bench, subject, answer),
        _measured(bench, subject, answer),
    )
    ends = [planned, *(s.high for s in steps), *(s.low for s in steps)]
    longest = max(end for end in ends if math.isfinite(end))
    given = answer.seconds > 0
    headline = (
        say("Give {seconds} s a spot", seconds=answer.seconds)
        if given
        else say("No seconds to give")
    )
    first = say(
        "The recipe plans {planned} s. {because}",
        planned=planned,
        because=_because(answer),
    )
    material = material_of(bench, subject.lot)
    resin = material.title if material else say("no resin")
    return Knowing(
        title=say("How well do we know this pair?"),
        about=say(
            "Lamp {lamp} on {resin}, lot {lot}",
            lamp=subject.lamp or "none",
            resin=resin,
            lot=subject.lot or "none",
        ),
        headline=headline,
        tone="attention" if given else "stop",
        lines=(first, answer.remedy or (UP if given else OTHER)),
        steps=steps,
        planned_s=float(planned),
        axis_s=max(LEAST_AXIS_S, math.ceil(1.15 * longest / 10) * 10.0),
    )


def _because(answer: LampAnswer) -> str:
    told = answer.reason
    if answer.rung == SOURCED and answer.seconds:
        low, high = answer.low_s, answer.longest_s
        return say(
            "It needs {low:.0f} to {high:.0f} s by what is on file.", low=low, high=high
        )
    return f"{told[:1].upper()}{told[1:]}."


def _on_paper(bench: Bench, subject: Subject, answer: LampAnswer) -> StepRow:
    """Return the step of labels, instructions and papers."""
    light, layer = _known(bench, subject)
    words = (light.words, layer.words)
    if answer.rung == SOURCED and light.how == "papers":
        return _computed(say("From its papers"), words, answer, here=True)
    if light.how == "measured" and answer.rung:
        counts = say("what was measured counts")
        return StepRow(say("On paper"), (layer.words,), "", "", "quiet", told=counts)
    if answer.rung == 0:
        return StepRow(
            say("Known mismatch"), words, say("FAIL"), answer.reason, "stop", here=True
        )
    title = say("Label only") if "label" in (light.how, layer.how) else say("On paper")
    if answer.code == "by-instruction":
        return _computed(title, words, answer, here=True)
    unknown = say("no data") if answer.rung == 1 else say("seconds unknown")
    here = answer.rung in (1, 2)
    return StepRow(title, words, say("FAIL"), unknown, "stop", told=NONE, here=here)


def _known(bench: Bench, subject: Subject) -> tuple[Known, Known]:
    lamp = bench.lamps.get(subject.lamp)
    light = light_known(bench, lamp) if lamp else Known(subject.lamp, "nothing")
    return light, known_layer(bench, subject.lot)


def _computed(
    title: str, lines: tuple[str, ...], answer: LampAnswer, *, here: bool
) -> StepRow:
    return StepRow(
        title,
        lines,
        answer.level.upper(),
        answer.badge,
        TONES[answer.level],
        answer.low_s if answer.seconds else 0.0,
        answer.longest_s if answer.seconds else 0.0,
        "" if answer.seconds else NONE,
        here=here,
    )


def _coupon(bench: Bench, subject: Subject, answer: LampAnswer) -> StepRow:
    """Return the step of the coupon tested here."""
    tests = tests_of(bench, subject.lamp, subject.lot)
    coupon = tests.holds
    if coupon is None:
        why = tests.ended or say("never tested here")
        told = (
            say("own tabs, box, vessel")
            if answer.rung
            else say("no coupon makes that good")
        )
        return StepRow(say("Coupon"), (why,), "", "", "quiet", told=told)
    both = bool(coupon.top_s)
    sets = say("sets A and B") if both else say("set A only")
    dated = next(
        each
        for each in bench.tested[(coupon.lamp, coupon.material)]
        if each.coupon.id == coupon.id
    )
    lines = (
        say(
            "own tabs, {box}, {vessel}; {sets}",
            box=coupon.box,
            vessel=coupon.vessel,
            sets=sets,
        ),
        _dates(dated),
    )
    return StepRow(
        say("Coupon"),
        lines,
        say("PASS") if both else say("MARGINAL"),
        TESTED_HERE if both else say("set A only"),
        "good" if both else "attention",
        float(coupon.star_s),
        float(coupon.top_s) if both else math.inf,
        here=answer.rung == TESTED,
    )


def _until(tested: Tested) -> str:
    if tested.until == tested.day:
        return say("{day} only", day=tested.day)
    return str(tested.until)


def _dates(tested: Tested) -> str:
    until = (
        say("good to {until}", until=tested.until)
        if tested.until != tested.day
        else say("that day only")
    )
    return say(
        "{id} of {day}, {until}", id=tested.coupon.id, day=tested.day, until=until
    )


def _measured(bench: Bench, subject: Subject, answer: LampAnswer) -> StepRow:
    """Return the step of a measured spectrum."""
    light, layer = _known(bench, subject)
    if light.how != "measured":
        return StepRow(
            say("Measured"),
            (say("a spectrum file, initiator by name"), say("nothing on file")),
            "",
            say("as computed"),
            "quiet",
            told="narrower",
        )
    lines = (light.words, layer.words)
    if answer.rung == SOURCED:
        return _computed(say("Measured"), lines, answer, here=True)
    return StepRow(say("Measured"), lines, "", say("lamp only"), "quiet", told=NONE)


def _material(bench: Bench, subject: Subject) -> str:
    found = material_of(bench, subject.lot)
    return found.code if found else ""


# --- what can be done here -----------------------------------------------------------


def options(bench: Bench, subject: Subject) -> tuple[Option, ...]:
    """Return the ways up: a coupon, what can be typed, what was tested."""
    material = _material(bench, subject)
    planned = subject.recipe.planned_tack_s
    mismatch = judge_lamp(bench, subject.lamp, subject.lot, planned).rung == 0
    running = bench.coupon is not None
    out = [_first(bench, subject, material)] if running or not mismatch else []
    out.append(Option(say("Type it in"), "1", OpenPage("papers")))
    if bench.tested.get((subject.lamp, material)):
        out.append(Option(say("What was tested"), "2", OpenPage("tested")))
    if (subject.lamp, material) in bench.against:
        gap = Gap(cm.ExplainCoupon(subject.lamp, material, ""), "reason")
        asked = say("What was found out about the tab that failed")
        out.append(
            Option(say("Explain the failed tab"), "3", gap, hold=True, needs_text=asked)
        )
    return tuple(out)


def _first(bench: Bench, subject: Subject, material: str) -> Option:
    if bench.coupon is not None:
        told = say("Go on with coupon {id}", id=bench.coupon.coupon.id)
        return Option(told, "Enter", cm.BringCoupon(), tone="attention")
    part = subject.part
    begin = cm.BeginCoupon(
        subject.lamp,
        subject.lot,
        part.box,
        part.vessel,
        subject.recipe.planned_tack_s,
        second_half(part) or subject.recipe.total // 2,
        own_glycerine=True,
    )
    if newest_of_another_lot(bench, subject.lamp, material, subject.lot) and (
        tests_of(bench, subject.lamp, subject.lot).holds is None
    ):
        told = say(
            "New lot: three tabs, {minutes_short} min of hands",
            minutes_short=test.MINUTES_SHORT,
        )
        return Option(told, "Enter", replace(begin, short=True), tone="attention")
    told = say(
        "Coupon test: {minutes} min of hands, {minutes_at_worst} at worst",
        minutes=test.MINUTES,
        minutes_at_worst=test.MINUTES_AT_WORST,
    )
    return Option(told, "Enter", begin, tone="attention")


def tested(bench: Bench, now: Instant) -> TableView:
    """Return every coupon test on file, the newest first, and what ends them."""
    del now
    found = sorted(
        (each for tests in bench.tested.values() for each in tests),
        key=lambda each: (each.day, each.coupon.id),
        reverse=True,
    )
    rows = tuple(
        (
            each.coupon.id,
            say("{lamp} on {lot}", lamp=each.coupon.lamp, lot=each.coupon.lot),
            f"{each.coupon.box}, {each.coupon.vessel}, {each.coupon.count}",
            shows(each),
            each.ended or _until(each),
        )
        for each in found
    )
    lamps = dict.fromkeys(each.coupon.lamp for each in found if not each.ended)
    boxes = dict.fromkeys(each.coupon.box for each in found if not each.ended)
    ends = [
        Option(
            say("{lamp}: repaired or another tip", lamp=lamp),
            str(n),
            cm.EndCoupons("lamp", lamp, "repair"),
            hold=True,
        )
        for n, lamp in enumerate(lamps, start=1)
    ]
    ends += [
        Option(
            say("{box}: another box lamp", box=box),
            str(n),
            cm.EndCoupons("box", box, "another box lamp"),
            hold=True,
        )
        for n, box in enumerate(boxes, start=len(lamps) + 1)
    ]
    return TableView(
        say("What was tested here"),
        (
            say("Test"),
            say("Lamp on lot"),
            say("Box, vessel, count"),
            say("Shows"),
            say("Good to"),
        ),
        rows,
        say(
            "No coupon was tested yet. How well: a coupon takes about 16 min of hands."
        ),
        tuple(ends[:9]),
        note=test.PROVES,
    )


def shows(tested_: Tested) -> str:
    """Return in a few words what a coupon shows."""
    coupon = tested_.coupon
    if not coupon.held_s:
        return say("not set at {tried_s:g} s", tried_s=coupon.tried_s)
    if not coupon.top_s:
        return say("sets from {star_s} s; skin untested", star_s=coupon.star_s)
    if not coupon.finished:
        return say("soft at the end after {top_s:g} s", top_s=coupon.top_s)
    return say("{star_s} to {top_s:g} s", star_s=coupon.star_s, top_s=coupon.top_s)
