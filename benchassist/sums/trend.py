"""How a lamp ages by its own meter: the line, its band, and the day it meets the floor.

Readings are shares of the lamp's baseline, all with the practice's own meter at one
distance. A weighted least-squares line with the 95 % prediction band of one more
reading (any textbook of regression) is drawn once there are ``LEAST`` of them; a
repair or a new tip begins anew.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite

from benchassist.clock import DAY_MS, Instant
from benchassist.domain import events as ev
from benchassist.physics.drift import bound_at_floor_h
from benchassist.physics.regression import fit_line
from benchassist.value import value

LEAST = 4  # readings; with three the band of a fourth is wider than any lamp falls
LEAST_DAYS = 2.0  # from the first to the last; of one morning no line leads on
AHEAD_DAYS = 60  # how far the band is drawn
FAR_DAYS = 3650  # a day further away is no forecast
STEPS = 24


@value
class Point:
    """A reading: days before (negative) now, and its share of the baseline."""

    day: float
    share: float


@value
class Band:
    """The line and its 95 % prediction band at a day from now."""

    day: float
    line: float
    low: float
    high: float


@value
class Trend:
    """What a lamp's readings say.

    ``share`` is the last one, ``band`` is empty with fewer than ``LEAST`` readings, or
    in less than ``LEAST_DAYS``.
    ``floor_day`` is in how many days the lower bound meets the floor: 0 where it has,
    ``None`` where it does not within ten years. ``jump`` is how far the last reading
    lies outside the band that those before it foretold, in shares: the lamp was
    dropped, dirtied, or read otherwise.
    """

    points: tuple[Point, ...]
    share: float
    floor: float
    band: tuple[Band, ...] = ()
    floor_day: float | None = None
    jump: float = 0.0

    @property
    def out_of_service(self) -> bool:
        """Whether the last reading is under the floor."""
        return self.share < self.floor


def readings_of(entries: Iterable[ev.Entry], code: str) -> list[tuple[Instant, float]]:
    """Return a lamp's or a box's readings in order, those since it was made new.

    A lamp's begin anew with a repair or a new tip, a box's with a new lamp in it.
    """
    found: list[tuple[Instant, float]] = []
    for entry in entries:
        match entry.event:
            case ev.LampReadingTaken(lamp=of) if of == code:
                found.append((entry.at, entry.event.reading))
            case ev.LampServiced(lamp=of, act="repaired" | "tip changed") if of == code:
                found.clear()
            case ev.BoxRead(box=of, what="light") if of == code:
                found.append((entry.at, entry.event.value))
            case ev.BoxRead(box=of, what="new lamp") if of == code:
                found.clear()
    return found


def trend(
    readings: Iterable[tuple[Instant, float]],
    baseline: float,
    floor: float,
    now: Instant,
) -> Trend | None:
    """Return the trend of readings in the meter's own unit; ``None`` without one.

    Raises
    ------
    ValueError
        If the baseline is not above zero.
    """
    if not baseline > 0:
        msg = "A trend wants the lamp's baseline reading."
        raise ValueError(msg)
    points = tuple(
        Point((at.wall_ms - now.wall_ms) / DAY_MS, reading / baseline)
        for at, reading in readings
    )
    if not points:
        return None
    share = points[-1].share
    if len(points) < LEAST or points[-1].day - points[0].day < LEAST_DAYS:
        return Trend(points, share, floor)
    days = [point.day for point in points]
    line = fit_line(days, [point.share for point in points])
    meets = bound_at_floor_h(line, start_h=0.0, floor=floor)
    first, span = days[0], AHEAD_DAYS - days[0]
    drawn = (first + span * n / STEPS for n in range(STEPS + 1))
    band = []
    for day in drawn:
        half = line.prediction_half_width(day)
        band.append(Band(day, line.at(day), line.at(day) - half, line.at(day) + half))
    floor_day = meets if isfinite(meets) and meets <= FAR_DAYS else None
    return Trend(points, share, floor, tuple(band), floor_day, _jump(points))


def _jump(points: tuple[Point, ...]) -> float:
    """Return how far the last reading lies below what those before it foretold."""
    *before, last = points
    if len(before) < LEAST or before[-1].day - before[0].day < LEAST_DAYS:
        return 0.0
    line = fit_line([each.day for each in before], [each.share for each in before])
    low = line.at(last.day) - line.prediction_half_width(last.day)
    return max(0.0, low - last.share)
