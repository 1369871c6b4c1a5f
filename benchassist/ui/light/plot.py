"""A plot on a page: curves, bands, marks and points, and a key by stroke.

The plotting library is imported when the first plot is shown, never before.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from typing import Any

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from benchassist.ui.light.drawing import (
    SHADE_ALPHA,
    STROKES,
    Drawing,
    even_ticks,
    ink_of,
    log_ticks,
)
from benchassist.ui.paint import Painted, Run, wrap
from benchassist.ui.present.physics.plot import Band, Dots, Line, Plot, Shape
from benchassist.ui.theme import NEAR, Theme
from benchassist.ui.words import say, shown


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
            title = say(
                "{y_title} against {x_title}",
                y_title=view.y_title,
                x_title=view.x_title,
            )
            for told in wrap(title, face, max(width, 1)):
                run = Run(told, 0, line, face, palette.quiet, palette.ground)
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
        self._drawing: Drawing | None = None
        self._axes_look: object = None
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    @property
    def view(self) -> Plot | None:
        """The plot that is shown."""
        return self._view

    def show_view(self, view: Plot | None) -> None:
        """Show another plot; nothing for None."""
        view = shown(view)
        if view == self._view:
            return
        self._view = view
        self._key.setVisible(view is not None)
        if self._widget is not None:
            self._widget.setVisible(view is not None)
        if view is not None:
            self.setAccessibleName(view.spoken)
            self._key.show_view(view)
            self._draw(view, anew=False)
            self._arrange()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self._theme = theme
        self._key.set_theme(theme)
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

    def _draw(self, view: Plot, *, anew: bool = True) -> None:
        pyqtgraph = import_module("pyqtgraph")
        if self._widget is None:
            self._widget = _made(pyqtgraph, self)
            self._widget.show()
        self._axes(view)
        if self._drawing is None or anew or not self._drawing.takes(view):
            self._widget.clear()
            self._widget.setBackground(self._theme.palette.ground)
            self._drawing = Drawing(pyqtgraph, self._widget, self._theme)
        self._drawing.show(view)

    def _axes(self, view: Plot) -> None:
        look = (self._theme, view.x_range, view.y_range, view.y_axis, view.log_x)
        if look == self._axes_look:
            return
        self._axes_look = look
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
            wide = max((face.width(text) for _, text in tall), default=0.0)
            left.setWidth(round(wide + theme.px(3.0)))


def _made(pyqtgraph: Any, parent: QWidget) -> Any:  # noqa: ANN401 - has no types
    plot = pyqtgraph.PlotWidget(parent)
    plot.hideButtons()
    plot.setMenuEnabled(False)
    plot.setMouseEnabled(x=False, y=False)
    plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    plot.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
    return plot
