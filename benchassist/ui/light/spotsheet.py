"""The coat's faces laid flat and to scale, with the circles that light them."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from benchassist.ui.paint import Painted, Run
from benchassist.ui.present.physics.spots import FaceMap, Spot, SpotsView
from benchassist.ui.theme import NEAR, STRONG
from benchassist.ui.words import say

COVER_ALPHA = 0.28
MOST_NUMBERED = 40  # spots on one face that still carry a number


Rows = list[tuple[FaceMap, ...]]


class SpotSheet(Painted[SpotsView]):
    """One strip a face: what the circles reach is bright, holes stay dark."""

    def spoken(self, view: SpotsView) -> str:
        """Return how many spots each face has and whether they cover it."""
        return ". ".join(
            say(
                "{title}: {many} spots, {it}",
                title=face.title,
                many=len(face.spots),
                it=say("no hole") if face.covers else say("with holes"),
            )
            for face in view.faces
        )

    def lay(self, view: SpotsView) -> Iterator[Run]:
        """Lay out the faces' names, the sides of the mouth and the segments."""
        palette = self.theme.palette
        face_type = self.theme.face(NEAR, STRONG)
        for face, box, scale in self._boxes(view):
            text = say(
                "{title} {many}{it}",
                title=face.title,
                many=len(face.spots),
                it="" if face.covers else say(", holes"),
            )
            line = box.top() - self.theme.px(1.4)
            ink = palette.quiet if face.covers else palette.stop
            yield Run(text, box.left(), line, face_type, ink, palette.ground)
            if view.arch:
                sides = say("patient R … L")
                x = box.right() - face_type.width(sides)
                yield Run(sides, x, line, face_type, palette.quiet, palette.ground)
            yield from self._numbers(face, box, scale)

    def draw(self, painter: QPainter, view: SpotsView) -> None:
        """Draw the faces, what is lit, and each spot in its state."""
        palette, px = self.theme.palette, self.theme.px
        for face, box, scale in self._boxes(view):
            painter.setPen(QPen(QColor(palette.line), px(0.4)))
            painter.setBrush(QColor(palette.card))
            painter.drawRect(box)
            lit = QPainterPath()
            lit.setFillRule(Qt.FillRule.WindingFill)
            reach = view.beam_mm / 2 * scale
            for spot in face.spots:
                lit.addEllipse(self._at(box, scale, spot), reach, reach)
            inside = QPainterPath()
            inside.addRect(box)
            shade = QColor(palette.measured)
            shade.setAlphaF(COVER_ALPHA)
            painter.fillPath(lit.intersected(inside), shade)
            for spot in face.spots:
                self._draw_spot(painter, self._at(box, scale, spot), spot, reach)
            self._draw_arrow(painter, face, box, scale)

    def _draw_spot(
        self, painter: QPainter, at: QPointF, spot: Spot, reach: float
    ) -> None:
        palette, px = self.theme.palette, self.theme.px
        small = min(reach * 0.62, px(2.6))
        even = spot.segment % 2 == 0
        ink = QColor(palette.measured if even else palette.ink)
        painter.setPen(QPen(ink, px(0.5)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if spot.state == "done":
            painter.setBrush(ink)
        elif spot.state == "now":
            painter.setPen(QPen(QColor(palette.ink), px(0.8)))
            painter.setBrush(QColor(palette.attention))
            small *= 1.3
        elif spot.state == "broken":
            painter.setPen(QPen(QColor(palette.stop), px(0.6), Qt.PenStyle.DashLine))
        painter.drawEllipse(at, small, small)

    def _draw_arrow(
        self, painter: QPainter, face: FaceMap, box: QRectF, scale: float
    ) -> None:
        """Point from the spot that has light to the one that comes next."""
        now = next((spot for spot in face.spots if spot.state == "now"), None)
        if now is None:
            return
        ahead = [s for s in face.spots if s.number > now.number and s.state != "done"]
        if not ahead:
            return
        begin, end = self._at(box, scale, now), self._at(box, scale, ahead[0])
        px = self.theme.px
        pen = QPen(QColor(self.theme.palette.attention), px(0.7))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        way = end - begin
        length = max(1.0, (way.x() ** 2 + way.y() ** 2) ** 0.5)
        way /= length
        side = QPointF(-way.y(), way.x())
        tip, tail = end - way * px(3.2), begin + way * px(3.6)
        painter.drawLine(tail, tip)
        for turn in (1, -1):
            painter.drawLine(tip, tip - way * px(1.6) + side * (turn * px(1.2)))

    def _numbers(self, face: FaceMap, box: QRectF, scale: float) -> Iterator[Run]:
        """Yield each segment's number at its first spot, where there is room."""
        palette, small = self.theme.palette, self.theme.face(NEAR, STRONG)
        if len(face.spots) > MOST_NUMBERED:
            return
        before = 0
        for spot in face.spots:
            if spot.segment == before:
                continue
            before = spot.segment
            at = self._at(box, scale, spot)
            text = str(spot.segment)
            below = box.bottom() + small.cap + self.theme.px(1.2)
            x = at.x() - small.width(text) / 2
            yield Run(text, x, below, small, palette.quiet, palette.ground)

    def _at(self, box: QRectF, scale: float, spot: Spot) -> QPointF:
        return QPointF(box.left() + spot.x_mm * scale, box.top() + spot.y_mm * scale)

    def _boxes(self, view: SpotsView) -> Iterator[tuple[FaceMap, QRectF, float]]:
        """Yield each face's rectangle on the screen and the pixels of a millimetre."""
        rows, scale = max(
            (self._scaled(rows) for rows in _arrangements(view.faces)),
            key=lambda found: found[1],
        )
        over, gap = self._over(), self.theme.px(5.0)
        y = float(over)
        for row in rows:
            x = 0.0
            for face in row:
                box = QRectF(x, y, face.length_mm * scale, face.width_mm * scale)
                yield face, box, scale
                x += face.length_mm * scale + gap
            y += max(face.width_mm for face in row) * scale + 2 * over

    def _over(self) -> float:
        return self.theme.face(NEAR, STRONG).cap + self.theme.px(2.4)

    def _scaled(self, rows: Rows) -> tuple[Rows, float]:
        """Return an arrangement with the scale at which it fits."""
        gap = self.theme.px(5.0)
        high = self.height() - 2 * self._over() * len(rows)
        tall = sum(max(face.width_mm for face in row) for row in rows)
        wide = min(
            (self.width() - gap * (len(row) - 1)) / sum(f.length_mm for f in row)
            for row in rows
        )
        return rows, max(0.1, min(wide, high / tall))


def _arrangements(faces: tuple[FaceMap, ...]) -> Iterator[Rows]:
    """Yield the faces in one row, in two, and so on."""
    for count in range(1, len(faces) + 1):
        each = -(-len(faces) // count)
        yield [faces[n : n + each] for n in range(0, len(faces), each)]
