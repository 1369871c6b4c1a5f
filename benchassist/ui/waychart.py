"""The way of one part on a line of time: what ran alone, hands, box, and marks."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run, elided, panel
from benchassist.ui.present.story import Piece, WayChart
from benchassist.ui.theme import NEAR, STRONG

NAMES_MM = 22.0  # [mm] of the lanes' names
TICKS_MM = 6.0
PAD_MM = 3.0
LEAST_PX = 3.0
HIGH_MM = 29.0


class WayChartView(Painted[WayChart]):
    """Lanes under hours; a mark has its word where there is room."""

    def spoken(self, view: WayChart) -> str:
        """Return lanes and marks."""
        lanes = (f"{each.lane} {each.label}" for each in view.pieces)
        return ", ".join((*lanes, *(told for _, told in view.marks))) or view.marks_name

    def _x(self, share: float) -> float:
        left = self.theme.px(NAMES_MM)
        return left + (self.width() - left - self.theme.px(PAD_MM)) * share

    def _lane(self, number: int) -> float:
        """Return the middle of a lane; the marks are the last."""
        top = self.theme.px(TICKS_MM + 1.0)
        pitch = (self.height() - top - self.theme.px(1.0)) / 4
        return top + pitch * (number + 0.5)

    def lay(self, view: WayChart) -> Iterator[Run]:
        """Lay out hours, names, labels where they fit, and marks."""
        theme, palette = self.theme, self.theme.palette
        near, strong, ground = theme.face(NEAR), theme.face(NEAR, STRONG), palette.card
        last = float(theme.px(NAMES_MM))
        for share, name in view.ticks:
            x = self._x(share) - near.width(name) / 2
            if x > last and x + near.width(name) < self.width():
                line = float(theme.px(TICKS_MM) - theme.px(1.2))
                yield Run(name, x, line, near, palette.quiet, ground)
                last = x + near.width(name) + theme.px(2.0)
        names = (*(name for _, name in view.lanes), view.marks_name)
        for n, name in enumerate(names):
            line = self._lane(n) + near.cap / 2
            yield Run(name, theme.px(PAD_MM), line, near, palette.quiet, ground)
        order = [lane for lane, _ in view.lanes]
        for piece in view.pieces:
            line = self._lane(order.index(piece.lane)) + strong.cap / 2
            left, right = self._x(piece.start), self._x(piece.end)
            inside = strong.width(piece.label) + theme.px(1.6) <= right - left
            if inside and piece.lane == "hands":
                at = (left + right - strong.width(piece.label)) / 2
                ink = palette.letters
                yield Run(piece.label, at, line, strong, ink, palette.attention)
            elif piece.lane == "box":
                yield from self._beside(piece, line)
        yield from self._marks(view)

    def _beside(self, piece: Piece, line: float) -> Iterator[Run]:
        """Lay out what a run of the box gave, beside it where there is room."""
        near, palette = self.theme.face(NEAR), self.theme.palette
        x = self._x(piece.end) + self.theme.px(1.4)
        if x + near.width(piece.label) <= self.width() - self.theme.px(PAD_MM):
            yield Run(piece.label, x, line, near, palette.quiet, palette.card)

    def _marks(self, view: WayChart) -> Iterator[Run]:
        theme, palette = self.theme, self.theme.palette
        near, line = theme.face(NEAR), self._lane(3) + theme.face(NEAR).cap / 2
        last = 0.0
        for n, (share, told) in enumerate(view.marks):
            ahead = view.marks[n + 1 :]
            until = self._x(ahead[0][0]) if ahead else float(self.width())
            x = max(self._x(share) + theme.px(3.0), last)
            room = until - x - theme.px(2.0)
            if not ahead and room < near.width(told):
                x = self._x(share) - theme.px(3.0) - near.width(told)
                if x < last:
                    continue
                yield Run(told, x, line, near, palette.ink, palette.card)
                continue
            text = elided(told, near, room)
            if len(text) > 2:  # noqa: PLR2004 - a letter and dots say nothing
                yield Run(text, x, line, near, palette.ink, palette.card)
                last = x + near.width(text)

    def draw(self, painter: QPainter, view: WayChart) -> None:
        """Draw card, hours, pieces and marks."""
        theme, palette = self.theme, self.theme.palette
        panel(painter, QRectF(self.rect()), theme.px(2.4), ground=palette.card)
        painter.setPen(QPen(QColor(palette.line), 1.0))
        foot = self.height() - theme.px(2.0)
        for share, _ in view.ticks:
            x = self._x(share)
            painter.drawLine(QPointF(x, theme.px(TICKS_MM)), QPointF(x, foot))
        order = [lane for lane, _ in view.lanes]
        for piece in view.pieces:
            middle = self._lane(order.index(piece.lane))
            left, right = self._x(piece.start), self._x(piece.end)
            high = theme.px(2.4 if piece.lane == "alone" else 4.6)
            box = QRectF(left, middle - high / 2, max(LEAST_PX, right - left), high)
            ink = palette.attention if piece.lane == "hands" else palette.quiet
            hatched = piece.lane == "box"
            painter.setPen(QPen(QColor(ink), 1.2) if hatched else Qt.PenStyle.NoPen)
            brush = QBrush(QColor(ink), Qt.BrushStyle.BDiagPattern)
            painter.setBrush(brush if hatched else QColor(ink))
            painter.drawRoundedRect(box, 2.0, 2.0)
        painter.setPen(QPen(QColor(palette.attention), theme.px(0.5)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for share, _ in view.marks:
            at, size = QPointF(self._x(share), self._lane(3)), theme.px(1.5)
            corners = ((0, -size), (size, 0), (0, size), (-size, 0))
            points = [at + QPointF(x, y) for x, y in corners]
            painter.drawPolygon(points)
