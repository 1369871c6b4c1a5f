"""The way of a part as a line with stops: a tick behind, straw at hand, rings ahead."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from benchassist.ui.paint import Painted, Run
from benchassist.ui.theme import NEAR, PLAIN, STRONG, Face
from benchassist.ui.view import Way, WayStop
from benchassist.ui.words import say

WAY_MM = 18.0  # [mm] high
STOP_MM = 2.5  # [mm] radius of a stop
GAP_MM = 8.0  # [mm] between the names of two stops
INDENT_MM = 2.5
TICK = ((-0.42, 0.03), (-0.1, 0.35), (0.45, -0.35))  # of the stop's radius


class WayStrip(Painted[Way]):
    """The last stop behind, the one at hand, and as many ahead as have room."""

    def spoken(self, view: Way) -> str:
        """Return the stops with what each is."""
        told = ", ".join(f"{stop.name} {stop.state}" for stop in view.stops)
        return say("Its way: {told}. {right}", told=told, right=view.right)

    def height_for(self) -> int:
        """Return the height of the strip."""
        return self.theme.px(WAY_MM)

    def shown(self, view: Way) -> tuple[tuple[WayStop, float], ...]:
        """Return the stops that have room, and where each stands."""
        at = next((n for n, stop in enumerate(view.stops) if stop.state == "now"), 0)
        x, gap = float(self.theme.px(INDENT_MM)), self.theme.px(GAP_MM)
        found: list[tuple[WayStop, float]] = []
        for stop in view.stops[max(0, at - 1) :]:
            wide = self._face(stop).width(stop.name)
            if found and x + wide > self.width():
                break
            found.append((stop, x))
            x += max(wide, self.theme.px(24.0)) + gap
        return tuple(found)

    def lay(self, view: Way) -> Iterator[Run]:
        """Lay out the names under their stops, and what is left above the line."""
        theme, palette = self.theme, self.theme.palette
        near, ground = theme.face(NEAR), palette.ground
        shown = self.shown(view)
        ahead = sum(stop.state == "ahead" for stop in view.stops)
        more = ahead - sum(stop.state == "ahead" for stop, _ in shown)
        told = say("then {more} more", more=more) if more else ""
        told = ", ".join(each for each in (told, view.right) if each)
        line = theme.px(1.0) + near.cap
        x = self.width() - theme.px(1.0) - near.width(told)
        if told and x >= 0:
            yield Run(told, x, line, near, palette.quiet, ground)
        line = self.height() - theme.px(1.4)
        for stop, left in shown:
            ink = palette.ink if stop.state == "now" else palette.quiet
            yield Run(stop.name, left, line, self._face(stop), ink, ground)

    def draw(self, painter: QPainter, view: Way) -> None:
        """Draw the line and its stops."""
        theme, palette = self.theme, self.theme.palette
        shown, radius = self.shown(view), theme.px(STOP_MM)
        y = theme.px(9.0)
        painter.setPen(QPen(QColor(palette.line), theme.px(0.8)))
        painter.drawLine(QPointF(theme.px(INDENT_MM), y), QPointF(self.width(), y))
        for stop, left in shown:
            at = QPointF(left + radius, y)
            inks = {"done": palette.quiet, "now": palette.attention}
            ink = inks.get(stop.state, palette.quiet)
            filled = palette.ground if stop.state == "ahead" else ink
            painter.setPen(QPen(QColor(ink), theme.px(0.6)))
            painter.setBrush(QColor(filled))
            painter.drawEllipse(at, radius, radius)
            if stop.state == "done":
                painter.setPen(QPen(QColor(palette.ground), theme.px(0.8)))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                corners = (at + QPointF(radius * a, radius * b) for a, b in TICK)
                painter.drawPolyline(QPolygonF(list(corners)))

    def _face(self, stop: WayStop) -> Face:
        return self.theme.face(NEAR, STRONG if stop.state == "now" else PLAIN)
