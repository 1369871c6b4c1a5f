"""How a lamp ages, in words and as a plot."""

from __future__ import annotations

from datetime import timedelta

from benchassist.clock import Instant
from benchassist.sums.trend import Trend
from benchassist.ui.present.physics.plot import Band, Dots, Line, Mark, Plot
from benchassist.ui.words import say

LEAST_DAYS = 7.0  # [days] drawn to either side of today
FEW = say("fewer than four readings over two days: no line yet")


def words(lamp: str, found: Trend | None, now: Instant) -> tuple[str, str]:
    """Return one sentence on what the readings say, and its tone."""
    if found is None:
        return say("{lamp} was never read. Key E, then 1.", lamp=lamp), "quiet"
    share = say(
        "{lamp} gives {it:.0f} % of its baseline", lamp=lamp, it=100 * found.share
    )
    if found.out_of_service:
        floor = f"{100 * found.floor:.0f} %"
        return say(
            "{share}, under {floor}: take it out of service.", share=share, floor=floor
        ), "stop"
    if found.jump:
        told = say(
            "{share}, {it:.0f} % under the band it kept till now",
            share=share,
            it=100 * found.jump,
        )
        return say(
            "{told}: who touched it? Wipe it, read it again.", told=told
        ), "attention"
    if not found.band:
        return f"{share}; {FEW}.", "quiet"
    if found.floor_day is None:
        return say("{share} and does not fall.", share=share), "good"
    day = (now.local() + timedelta(days=found.floor_day)).date()
    return say(
        "{share}. It may be under its floor from {day}.", share=share, day=day
    ), "ink"


def plot(found: Trend) -> Plot:
    """Return the readings, their line and band, and the floor."""
    days = tuple(point.day for point in found.points)
    shares = tuple(100 * point.share for point in found.points)
    x = tuple(each.day for each in found.band)
    low = min((*shares, *(100 * each.low for each in found.band), 100 * found.floor))
    high = max((*shares, *(100 * each.high for each in found.band), 100.0))
    bands: tuple[Band, ...] = ()
    lines: tuple[Line, ...] = ()
    if found.band:
        bands = (
            Band(
                say("where the next one falls, 95 of 100"),
                x,
                tuple(100 * each.low for each in found.band),
                tuple(100 * each.high for each in found.band),
            ),
        )
        lines = (
            Line(say("its line"), x, tuple(100 * each.line for each in found.band)),
        )
    return Plot(
        say("days from today"),
        say("share of the baseline, %"),
        (min(days[0], -LEAST_DAYS), max((*x, LEAST_DAYS))),
        (low - 5, high + 5),
        lines=lines,
        bands=bands,
        marks=(Mark(say("out of service"), y=100 * found.floor),),
        dots=(Dots(say("own meter"), days, shares),),
    )
