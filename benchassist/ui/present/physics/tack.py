"""The tack window: the least and the most seconds, what was tried, what is planned."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from benchassist.domain.events import CouponRecorded
from benchassist.domain.library import Coupon
from benchassist.domain.light import SOURCED, judge_lamp
from benchassist.domain.state import Bench
from benchassist.domain.tested import tests_of
from benchassist.physics.coat import COARSE, Exposure
from benchassist.physics.coat_resin import ONE_CLEAVAGE
from benchassist.physics.coat_tack import (
    SKIN_LIMIT_UM,
    Lamp,
    TackWindow,
    Tried,
    tack_window,
)
from benchassist.physics.coat_uncertainty import band, draw_sample, nominal_sample
from benchassist.sums.coat import Coating
from benchassist.ui.present.knowing import TESTED
from benchassist.ui.present.physics.plot import (
    Dots,
    Line,
    Mark,
    Plot,
    Points,
    Range,
    Shape,
    number,
    spread,
)
from benchassist.ui.words import say
from benchassist.value import value

CHUNK, CHUNKS = 24, 2  # draws at a time, between which a newer question is looked for
FIRST_SHOWN_S = 0.1  # [s] no hand is quicker; a choice
FEWEST_AGREEING = 4  # draws that must agree with all coupons for these to narrow it
SEEN_HOLE = 0.005  # share of a face from which a hole is told
COUPON_ROW = 0.06  # share of the plot's height at which coupons are drawn

WHY = {
    "never": say(
        "most likely no time sets the body: too little of this light acts "
        "on it, or oxygen wins. Another lamp or another resin."
    ),
    "closed": say(
        "no tack does both here. What sets the body already spends the "
        "skin's initiator: a weaker lamp, a thinner coat or another resin."
    ),
    "unbounded": say(
        "what it listens to is known by class only, so nothing says "
        "that it fits. A coupon would."
    ),
    "short": say(
        "the body of the coat will not have set, and it moves in the glycerine."
    ),
    "long": say(
        "it spends the skin's initiator while oxygen still wins there, and "
        "nothing is left to cure it under cover."
    ),
    "maybe short": say("it lies inside the band of the least."),
    "maybe long": say("it lies inside the band of the most."),
}

Curve = tuple[Points, Points]  # seconds, and micrometres at each
Pairs = tuple[tuple[float, float], ...]


@value
class Window:
    """Least and most seconds: the values in use first, then one pair for each draw.

    Where none were drawn, one pair for each set of rates instead.

    Infinite least: no time sets the body. ``soft`` and ``unset`` are central values
    over the seconds: what is left soft at the end, in all coats, and how deep from the
    bottom the last coat has not set as its lamp goes off.
    """

    pairs: Pairs
    soft: Curve
    unset: Curve


def central(coating: Coating) -> Window:
    """Return the window at the values in use, and both curves over the seconds.

    By every set of rates, the one in use first; the curves are its.
    """
    found = _window(coating)
    longest = max(60.0, 3 * coating.planned_s)
    return Window(
        pairs=_pairs(found),
        soft=_curve(found.skin, longest),
        unset=_curve(found.body, longest),
    )


def _curve(tried: Tried, longest_s: float) -> Curve:
    seconds, soft_um = tried.seconds[0], tried.soft_um[0]
    order = np.argsort(seconds)
    shown = order[(seconds[order] >= FIRST_SHOWN_S) & (seconds[order] <= longest_s)]
    return tuple(map(float, seconds[shown])), tuple(map(float, soft_um[shown]))


def drawn(coating: Coating, found: Window, stop: Callable[[], bool]) -> Window | None:
    """Return the window with its draws, or None once ``stop`` says so.

    The first pair stays that of the values in use.
    """
    pairs, near = found.pairs[:1], found.pairs
    for seed in range(CHUNKS):
        if stop():
            return None
        pairs += _pairs(_window(coating, draws=CHUNK, seed=seed, near=near))
    return Window(pairs, found.soft, found.unset)


def _later(coating: Coating) -> list[Exposure]:
    cover = coating.subject.part.variant.cover
    return coating.ending("nitrogen" if cover == "nitrogen" else "glycerine")


def _window(
    coating: Coating,
    *,
    draws: int = 0,
    seed: int = 0,
    near: Pairs = (),
) -> TackWindow:
    initiators, sets = len(coating.resin.initiators), 1 + len(coating.resin.others)
    if draws:
        sample = draw_sample(draws, initiators=initiators, seed=seed, rate_sets=sets)
    else:
        sample = nominal_sample(initiators=initiators, rows=sets)
        sample = replace(sample, rate_set=np.arange(sets))
    return tack_window(
        coating.resin,
        Lamp(
            coating.lamp_mw_cm2_nm,
            weakest=coating.weakest,
            circles=coating.overlap.circles,
        ),
        (coating.coat_um,) * coating.subject.coats,
        _later(coating),
        sample=sample,
        near=near,
        resolution=COARSE,
        grid_nm=coating.grid_nm,
    )


def _pairs(found: TackWindow) -> Pairs:
    return tuple(
        (float(least), float(most))
        for least, most in zip(found.least_s, found.most_s, strict=True)
    )


# --- coupons -------------------------------------------------------------------


def agrees(pair: tuple[float, float], coupon: CouponRecorded) -> bool:
    """Return whether a window could have given what a coupon showed."""
    least, most = pair
    if coupon.passed:
        return least <= coupon.tack_s <= most
    if coupon.how == "not set":
        return coupon.tack_s < least
    return coupon.how != "tacky at the end" or coupon.tack_s > most


def narrowed(pairs: Pairs, coupons: tuple[CouponRecorded, ...]) -> tuple[Pairs, str]:
    """Return the pair in use and the draws that agree with the coupons, and a sentence.

    Where hardly any draw agrees, coupons and model contradict each other: something
    on file is wrong, and neither narrows the other.
    """
    told = tuple(each for each in coupons if each.tack_s > 0)
    if not told:
        return pairs, say("No coupon with its seconds was tried yet.")
    drawn_ = pairs[1:]
    kept = tuple(pair for pair in drawn_ if all(agrees(pair, each) for each in told))
    count = say("{many} coupon", many=len(told)) + ("s" if len(told) > 1 else "")
    if len(pairs) <= FEWEST_AGREEING:
        return pairs, say("{count} tried.", count=count)
    if len(kept) < FEWEST_AGREEING:
        return pairs, (
            say(
                "{count} and the model contradict each other: something on file is "
                "wrong (initiator, thickness, lamp). They do not narrow the window.",
                count=count,
            )
        )
    narrow = "narrows" if len(told) == 1 else "narrow"
    if all(agrees(pairs[0], each) for each in told):
        first = pairs[0]
    else:  # the values in use are not those of this coat: the middle of what is left
        first = sorted(kept)[len(kept) // 2]
    said = say(
        "{count} {narrow} it: {many} of {many2} draws agree.",
        count=count,
        narrow=narrow,
        many=len(kept),
        many2=len(drawn_),
    )
    return (first, *kept), said


# --- what is shown -------------------------------------------------------------


@value
class TackView:
    """A plot, a verdict on the planned tack, and sentences."""

    plot: Plot
    verdict: str
    fits: bool
    lines: tuple[str, ...]


def tack_view(bench: Bench, coating: Coating, found: Window) -> TackView:
    """Return what is shown of a window beside what was tried and what is planned."""
    subject = coating.subject
    material = bench.lots[subject.lot].material
    coupons = bench.trials.get((subject.lamp, material), ())
    answer = judge_lamp(bench, subject.lamp, subject.lot, coating.planned_s)
    pairs, told = narrowed(found.pairs, coupons)
    least, most = (_three([pair[n] for pair in pairs]) for n in (0, 1))
    known = answer.rung >= SOURCED
    verdict, fits = judged(coating.planned_s, least, most, known=known)
    lines = [
        say(
            "Least {spread}: the body sets, at the weakest point.",
            spread=spread(*least, unit="s"),
        ),
        (
            say(
                "Most {spread}: beyond it more than {skin_limit_um:g} µm stays "
                "soft, in all coats, where {circles} circles meet.",
                spread=spread(*most, unit="s"),
                skin_limit_um=SKIN_LIMIT_UM,
                circles=coating.overlap.circles,
            )
        ),
    ]
    if answer.level == "fail":
        verdict, fits = (
            say("The light check says FAIL ({reason}).", reason=answer.reason),
            False,
        )
        lines = [say("No seconds are shown: no coupon changes that.")]
    else:
        contrary = excluded(coating, least, most)
        if contrary:
            lines.insert(0, contrary)
            fits = False
        coupon = tests_of(bench, subject.lamp, subject.lot).holds
        if answer.rung == TESTED and coupon is not None:
            verdict, fits = within(coating.planned_s, coupon)
    lines += [*_map_words(coating), told]
    if coating.cleaves_twice:
        lines.append(ONE_CLEAVAGE)
    if len(found.pairs) <= FEWEST_AGREEING:
        lines.append(say("Central values; the band follows."))
    return TackView(
        plot=_plot(coating, found, least, most, coupons),
        verdict=verdict,
        fits=fits,
        lines=(*lines, *coating.notes),
    )


def _map_words(coating: Coating) -> tuple[str, ...]:
    """Return what the map of the spots adds, one sentence each."""
    overlap = coating.overlap
    told = [
        (
            say(
                "Weakest point: {weakest:.0%} of the lamp as read, for cold spots "
                "and distance. {lit_twice:.0%} of the face is lit twice.",
                weakest=coating.weakest,
                lit_twice=overlap.lit_twice,
            )
        )
    ]
    if overlap.holes > SEEN_HOLE:
        told.append(
            say(
                "A map of usual size leaves {holes:.0%} without a circle, and no "
                "seconds set that: lay the spots closer (page Spots).",
                holes=overlap.holes,
            )
        )
    return tuple(told)


def excluded(coating: Coating, least: Three, most: Three) -> str:
    """Return that the seconds of the light check and the window exclude each other."""
    asked = coating.planned_s
    if least[0] <= asked <= most[2] or math.isinf(least[1]):
        return ""
    side = (
        say("the body needs {number} s at least", number=number(least[0]))
        if asked < least[0]
        else say("the window ends at {number} s at the latest", number=number(most[2]))
    )
    return say(
        "The exposure on file asks for {asked:g} s, but {side}: they "
        "exclude each other. Exposure, initiator or thickness on file is "
        "wrong, or this lamp is not for this coat.",
        asked=asked,
        side=side,
    )


def within(planned_s: float, coupon: Coupon) -> tuple[str, bool]:
    """Return what a coupon tested here says of a planned tack, and whether it fits."""
    planned = say("{planned_s:g} s a spot", planned_s=planned_s)
    if not coupon.top_s:
        fits = planned_s >= coupon.star_s
        told = say(
            "tested here: sets from {star_s} s; no longest is known",
            star_s=coupon.star_s,
        )
    else:
        fits = coupon.star_s <= planned_s <= coupon.top_s
        told = say(
            "tested here: {star_s} to {top_s:g} s",
            star_s=coupon.star_s,
            top_s=coupon.top_s,
        )
    place = say("lies inside what was") if fits else say("lies outside what was")
    return f"{planned} {place} {told}.", fits


Three = tuple[float, float, float]


def _three(values: list[float]) -> Three:
    """Return low end, the value in use and high end; the first is the one in use."""
    found = band(np.asarray(values))
    middle = values[0]
    return min(float(found.low), middle), middle, max(float(found.high), middle)


def judged(
    planned_s: float, least: Three, most: Three, *, known: bool = True
) -> tuple[str, bool]:
    """Return what is to be said of a planned tack, and whether it fits.

    Where the layer is ``known`` by its class only the window may say that a tack lies
    outside, never that it fits.
    """
    planned = say("{planned_s:g} s a spot", planned_s=planned_s)
    if math.isinf(least[1]) or least[1] > most[1]:
        why = WHY["never" if math.isinf(least[1]) else "closed"]
        return f"{planned}: {why}", False
    said = (
        (planned_s < least[0], say(" is too short: {why}", why=WHY["short"])),
        (planned_s > most[2], say(" is too long: {why}", why=WHY["long"])),
        (not known, f": {WHY['unbounded']}"),
        (planned_s < least[2], say(" may be too short: {why}", why=WHY["maybe short"])),
        (planned_s > most[0], say(" may be too long: {why}", why=WHY["maybe long"])),
    )
    amiss = next((words for holds, words in said if holds), "")
    return planned + (amiss or say(" lies inside the window.")), not amiss


_SHAPES: dict[str, tuple[str, Shape]] = {
    "": (say("coupon failed"), "ring"),
    "not set": (say("coupon not set"), "triangle"),
    "tacky at the end": (say("coupon tacky at the end"), "cross"),
}


def _plot(
    coating: Coating,
    found: Window,
    least: Three,
    most: Three,
    coupons: tuple[CouponRecorded, ...],
) -> Plot:
    # What lies above is cut: the coat is then unset to its top, which is enough said.
    top = 1.6 * max(4.0, *found.soft[1])
    dots = []
    for label, shape, shown in (
        (say("coupon passed"), "disc", [each for each in coupons if each.passed]),
        *(
            (
                *_SHAPES[how],
                [each for each in coupons if not each.passed and each.how == how],
            )
            for how in _SHAPES
        ),
    ):
        tried = tuple(each.tack_s for each in shown if each.tack_s > 0)
        if tried:
            level = (COUPON_ROW * top,) * len(tried)
            dots.append(Dots(label, tried, level, shape))
    return Plot(
        say("seconds a spot"),
        say("soft, µm"),
        (found.soft[0][0], found.soft[0][-1]),
        (0.0, top),
        lines=(
            Line(say("soft at the end"), *found.soft),
            Line(
                say("body, as the lamp goes off"),
                *found.unset,
                "dashed",
                "measured",
            ),
        ),
        marks=(
            Mark(
                say("planned {planned_s:g} s", planned_s=coating.planned_s),
                x=coating.planned_s,
            ),
            Mark("allowed", y=SKIN_LIMIT_UM, stroke="dotted", ink="quiet"),
        ),
        ranges=(
            Range("least", *least, level=0.92 * top),
            Range("most", *most, level=0.8 * top, after=True),
        ),
        dots=tuple(dots),
        log_x=True,
    )
