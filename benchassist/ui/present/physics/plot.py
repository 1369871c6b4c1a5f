"""A plot as plain values, and how numbers are written on these pages."""

from __future__ import annotations

import math
from typing import Literal

from benchassist.ui.words import say
from benchassist.value import value

Stroke = Literal["solid", "dashed", "dotted", "dashdot"]
Ink = Literal["ink", "measured", "quiet", "attention", "good", "stop"]
Shape = Literal["disc", "ring", "triangle", "cross"]
Points = tuple[float, ...]


@value
class Line:
    """A curve; ``shade`` fills the ground below it."""

    label: str
    x: Points
    y: Points
    stroke: Stroke = "solid"
    ink: Ink = "ink"
    shade: bool = False


@value
class Band:
    """What is unsure: the ground between two curves over the same x."""

    label: str
    x: Points
    low: Points
    high: Points
    ink: Ink = "measured"


@value
class Mark:
    """An upright line at ``x``, or a level one at ``y``, with words beside it."""

    label: str
    x: float | None = None
    y: float | None = None
    stroke: Stroke = "solid"
    ink: Ink = "attention"


@value
class Dots:
    """Points that were measured or tried."""

    label: str
    x: Points
    y: Points
    shape: Shape = "disc"
    ink: Ink = "attention"


@value
class Range:
    """A value with its band as a bar at height ``level``; an infinite end is open.

    Its word stands before the bar, or ``after`` it where there is room.
    """

    label: str
    low: float
    median: float
    high: float
    level: float
    after: bool = False


@value
class Plot:
    """A plot: what its axes are and all that is drawn on them."""

    x_title: str
    y_title: str
    x_range: tuple[float, float]
    y_range: tuple[float, float]
    lines: tuple[Line, ...] = ()
    bands: tuple[Band, ...] = ()
    marks: tuple[Mark, ...] = ()
    dots: tuple[Dots, ...] = ()
    ranges: tuple[Range, ...] = ()
    log_x: bool = False
    y_axis: bool = True

    @property
    def spoken(self) -> str:
        """Return what a screen reader says of it."""
        labels = [
            *(each.label for each in self.bands),
            *(each.label for each in self.lines),
            *(each.label for each in self.dots),
            *(each.label for each in self.ranges),
            *(each.label for each in self.marks),
        ]
        told = "; ".join(label for label in labels if label)
        return say(
            "{y_title} against {x_title}: {told}",
            y_title=self.y_title,
            x_title=self.x_title,
            told=told,
        )


def number(amount: float, digits: int = 2) -> str:
    """Return a number in two significant digits or more, without an exponent."""
    if not math.isfinite(amount):
        return say("no end")
    if amount == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(amount)))
    rounded = round(amount, places)
    return f"{rounded:.{max(0, places)}f}"


def spread(low: float, median: float, high: float, *, unit: str = "") -> str:
    """Return a value with its band: never a bare number where the band is wide.

    An end that is not bounded is said in words, not hidden.
    """
    mark = f" {unit}" if unit else ""
    if math.isinf(median):
        known = math.isfinite(low)
        return (
            say("no end known, from {number}{mark}", number=number(low), mark=mark)
            if known
            else say("no end known")
        )
    if number(low) == number(high):
        return f"{number(median)}{mark}"
    top = number(high) if math.isfinite(high) else say("no end")
    return say(
        "{number}{mark} ({number2} to {top})",
        number=number(median),
        mark=mark,
        number2=number(low),
        top=top,
    )


def thinned(x: Points, y: Points, most: int = 160) -> tuple[Points, Points]:
    """Return about ``most`` of the points, the last one kept."""
    step = max(1, len(x) // most)
    kept = (*range(0, len(x) - 1, step), len(x) - 1)
    return tuple(x[n] for n in kept), tuple(y[n] for n in kept)
