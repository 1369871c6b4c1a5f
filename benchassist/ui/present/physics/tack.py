"""The tack window: the least and the most seconds, what was tried, what is planned."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from benchassist.domain.light import judge_lamp
from benchassist.domain.state import pair_key
from benchassist.physics.coat import COARSE, Exposure
from benchassist.physics.coat_tack import (
    SKIN_LIMIT_UM,
    Lamp,
    TackWindow,
    Tried,
    tack_window,
)
from benchassist.physics.coat_uncertainty import band, draw_sample
from benchassist.sums.coat import FROM_MEMORY, Coating
from benchassist.ui.present.physics.plot import (
    Dots,
    Line,
    Mark,
    Plot,
    Points,
    Range,
    Shape,
    spread,
)
from benchassist.value import value

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchassist.domain.events import CouponRecorded
    from benchassist.domain.state import Bench

CHUNK, CHUNKS = 24, 2  # draws at a time, between which a newer question is looked for
FIRST_SHOWN_S = 0.3  # [s] no hand is quicker; a choice
FEWEST_AGREEING = 4  # draws that must agree with all coupons for these to narrow it
COUPON_ROW = 0.06  # share of the plot's height at which coupons are drawn

WHY = {
    "never": "most likely no time sets the body: too little of this light acts on it,"
    " or oxygen wins. Another lamp or another resin.",
    "closed": "no tack does both here. What sets the body already spends the skin's"
    " initiator: a weaker lamp, a thinner coat or another resin.",
    "short": "the body of the coat will not have set, and it moves in the glycerine.",
    "long": "it spends the skin's initiator while oxygen still wins there, and nothing"
    " is left to cure it under cover.",
    "maybe short": "it lies inside the band of the least.",
    "maybe long": "it lies inside the band of the most.",
}

Pairs = tuple[tuple[float, float], ...]


@value
class Window:
    """Least and most seconds, one pair for each draw; one pair where none were drawn.

    Infinite least: no time sets the body. ``seconds``, ``skin_um`` and ``unset_um``
    are central values: the skin left soft at the end, and how deep from the bottom
    the last coat has not set as its lamp goes off.
    """

    pairs: Pairs
    seconds: Points
    skin_um: Points
    unset_um: Points


def central(coating: Coating) -> Window:
    """Return the window at the values in use, and both curves over the seconds."""
    found = _window(coating)
    tried = Tried(*(of[0] for of in found.tried))
    longest = max(60.0, 3 * coating.planned_s)
    order = np.argsort(tried.seconds)
    seconds = tried.seconds[order]
    shown = order[(seconds >= FIRST_SHOWN_S) & (seconds <= longest)]
    return Window(
        pairs=_pairs(found),
        seconds=tuple(map(float, tried.seconds[shown])),
        skin_um=tuple(map(float, tried.skin_um[shown])),
        unset_um=tuple(map(float, tried.unset_um[shown])),
    )


def drawn(coating: Coating, found: Window, stop: Callable[[], bool]) -> Window | None:
    """Return the window with its draws, or None once ``stop`` says so."""
    pairs: Pairs = ()
    for seed in range(CHUNKS):
        if stop():
            return None
        pairs += _pairs(_window(coating, draws=CHUNK, seed=seed, near=found.pairs[0]))
    return Window(pairs, found.seconds, found.skin_um, found.unset_um)


def _later(coating: Coating) -> list[Exposure]:
    cover = coating.subject.part.variant.cover
    return coating.ending("nitrogen" if cover == "nitrogen" else "glycerine")


def _window(
    coating: Coating,
    *,
    draws: int = 0,
    seed: int = 0,
    near: tuple[float, float] | None = None,
) -> TackWindow:
    initiators = len(coating.resin.initiators)
    return tack_window(
        coating.resin,
        Lamp(coating.lamp_mw_cm2_nm),
        (coating.coat_um,) * coating.subject.coats,
        _later(coating),
        sample=draw_sample(draws, initiators=initiators, seed=seed) if draws else None,
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
    """Return the draws that agree with the coupons, and a sentence on it.

    Where hardly any draw agrees, coupons and model contradict each other: something
    on file is wrong, and neither narrows the other.
    """
    told = tuple(each for each in coupons if each.tack_s > 0)
    if not told:
        return pairs, "No coupon with its seconds was tried yet."
    kept = tuple(pair for pair in pairs if all(agrees(pair, each) for each in told))
    count = f"{len(told)} coupon" + ("s" if len(told) > 1 else "")
    if len(pairs) == 1:
        return pairs, f"{count} tried."
    if len(kept) < FEWEST_AGREEING:
        return pairs, (
            f"{count} and the model contradict each other: something on file is wrong "
            "(initiator, thickness, lamp). They do not narrow the window."
        )
    narrow = "narrows" if len(told) == 1 else "narrow"
    return kept, f"{count} {narrow} it: {len(kept)} of {len(pairs)} draws agree."


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
    coupons = bench.trials.get(pair_key(subject.lamp, material), ())
    pairs, told = narrowed(found.pairs, coupons)
    least, most = (_three([pair[n] for pair in pairs]) for n in (0, 1))
    verdict, fits = judged(coating.planned_s, least, most)
    lines = [
        f"Least {spread(*least, unit='s')}: the coat's body sets.",
        f"Most {spread(*most, unit='s')}: beyond it the skin stays soft at the end.",
        FROM_MEMORY,
        told,
    ]
    answer = judge_lamp(bench, subject.lamp, subject.lot, coating.planned_s)
    if answer.level == "fail":
        lines.append(
            f"The light check says FAIL ({answer.reason}); no coupon changes that."
        )
    if len(found.pairs) == 1:
        lines.append("Central values; the band follows.")
    return TackView(
        plot=_plot(coating, found, least, most, coupons),
        verdict=verdict,
        fits=fits,
        lines=(*lines, *coating.notes),
    )


Three = tuple[float, float, float]


def _three(values: list[float]) -> Three:
    found = band(np.asarray(values))
    return float(found.low), float(found.median), float(found.high)


def judged(planned_s: float, least: Three, most: Three) -> tuple[str, bool]:
    """Return what is to be said of a planned tack, and whether it fits."""
    planned = f"{planned_s:g} s a spot"
    if math.isinf(least[1]) or least[1] > most[1]:
        why = WHY["never" if math.isinf(least[1]) else "closed"]
        return f"{planned}: {why}", False
    if planned_s < least[0]:
        return f"{planned} is too short: {WHY['short']}", False
    if planned_s > most[2]:
        return f"{planned} is too long: {WHY['long']}", False
    if planned_s < least[2]:
        return f"{planned} may be too short: {WHY['maybe short']}", False
    if planned_s > most[0]:
        return f"{planned} may be too long: {WHY['maybe long']}", False
    return f"{planned} lies inside the window.", True


_SHAPES: dict[str, tuple[str, Shape]] = {
    "": ("coupon failed", "ring"),
    "not set": ("coupon not set", "triangle"),
    "tacky at the end": ("coupon tacky at the end", "cross"),
}


def _plot(
    coating: Coating,
    found: Window,
    least: Three,
    most: Three,
    coupons: tuple[CouponRecorded, ...],
) -> Plot:
    # What lies above is cut: the coat is then unset to its top, which is enough said.
    top = 1.6 * max(4.0, *found.skin_um)
    dots = []
    for label, shape, shown in (
        ("coupon passed", "disc", [each for each in coupons if each.passed]),
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
        "seconds a spot",
        "soft, µm",
        (found.seconds[0], found.seconds[-1]),
        (0.0, top),
        lines=(
            Line("skin, at the end", found.seconds, found.skin_um),
            Line(
                "body, as the lamp goes off",
                found.seconds,
                found.unset_um,
                "dashed",
                "measured",
            ),
        ),
        marks=(
            Mark(f"planned {coating.planned_s:g} s", x=coating.planned_s),
            Mark("allowed", y=SKIN_LIMIT_UM, stroke="dotted", ink="quiet"),
        ),
        ranges=(
            Range("least", *least, level=0.92 * top),
            Range("most", *most, level=0.8 * top, after=True),
        ),
        dots=tuple(dots),
        log_x=True,
    )
