"""Where the layer absorbs and where the lamp shines, drawn when first asked for.

The plotting library costs more to load than the window; it is loaded here alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from typing import Any

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from benchassist.ui.paint import Painted, Run
from benchassist.ui.theme import NEAR, Theme
from benchassist.ui.view import Curves
from benchassist.ui.words import say

_SHADE = 0.45  # [ratio] opacity of the overlap
_TICK_EVERY_NM = (50, 10)


class CurveKey(Painted[Curves]):
    """Which line is which, by its stroke and not by its colour."""

    def spoken(self, view: Curves) -> str:
        """Return both labels."""
        return say(
            "Dashed: {absorbs_label}. Solid: {shines_label}.",
            absorbs_label=view.absorbs_label,
            shines_label=view.shines_label,
        )

    def height_for(self, width: int) -> int:
        """Return the height that the key needs at ``width`` pixels."""
        runs = self._place(self.view, width) if self.view else []
        return round(max((run.rect.bottom() for run in runs), default=0.0))

    def lay(self, view: Curves) -> Iterator[Run]:
        """Lay out the labels."""
        yield from self._place(view, self.width())

    def draw(self, painter: QPainter, view: Curves) -> None:
        """Draw a sample before each label."""
        palette, runs = self.theme.palette, self.runs()
        styles = (Qt.PenStyle.DashLine, Qt.PenStyle.SolidLine)
        inks = (palette.measured, palette.ink)
        for run, style, ink in zip(runs, styles, inks, strict=False):
            painter.setPen(QPen(QColor(ink), self.theme.px(0.8), style))
            middle = run.baseline - run.face.cap / 2
            painter.drawLine(
                QPointF(run.x - self._sample(), middle),
                QPointF(run.x - self.theme.px(2.0), middle),
            )
        if any(view.overlap):
            run = runs[2]
            shade = QColor(palette.attention)
            shade.setAlphaF(_SHADE)
            left = run.x - self._sample()
            width = self._sample() - self.theme.px(2.0)
            painter.fillRect(QRectF(left, run.capitals.y(), width, run.face.cap), shade)

    def _sample(self) -> float:
        return self.theme.px(10.0)

    def _place(self, view: Curves, width: int) -> list[Run]:
        face, palette = self.theme.face(NEAR), self.theme.palette
        labels = [view.absorbs_label, view.shines_label]
        if any(view.overlap):
            labels.append("both")
        runs: list[Run] = []
        x, line = 0.0, face.rise
        for label in labels:
            needed = self._sample() + face.width(label)
            if x and x + needed > width:
                x, line = 0.0, line + face.pitch
            at = x + self._sample()
            runs.append(Run(label, at, line, face, palette.ink, palette.ground))
            x += needed + self.theme.px(6.0)
        return runs


class CurvePlot(QWidget):
    """The plot itself; empty until there are curves to show."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._curves: Curves | None = None
        self._plot: Any = None
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)

    def show_view(self, curves: Curves) -> None:
        """Draw other curves."""
        if curves == self._curves:
            return
        self._curves = curves
        self.setAccessibleName(
            say(
                "Spectra: {absorbs_label}; {shines_label}",
                absorbs_label=curves.absorbs_label,
                shines_label=curves.shines_label,
            )
        )
        self._draw(curves)

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._theme = theme
        if self._curves is not None:
            self._draw(self._curves)

    def _draw(self, curves: Curves) -> None:
        if self._plot is None:
            self._plot = self._make_plot()
            self._box.addWidget(self._plot)
            self._plot.show()
        pyqtgraph, palette = import_module("pyqtgraph"), self._theme.palette
        plot, nm = self._plot, list(curves.nm)
        plot.clear()
        plot.setBackground(palette.ground)
        axis = plot.getAxis("bottom")
        axis.setPen(pyqtgraph.mkPen(palette.quiet, width=2))
        axis.setTextPen(palette.quiet)
        face = self._theme.face(NEAR)
        axis.setStyle(tickFont=face.font, tickTextOffset=self._theme.px(1.2))
        axis.setHeight(round(face.pitch + self._theme.px(2.0)))
        axis.setTicks([_ticks(curves.nm)])
        shade = QColor(palette.attention)
        shade.setAlphaF(_SHADE)
        thick = self._theme.px(0.7)
        dashed = pyqtgraph.mkPen(
            palette.measured, width=thick, style=Qt.PenStyle.DashLine
        )
        solid = pyqtgraph.mkPen(palette.ink, width=thick)
        plot.plot(nm, list(curves.overlap), pen=None, fillLevel=0, brush=shade)
        plot.plot(nm, list(curves.absorbs), pen=dashed, antialias=True)
        plot.plot(nm, list(curves.shines), pen=solid, antialias=True)
        plot.setXRange(min(nm), max(nm), padding=0)
        plot.setYRange(0, 1.05, padding=0)

    def _make_plot(self) -> Any:  # noqa: ANN401 - the library has no types
        plot = import_module("pyqtgraph").PlotWidget(self)
        plot.hideAxis("left")
        plot.hideButtons()
        plot.setMenuEnabled(False)
        plot.setMouseEnabled(x=False, y=False)
        plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        plot.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        return plot


def _ticks(nm: tuple[float, ...]) -> list[tuple[float, str]]:
    """Return round wavelengths with their unit, a few of them."""
    first, last = min(nm), max(nm)
    wide, narrow = _TICK_EVERY_NM
    every = wide if last - first > 2 * wide else narrow
    start = -(-int(first) // every) * every
    # One at the very edge would be cut.
    inside = [at for at in range(start, int(last) + 1, every) if first < at < last]
    return [
        (float(at), say("{at} nm", at=at) if at == inside[-1] else str(at))
        for at in inside
    ]
