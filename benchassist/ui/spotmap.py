"""Where the lamp is: the spots of this segment, and the whole coat in an inset."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sin
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from benchassist.ui.paint import CLOSE, Painted, Reading, Run, bar, halves, panel
from benchassist.ui.theme import FAR_LEAST, HEAVY, MUST, NEAR, READ, STRONG, Face
from benchassist.ui.view import SpotMap
from benchassist.ui.words import say
from benchassist.value import replace

MOST_IN_ROW = 6
MOST_RADIUS_MM = 12.0  # [mm] of a spot; a choice
ARCH_RATIO = 0.85  # [ratio] an arch is at most so high for its width; a choice
MOST_FACES = 6  # side by side, each with its name above
_ARC_DEG = (176.0, 4.0)  # from the patient's right to the left, over the front teeth


class Place(NamedTuple):
    """A spot's face, by its number, and its column along the arch, both from 0."""

    face: int
    column: int


def spot_place(faces: tuple[tuple[str, int], ...], spot: int) -> Place:
    """Return where ``spot`` lies: a coat is walked one face after the other."""
    column = spot
    for number, (_, count) in enumerate(faces):
        if column < count or number == len(faces) - 1:
            return Place(number, column)
        column -= count
    return Place(0, spot)


class SegmentMap(Painted[SpotMap]):
    """The spots between two wettings of the brush, with an arrow to the next one."""

    def show_view(self, view: SpotMap) -> None:
        """Show ``view``; how long it has been wet is not shown here."""
        super().show_view(replace(view, wet_text="", wet_fill=0.0))

    def spoken(self, view: SpotMap) -> str:
        """Return which spot has light and how many are done."""
        states = view.states[view.first : view.last]
        lit = states.index("now") if "now" in states else -1
        now = say("spot {first} now, ", first=view.first + lit + 1) if lit >= 0 else ""
        return say(
            "This patch: {now}{count} of {many} done",
            now=now,
            count=states.count("done"),
            many=len(states),
        )

    def lay(self, view: SpotMap) -> Iterator[Run]:
        """Lay out the title, the faces' names and the spots' numbers."""
        theme, palette = self.theme, self.theme.palette
        face = theme.face(NEAR, STRONG)
        pad, ground = theme.px(4.0), palette.card
        yield Run(self._title(view), pad, pad + face.cap, face, palette.quiet, ground)
        rows = self._rows(view)
        named = len({spot_place(view.faces, row[0]).face for row in rows}) > 1
        number_face, now_face = theme.face(READ, STRONG), theme.face(MUST, HEAVY)
        if now_face.width("00") > self._radius(view) * 2:
            now_face = theme.face(READ, HEAVY)
        before = -1
        for row in rows:
            on = spot_place(view.faces, row[0]).face
            if len(row) > 1 and spot_place(view.faces, row[-1]).face != on:
                yield from self._names(view, row)
            elif named and on != before:
                centre = self._centre(view, row[0])
                line = centre.y() - self._radius(view) - theme.px(2.0)
                name = view.faces[on][0]
                yield Run(name, pad, line, face, palette.quiet, ground)
            before = on
            for spot in row:
                state, centre = view.states[spot], self._centre(view, spot)
                used = now_face if state == "now" else number_face
                ink, on_ground = {
                    "now": (palette.letters, palette.attention),
                    "done": (palette.letters, palette.measured),
                }.get(state, (palette.ink, ground))
                text = str(spot + 1)
                x = centre.x() - used.width(text) / 2
                yield Run(text, x, centre.y() + used.cap / 2, used, ink, on_ground)

    def _title(self, view: SpotMap) -> str:
        if view.last - view.first == len(view.states):
            return say("ALL {many} SPOTS", many=len(view.states))
        return say("SPOTS {first} TO {last}", first=view.first + 1, last=view.last)

    def _names(self, view: SpotMap, row: range) -> Iterator[Run]:
        """Lay out each face's name above its only spot, on two lines where wide."""
        face, palette = self.theme.face(NEAR, STRONG), self.theme.palette
        room = self._cell(view)[0] - self.theme.px(1.0)
        folds = any(face.width(name) > room for name, _ in view.faces)
        for spot in row:
            name = view.faces[spot_place(view.faces, spot).face][0]
            centre = self._centre(view, spot)
            line = centre.y() - self._radius(view) * 1.25 - self.theme.px(2.5)
            for text in reversed(halves(name, face) if folds else [name]):
                x = centre.x() - face.width(text) / 2
                yield Run(text, x, line, face, palette.quiet, palette.card)
                line -= face.cap * CLOSE

    def draw(self, painter: QPainter, view: SpotMap) -> None:
        """Draw the ground, the spots and the arrow."""
        palette = self.theme.palette
        panel(painter, QRectF(self.rect()), self.theme.px(3.0), ground=palette.card)
        for spot in range(view.first, view.last):
            self._draw_spot(painter, view, spot)
        now = [n for n in range(view.first, view.last) if view.states[n] == "now"]
        if now:
            following = [
                n for n in range(now[0] + 1, view.last) if view.states[n] != "done"
            ]
            if following:
                self._draw_arrow(painter, view, now[0], following[0])

    def _rows(self, view: SpotMap) -> list[range]:
        """Split the segment into rows that stay on one face and are not too long."""
        rows, start = [], view.first
        while start < view.last:
            face = spot_place(view.faces, start).face
            end = start
            while end < view.last and spot_place(view.faces, end).face == face:
                end += 1
            parts = -(-(end - start) // MOST_IN_ROW)
            size = -(-(end - start) // parts)
            rows += [range(at, min(at + size, end)) for at in range(start, end, size)]
            start = end
        if all(len(row) == 1 for row in rows) and len(rows) <= MOST_FACES:
            return [range(view.first, view.last)]  # a crown: one spot a face
        return rows

    def _cell(self, view: SpotMap) -> tuple[float, float]:
        rows = self._rows(view)
        longest = max((len(row) for row in rows), default=1)
        title = self.theme.px(11.0)
        return (
            (self.width() - self.theme.px(8.0)) / max(longest, 3),
            (self.height() - title - self.theme.px(3.0)) / max(len(rows), 1),
        )

    def _radius(self, view: SpotMap) -> float:
        wide, high = self._cell(view)
        return min(self.theme.px(MOST_RADIUS_MM), wide * 0.34, high * 0.34)

    def _centre(self, view: SpotMap, spot: int) -> QPointF:
        wide, high = self._cell(view)
        rows = self._rows(view)
        row = next(number for number, spots in enumerate(rows) if spot in spots)
        across = spot - rows[row].start
        offset = (self.width() - wide * len(rows[row])) / 2
        return QPointF(
            offset + wide * (across + 0.5),
            self.theme.px(11.0) + high * (row + 0.5),
        )

    def _draw_spot(self, painter: QPainter, view: SpotMap, spot: int) -> None:
        palette, state = self.theme.palette, view.states[spot]
        centre, radius = self._centre(view, spot), self._radius(view)
        thin = self.theme.px(0.7)
        if state == "now":
            painter.setPen(QPen(QColor(palette.ink), thin * 1.4))
            painter.setBrush(QColor(palette.attention))
            painter.drawEllipse(centre, radius * 1.25, radius * 1.25)
            return
        small = radius * 0.86
        painter.setPen(QPen(QColor(palette.measured), thin))
        painter.setBrush(
            QColor(palette.measured) if state == "done" else Qt.BrushStyle.NoBrush
        )
        if state == "broken":
            painter.setPen(QPen(QColor(palette.stop), thin, Qt.PenStyle.DashLine))
            self._draw_cross(painter, centre, small)
        painter.drawEllipse(centre, small, small)

    def _draw_cross(self, painter: QPainter, centre: QPointF, radius: float) -> None:
        """Mark a spot that was broken off: it starts whole."""
        reach = radius + self.theme.px(1.6)
        inner = radius
        for turn in (45, 135, 225, 315):
            way = QPointF(cos(turn * pi / 180), sin(turn * pi / 180))
            painter.drawLine(centre + way * inner, centre + way * reach)

    def _draw_arrow(
        self, painter: QPainter, view: SpotMap, now: int, following: int
    ) -> None:
        begin, end = self._centre(view, now), self._centre(view, following)
        way = end - begin
        length = max(1.0, (way.x() ** 2 + way.y() ** 2) ** 0.5)
        way /= length
        side = QPointF(-way.y(), way.x())
        radius, gap = self._radius(view), self.theme.px(1.6)
        tail = begin + way * (radius * 1.25 + gap)
        tip = end - way * (radius * 0.86 + gap)
        barb = self.theme.px(3.0)
        pen = QPen(QColor(self.theme.palette.attention), self.theme.px(1.0))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawLine(tail, tip)
        back = tip - way * barb
        painter.drawPolyline(
            QPolygonF([back + side * barb * 0.8, tip, back - side * barb * 0.8])
        )


class CoatInset(Painted[SpotMap]):
    """All spots of the coat along the arch, the patient's right at the left."""

    def show_view(self, view: SpotMap) -> None:
        """Show ``view``; how long it has been wet is not shown here."""
        super().show_view(replace(view, wet_text="", wet_fill=0.0))

    def spoken(self, view: SpotMap) -> str:
        """Return the title and how many spots are done."""
        return say(
            "{title}: {count} of {many} done",
            title=view.title,
            count=view.states.count("done"),
            many=len(view.states),
        )

    def lay(self, view: SpotMap) -> Iterator[Run]:
        """Lay out the title, the sides of the mouth and the count."""
        theme, palette = self.theme, self.theme.palette
        face, count_face = theme.face(NEAR, STRONG), theme.face(READ, STRONG)
        pad, ground = theme.px(4.0), palette.card
        first, foot = pad + face.cap, self.height() - pad
        yield Run(view.title, pad, first, face, palette.quiet, ground)
        read = theme.face(NEAR)
        yield Run(say("patient R"), pad, foot, read, palette.quiet, ground)
        left = self.width() - pad - read.width("L")
        yield Run("L", left, foot, read, palette.quiet, ground)
        text = say("{count} done", count=view.states.count("done"))
        centre = self._centre(view)
        x = centre.x() - count_face.width(text) / 2
        rise = -theme.px(7.0) if self._lower(view) else theme.px(2.0)
        line = centre.y() - rise + count_face.cap / 2
        yield Run(text, x, line, count_face, palette.ink, ground)

    def draw(self, painter: QPainter, view: SpotMap) -> None:
        """Draw the ground and the dots; this segment is bright."""
        palette = self.theme.palette
        panel(painter, QRectF(self.rect()), self.theme.px(3.0), ground=palette.card)
        radius = self.theme.px(1.15)
        for spot, state in enumerate(view.states):
            centre = self._dot(view, spot)
            here = view.first <= spot < view.last
            ink = QColor(palette.attention if here else palette.measured)
            painter.setPen(QPen(ink, self.theme.px(0.4)))
            painter.setBrush(ink if state == "done" else Qt.BrushStyle.NoBrush)
            reach = radius * 1.7 if state == "now" else radius
            if state == "now":
                painter.setBrush(ink)
            painter.drawEllipse(centre, reach, reach)
            if state == "broken":
                slash = QPointF(radius * 1.5, -radius * 1.5)
                painter.drawLine(centre - slash, centre + slash)

    def _lower(self, view: SpotMap) -> bool:
        return view.jaw == "lower"

    def _frame(self) -> QRectF:
        pad = self.theme.px(5.5)
        top = self.theme.px(12.5)
        foot = self.theme.px(10.0)
        room = QRectF(pad, top, self.width() - 2 * pad, self.height() - top - foot)
        over = max(0.0, room.height() - ARCH_RATIO * room.width()) / 2
        return room.adjusted(0, over, 0, -over)

    def _centre(self, view: SpotMap) -> QPointF:
        frame = self._frame()
        foot = frame.top() if self._lower(view) else frame.bottom()
        return QPointF(frame.center().x(), foot)

    def _dot(self, view: SpotMap, spot: int) -> QPointF:
        face, column = spot_place(view.faces, spot)
        count = view.faces[face][1] if view.faces else len(view.states)
        begin, end = _ARC_DEG
        share = 0.5 if count < 2 else column / (count - 1)  # noqa: PLR2004 - a lone dot
        turn = (begin + (end - begin) * share) * pi / 180
        frame = self._frame()
        # The faces lie inside each other, the first one outermost.
        step = 0.52 / max(1, len(view.faces))
        reach = 1.0 - step * face
        wide, high = frame.width() / 2 * reach, frame.height() * reach
        centre = self._centre(view)
        rise = high * sin(turn) * (-1 if self._lower(view) else 1)
        return QPointF(centre.x() + wide * cos(turn), centre.y() - rise)


class WetBar(Painted[tuple[str, float]]):
    """How long this patch has been wet, against its limit."""

    def show_view(self, view: tuple[str, float]) -> None:
        """Show text and fill, the fill in steps so that it repaints seldom."""
        text, fill = view
        super().show_view((text, round(fill, 3)))

    def spoken(self, view: tuple[str, float]) -> str:
        """Return the text."""
        return view[0]

    def height_for(self, width: int) -> int:
        """Return the height of text and bar at ``width`` pixels."""
        face = self._face(width)
        return round(face.rise + face.depth + self.theme.px(4.0))

    def lay(self, view: tuple[str, float]) -> Iterator[Run]:
        """Lay out the text, which is read at arm's length and beyond."""
        face, palette = self._face(self.width()), self.theme.palette
        must = face.cap >= self.theme.face(MUST, STRONG).cap
        reading: Reading = "must" if must else "far"
        yield Run(view[0], 0, face.rise, face, palette.ink, palette.ground, reading)

    def _face(self, width: int) -> Face:
        """Return the face of a must-read where the column holds it, else a far one."""
        text, face = self.view[0] if self.view else "", self.theme.face(MUST, STRONG)
        fits = face.width(text) <= width
        return face if fits else self.theme.face(FAR_LEAST, STRONG)

    def draw(self, painter: QPainter, view: tuple[str, float]) -> None:
        """Draw the bar."""
        palette, height = self.theme.palette, self.theme.px(3.2)
        rect = QRectF(0, self.height() - height, self.width(), height)
        ink = palette.attention if view[1] >= 1.0 else palette.measured
        bar(painter, rect, view[1], ink=ink, ground=palette.raised)
