"""The parts of a plot as items of the plotting library, moved rather than made anew.

A slider asks for the same plot many times a second; making its items costs more than
computing what they show.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from benchassist.ui.present.physics.plot import (
    Band,
    Dots,
    Ink,
    Line,
    Mark,
    Plot,
    Range,
    Shape,
    Stroke,
)
from benchassist.ui.theme import NEAR, Theme

STROKES = {
    "solid": Qt.PenStyle.SolidLine,
    "dashed": Qt.PenStyle.DashLine,
    "dotted": Qt.PenStyle.DotLine,
    "dashdot": Qt.PenStyle.DashDotLine,
}
SYMBOLS: dict[Shape, str] = {"disc": "o", "ring": "o", "triangle": "t1", "cross": "x"}
BAND_ALPHA, SHADE_ALPHA = 0.3, 0.45
TICKS = 6  # on an axis, about
FEWEST = 3  # on an axis of logarithms
EDGE = 0.03  # of an axis on which no tick stands: its number would be cut
ROOM = 0.07  # of an axis that a word behind a bar needs
BESIDE = 0.55  # height of the word beside an upright line
OPEN_END = "\N{RIGHTWARDS ARROW}"


def ink_of(theme: Theme, ink: Ink) -> str:
    """Return the colour of an ink."""
    return str(getattr(theme.palette, ink))


class Drawing:
    """Puts a view onto the library's plot, and later views of the same parts."""

    def __init__(self, library: Any, plot: Any, theme: Theme) -> None:  # noqa: ANN401 - has no types
        self._library, self._plot, self._theme = library, plot, theme
        self._view: Plot | None = None
        self._moves: list[Callable[[Any], None]] = []

    def takes(self, view: Plot) -> bool:
        """Return whether ``view`` has the same parts as the one that is shown."""
        return self._view is not None and _parts(self._view) == _parts(view)

    def show(self, view: Plot) -> None:
        """Make the parts of a view the first time, move them afterwards."""
        fresh, self._view = self._view is None, view
        makers: dict[type, Callable[[Any], Callable[[Any], None]]] = {
            Band: self._band,
            Line: self._line,
            Mark: self._mark,
            Range: self._range,
            Dots: self._dots,
        }
        drawn = _drawn(view)
        if fresh:
            self._moves = [makers[type(each)](each) for each in drawn]
        for move, each in zip(self._moves, drawn, strict=True):
            move(each)
        low, high = (self._x(each) for each in view.x_range)
        self._plot.setXRange(low, high, padding=0)
        self._plot.setYRange(*view.y_range, padding=0)

    # --- parts: each maker returns what moves its item ---------------------------

    def _line(self, line: Line) -> Callable[[Line], None]:
        if line.shade:
            shade = QColor(ink_of(self._theme, line.ink))
            shade.setAlphaF(SHADE_ALPHA)
            item = self._curve(pen=None, fillLevel=0, brush=shade)
        else:
            pen = self._pen(line.ink, line.stroke, 0.6)
            item = self._curve(pen=pen, antialias=True)
        return lambda new: item.setData(self._xs(new.x), list(new.y))

    def _band(self, band: Band) -> Callable[[Band], None]:
        low, high = self._curve(pen=None), self._curve(pen=None)
        shade = QColor(ink_of(self._theme, band.ink))
        shade.setAlphaF(BAND_ALPHA)
        self._plot.addItem(self._library.FillBetweenItem(low, high, brush=shade))

        def move(new: Band) -> None:
            low.setData(self._xs(new.x), list(new.low))
            high.setData(self._xs(new.x), list(new.high))

        return move

    def _mark(self, mark: Mark) -> Callable[[Mark], None]:
        item = self._curve(pen=self._pen(mark.ink, mark.stroke, 0.5))
        text = self._text(mark.ink)

        def move(new: Mark) -> None:
            (left, right), (low, high) = self._ends()
            text.setText(new.label)
            if new.x is None:
                at = new.y or 0.0
                item.setData([left, right], [at, at])
                text.setAnchor((0.0, 1.0))
                text.setPos(left, at)
                return
            at = min(max(self._x(new.x), left), right)
            item.setData([at, at], [low, high])
            # Below the bars, which stand at the top.
            text.setAnchor((float(at > (left + 2 * right) / 3), 0.5))
            text.setPos(at, low + BESIDE * (high - low))

        return move

    def _range(self, one: Range) -> Callable[[Range], None]:
        """Make a value's band as a bar; an end without end is an open arrow."""
        item = self._curve(pen=self._pen("measured", "solid", 1.4))
        middle = self._scatter("d", "ink", filled=True)
        label, end = self._text("ink"), self._text("ink")

        def move(new: Range) -> None:
            (left, right), _ = self._ends()
            low, high = (
                min(max(self._x(each), left), right) for each in (new.low, new.high)
            )
            item.setData([low, high], [new.level] * 2)
            inside = left <= self._x(new.median) <= right
            middle.setData([self._x(new.median)] * inside, [new.level] * inside)
            beyond = self._x(new.low) > right
            label.setText(f"{new.label} {OPEN_END}" if beyond else new.label)
            after = new.after and high < right - ROOM * (right - left)
            label.setAnchor((0.0 if after else 1.0, 0.5))
            label.setPos(high if after else low, new.level)
            end.setText(OPEN_END if self._x(new.high) > right and not beyond else "")
            end.setAnchor((1.0, 0.5))
            end.setPos(high, new.level)

        del one
        return move

    def _dots(self, dots: Dots) -> Callable[[Dots], None]:
        item = self._scatter(SYMBOLS[dots.shape], dots.ink, filled=dots.shape == "disc")
        return lambda new: item.setData(self._xs(new.x), list(new.y))

    # --- items ------------------------------------------------------------------

    def _curve(self, **look: Any) -> Any:  # noqa: ANN401
        item = self._library.PlotCurveItem(**look)
        self._plot.addItem(item)
        return item

    def _scatter(self, symbol: str, ink: Ink, *, filled: bool) -> Any:  # noqa: ANN401
        colour = ink_of(self._theme, ink)
        item = self._library.ScatterPlotItem(
            symbol=symbol,
            size=self._theme.px(2.8),
            brush=colour if filled else None,
            pen=self._pen(ink, "solid", 0.5),
        )
        self._plot.addItem(item)
        return item

    def _text(self, ink: Ink) -> Any:  # noqa: ANN401
        item = self._library.TextItem("", color=ink_of(self._theme, ink))
        item.setFont(self._theme.face(NEAR).font)
        self._plot.addItem(item)
        return item

    def _pen(self, ink: Ink, stroke: Stroke, mm: float) -> Any:  # noqa: ANN401
        return self._library.mkPen(
            ink_of(self._theme, ink), width=self._theme.px(mm), style=STROKES[stroke]
        )

    def _x(self, at: float) -> float:
        logarithmic = self._view is not None and self._view.log_x
        if not logarithmic or math.isinf(at):
            return at
        return math.log10(at) if at > 0 else -math.inf

    def _xs(self, points: tuple[float, ...]) -> list[float]:
        return [self._x(each) for each in points]

    def _ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        view = self._view
        if view is None:
            return (0.0, 1.0), (0.0, 1.0)
        left, right = view.x_range
        return (self._x(left), self._x(right)), view.y_range


class _Part(NamedTuple):
    kind: type
    look: object


def _drawn(view: Plot) -> list[Band | Line | Mark | Range | Dots]:
    """Return all parts of a view, from the ground up."""
    return [*view.bands, *view.lines, *view.marks, *view.ranges, *view.dots]


def _parts(view: Plot) -> list[_Part]:
    """Return what of a view's parts cannot be changed by moving them."""
    return [_Part(type(each), _look(each)) for each in _drawn(view)]


def _look(part: Band | Line | Mark | Range | Dots) -> object:
    match part:
        case Line():
            return replace(part, label="", x=(), y=())
        case Band():
            return replace(part, label="", x=(), low=(), high=())
        case Mark():
            return part.stroke, part.ink
        case Dots():
            return part.shape, part.ink
        case Range():
            return None


def even_ticks(low: float, high: float) -> list[tuple[float, str]]:
    """Return round numbers between two ends, a few of them, the ends left out."""
    span = high - low
    if span <= 0:
        return [(low, f"{low:g}")]
    rough = span / TICKS
    scale = 10.0 ** math.floor(math.log10(rough))
    step = next(m * scale for m in (1, 2, 5, 10) if m * scale >= rough * 0.999)
    # One at the very end would be cut.
    first = math.ceil((low + EDGE * span * (low != 0)) / step - 1e-9)
    last = math.floor((high - EDGE * span) / step + 1e-9)
    at = [n * step for n in range(first, last + 1)]
    return [(each, f"{round(each, 10):g}") for each in at]


def log_ticks(low: float, high: float) -> list[tuple[float, str]]:
    """Return 1, 2 and 5 of each decade between two ends, at their logarithms.

    Where these are too few, even steps at theirs.
    """
    found = []
    margin = (high / low) ** EDGE
    for decade in range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1):
        for step in (1, 2, 5):
            at = step * 10.0**decade
            if low * margin <= at <= high / margin:
                found.append((math.log10(at), f"{at:g}"))
    if len(found) < FEWEST:
        return [(math.log10(at), text) for at, text in even_ticks(low, high) if at > 0]
    return found
