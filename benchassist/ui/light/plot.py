"""A plot on a page: curves, bands, marks and points, and a key by stroke.

The plotting library is imported when the first plot is shown, never before.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from importlib import import_module
from typing import Any

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from benchassist.ui.paint import Painted, Run
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
EDGE = 0.03  # of an axis on which no tick stands: its number would be cut


def ink_of(theme: Theme, ink: Ink) -> str:
    """Return the colour of an ink."""
    return str(getattr(theme.palette, ink))


class PlotKey(Painted[Plot]):
    """What is drawn, by stroke and shape, with the upright axis' title first."""

    def spoken(self, view: Plot) -> str:
        """Return the plot in words."""
        return view.spoken

    def height_for(self, width: int) -> int:
        """Return the height that the key needs at ``width`` pixels."""
        runs = self._place(self.view, width) if self.view else []
        if not runs:
            return 0
        lowest = max(run.baseline + run.face.depth for run, _ in runs)
        return round(lowest + self.theme.px(1.0))

    def lay(self, view: Plot) -> Iterator[Run]:
        """Lay out the labels."""
        for run, _ in self._place(view, self.width()):
            yield run

    def draw(self, painter: QPainter, view: Plot) -> None:
        """Draw a sample before each label."""
        for run, drawn in self._place(view, self.width()):
            if drawn is not None:
                box = QRectF(
                    run.x - self._sample(),
                    run.baseline - run.face.cap,
                    self._sample() - self.theme.px(2.0),
                    run.face.cap,
                )
                self._draw_sample(painter, box, drawn)

    def _draw_sample(
        self, painter: QPainter, box: QRectF, drawn: Line | Band | Dots
    ) -> None:
        ink = QColor(ink_of(self.theme, drawn.ink))
        middle = box.center().y()
        if isinstance(drawn, Band) or (isinstance(drawn, Line) and drawn.shade):
            ink.setAlphaF(SHADE_ALPHA)
            painter.fillRect(box, ink)
        elif isinstance(drawn, Line):
            painter.setPen(QPen(ink, self.theme.px(0.8), STROKES[drawn.stroke]))
            painter.drawLine(QPointF(box.left(), middle), QPointF(box.right(), middle))
        else:
            draw_shape(painter, box.center(), box.height() / 2, drawn.shape, ink)

    def _sample(self) -> float:
        return self.theme.px(9.0)

    def _place(
        self, view: Plot, width: int
    ) -> list[tuple[Run, Line | Band | Dots | None]]:
        face, palette = self.theme.face(NEAR), self.theme.palette
        found: list[tuple[Run, Line | Band | Dots | None]] = []
        x, line = 0.0, face.rise
        if view.y_axis:
            title = f"{view.y_title} against {view.x_title}"
            run = Run(title, 0, line, face, palette.quiet, palette.ground)
            found.append((run, None))
            line += face.pitch
        drawn: tuple[Line | Band | Dots, ...] = (*view.lines, *view.bands, *view.dots)
        for each in drawn:
            if not each.label:
                continue
            needed = self._sample() + face.width(each.label)
            if x and x + needed > width:
                x, line = 0.0, line + face.pitch
            at = x + self._sample()
            run = Run(each.label, at, line, face, palette.ink, palette.ground)
            found.append((run, each))
            x += needed + self.theme.px(5.0)
        return found


def draw_shape(
    painter: QPainter, at: QPointF, reach: float, shape: Shape, ink: QColor
) -> None:
    """Draw the shape of a tried or measured point."""
    painter.setPen(QPen(ink, max(1.5, reach / 4)))
    painter.setBrush(ink if shape == "disc" else Qt.BrushStyle.NoBrush)
    if shape in ("disc", "ring"):
        painter.drawEllipse(at, reach, reach)
    elif shape == "cross":
        painter.drawLine(at - QPointF(reach, reach), at + QPointF(reach, reach))
        painter.drawLine(at - QPointF(reach, -reach), at + QPointF(reach, -reach))
    else:
        top = at - QPointF(0, reach)
        right, left = at + QPointF(reach, reach), at + QPointF(-reach, reach)
        painter.drawPolygon([top, right, left])


class PlotPane(QWidget):
    """A key and a plot; empty until there is something to show."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._view: Plot | None = None
        self._key = PlotKey(theme, self)
        self._widget: Any = None
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    @property
    def view(self) -> Plot | None:
        """The plot that is shown."""
        return self._view

    def show_view(self, view: Plot | None) -> None:
        """Show another plot; nothing for None."""
        if view == self._view:
            return
        self._view = view
        self._key.setVisible(view is not None)
        if self._widget is not None:
            self._widget.setVisible(view is not None)
        if view is not None:
            self.setAccessibleName(view.spoken)
            self._key.show_view(view)
            self._draw(view)
            self._arrange()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._theme = theme
        if self._view is not None:
            self._draw(self._view)
            self._arrange()

    def resizeEvent(self, event: Any) -> None:  # noqa: ANN401, N802
        """Fit key and plot to the new size."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        if self._view is None or self._widget is None:
            return
        high = self._key.height_for(self.width())
        self._key.setGeometry(0, 0, self.width(), high)
        self._widget.setGeometry(0, high, self.width(), max(0, self.height() - high))

    def _draw(self, view: Plot) -> None:
        pyqtgraph = import_module("pyqtgraph")
        if self._widget is None:
            self._widget = _made(pyqtgraph, self)
            self._widget.show()
        plot = self._widget
        plot.clear()
        plot.setBackground(self._theme.palette.ground)
        self._axes(view)
        drawing = _Drawing(pyqtgraph, plot, self._theme, view)
        for band in view.bands:
            drawing.band(band)
        for line in view.lines:
            drawing.line(line)
        for mark in view.marks:
            drawing.mark(mark)
        for one in view.ranges:
            drawing.range(one)
        for dots in view.dots:
            drawing.dots(dots)
        low, high = (drawing.x(each) for each in view.x_range)
        plot.setXRange(low, high, padding=0)
        plot.setYRange(*view.y_range, padding=0)

    def _axes(self, view: Plot) -> None:
        pyqtgraph, theme = import_module("pyqtgraph"), self._theme
        face, palette = theme.face(NEAR), theme.palette
        bottom, left = self._widget.getAxis("bottom"), self._widget.getAxis("left")
        for axis in (bottom, left):
            axis.setPen(pyqtgraph.mkPen(palette.quiet, width=2))
            axis.setTextPen(palette.quiet)
            axis.setStyle(tickFont=face.font, tickTextOffset=theme.px(1.2))
        ticks = log_ticks(*view.x_range) if view.log_x else even_ticks(*view.x_range)
        if not view.y_axis and ticks:
            ticks[-1] = (ticks[-1][0], f"{ticks[-1][1]} {view.x_title}")
        bottom.setTicks([ticks])
        bottom.setHeight(round(face.pitch + theme.px(2.0)))
        self._widget.showAxis("left", show=view.y_axis)
        if view.y_axis:
            tall = even_ticks(*view.y_range)
            left.setTicks([tall])
            wide = max(face.width(text) for _, text in tall)
            left.setWidth(round(wide + theme.px(3.0)))


def _made(pyqtgraph: Any, parent: QWidget) -> Any:  # noqa: ANN401 - has no types
    plot = pyqtgraph.PlotWidget(parent)
    plot.hideButtons()
    plot.setMenuEnabled(False)
    plot.setMouseEnabled(x=False, y=False)
    plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    plot.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
    return plot


class _Drawing:
    """Puts the parts of one view onto the library's plot."""

    def __init__(self, library: Any, plot: Any, theme: Theme, view: Plot) -> None:  # noqa: ANN401
        self._library, self._plot = library, plot
        self._theme, self._view = theme, view

    def x(self, at: float) -> float:
        """Return where an x lies on the axis."""
        return math.log10(at) if self._view.log_x else at

    def _xs(self, points: tuple[float, ...]) -> list[float]:
        return [self.x(each) for each in points]

    def _pen(self, ink: Ink, stroke: Stroke, mm: float) -> Any:  # noqa: ANN401
        return self._library.mkPen(
            ink_of(self._theme, ink), width=self._theme.px(mm), style=STROKES[stroke]
        )

    def line(self, line: Line) -> None:
        """Draw a curve, or shade the ground below it."""
        if line.shade:
            shade = QColor(ink_of(self._theme, line.ink))
            shade.setAlphaF(SHADE_ALPHA)
            self._plot.plot(
                self._xs(line.x), list(line.y), pen=None, fillLevel=0, brush=shade
            )
            return
        pen = self._pen(line.ink, line.stroke, 0.6)
        self._plot.plot(self._xs(line.x), list(line.y), pen=pen, antialias=True)

    def band(self, band: Band) -> None:
        """Draw the ground between two curves."""
        low, high = (
            self._library.PlotDataItem(self._xs(band.x), list(y))
            for y in (band.low, band.high)
        )
        shade = QColor(ink_of(self._theme, band.ink))
        shade.setAlphaF(BAND_ALPHA)
        fill = self._library.FillBetweenItem(low, high, brush=shade)
        self._plot.addItem(fill)

    def mark(self, mark: Mark) -> None:
        """Draw an upright or a level line with its words."""
        pen = self._pen(mark.ink, mark.stroke, 0.5)
        (left, right), (low, high) = self._view.x_range, self._view.y_range
        if mark.x is not None:
            at = min(max(mark.x, left), right)
            points = [self.x(at)] * 2, [low, high]
            place, anchor = (self.x(at), high), (0.0, 0.0)
            if self.x(at) > (self.x(left) + 2 * self.x(right)) / 3:
                anchor = (1.0, 0.0)
        else:
            at = mark.y or 0.0
            points = [self.x(left), self.x(right)], [at, at]
            place, anchor = (self.x(left), at), (0.0, 1.0)
        self._plot.plot(*points, pen=pen)
        self._text(mark.label, place, anchor, mark.ink)

    def range(self, one: Range) -> None:
        """Draw a value's band as a bar; an end without end is an open arrow."""
        left, right = self._view.x_range
        ends = [min(max(each, left), right) for each in (one.low, one.high)]
        xs = [self.x(each) for each in ends]
        pen = self._pen("measured", "solid", 1.4)
        self._plot.plot(xs, [one.level] * 2, pen=pen)
        if left <= one.median <= right:
            self._plot.plot(
                [self.x(one.median)],
                [one.level],
                pen=None,
                symbol="d",
                symbolSize=self._theme.px(3.0),
                symbolBrush=ink_of(self._theme, "ink"),
                symbolPen=None,
            )
        if one.high > right:
            self._text("\N{RIGHTWARDS ARROW}", (xs[1], one.level), (1.0, 0.5), "ink")
        self._text(one.label, (xs[0], one.level), (1.0, 0.5), "ink")

    def dots(self, dots: Dots) -> None:
        """Draw points that were measured or tried."""
        ink = ink_of(self._theme, dots.ink)
        filled = ink if dots.shape == "disc" else None
        self._plot.plot(
            self._xs(dots.x),
            list(dots.y),
            pen=None,
            symbol=SYMBOLS[dots.shape],
            symbolSize=self._theme.px(2.8),
            symbolBrush=filled,
            symbolPen=self._pen(dots.ink, "solid", 0.5),
        )

    def _text(
        self,
        text: str,
        place: tuple[float, float],
        anchor: tuple[float, float],
        ink: Ink,
    ) -> None:
        item = self._library.TextItem(
            text, color=ink_of(self._theme, ink), anchor=anchor
        )
        item.setFont(self._theme.face(NEAR).font)
        item.setPos(*place)
        self._plot.addItem(item)


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
    """Return 1, 2 and 5 of each decade between two ends, at their logarithms."""
    found = []
    margin = (high / low) ** EDGE
    for decade in range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1):
        for step in (1, 2, 5):
            at = step * 10.0**decade
            if low * margin <= at <= high / margin:
                found.append((math.log10(at), f"{at:g}"))
    return found
