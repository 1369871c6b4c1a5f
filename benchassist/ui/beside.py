"""Beside the rows of a sheet: a way of stages with stops, tags, and what follows."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from benchassist.ui.paint import Painted, Run, elided, panel, tone_ink, wrap
from benchassist.ui.present.sheet import SheetLine
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG
from benchassist.ui.words import say

TAG_MM = 19.4  # [mm] high: a hanging tag with its code and a line
TAGS_WIDE = 2
CORNER_MM = 3.0
STOP_MM = READ - 0.2  # [mm] capitals of a line
STOPS = ("done", "same", "new", "gone")  # marks of lines that a way joins


class Beside(Painted[tuple[SheetLine, ...]]):
    """What the rows lead to: a way of stages with its stops, and what follows."""

    def spoken(self, view: tuple[SheetLine, ...]) -> str:
        """Return the lines."""
        return ". ".join(f"{line.text} {line.right}".strip() for line in view)

    def lay(self, view: tuple[SheetLine, ...]) -> Iterator[Run]:
        """Lay the lines out; what does not fit is counted in a line at the foot."""
        small, palette = self.theme.face(NEAR), self.theme.palette
        foot = self.height() - self.theme.px(2.0)
        runs, left = self._all(view, foot)
        if left:
            runs, left = self._all(view, foot - small.pitch)
            told = say("… and {many} more", many=left)
            edge, line = float(self.theme.px(4.0)), foot - small.depth
            runs.append(Run(told, edge, line, small, palette.quiet, palette.card))
        return iter(runs)

    def _all(self, view: tuple[SheetLine, ...], foot: float) -> tuple[list[Run], int]:
        """Return the lines that end above ``foot``, and how many are left."""
        theme = self.theme
        left, end = float(theme.px(4.0)), self.width() - theme.px(4.0)
        y = float(theme.px(3.6))
        self._stops: list[tuple[float, SheetLine]] = []
        self._rules: list[float] = []
        self._tags: list[QRectF] = []
        self._column = 0
        pitch, runs = self._pitch(view), list[Run]()
        for n, line in enumerate(view):
            if line.mark == "tag":
                own, below = self._tag(line, left, end, y)
                if y + theme.px(TAG_MM) > foot:
                    self._tags.pop()
                    return runs, len(view) - n
                runs, y = [*runs, *own], below
                continue
            y = self._past_tags(y)
            if line.mark == "line":
                self._rules.append(y + pitch * 0.1)
                y += pitch * 0.35
                continue
            lay = self._head if line.mark == "head" else self._line
            own = list(lay(line, left, end, y))
            if n and own and own[-1].baseline + own[-1].face.depth > foot:
                return runs, len(view) - n
            runs += own
            if line.mark in STOPS:
                self._stops.append((y + theme.face(STOP_MM, STRONG).cap / 2, line))
            y += pitch + (own[-1].baseline - own[0].baseline if own else 0.0)
        return runs, 0

    def _head(
        self, line: SheetLine, left: float, end: float, y: float
    ) -> Iterator[Run]:
        """Lay out a heading and the words at its right, below it where narrow."""
        face, palette = self.theme.face(NEAR, STRONG), self.theme.palette
        base, at = y + face.cap, end - face.width(line.right)
        yield Run(line.text, left, base, face, palette.quiet, palette.card)
        if line.right:
            if at < left + face.width(line.text) + self.theme.px(2.0):
                at, base = left, base + face.pitch
            yield Run(line.right, at, base, face, palette.quiet, palette.card)

    def _past_tags(self, y: float) -> float:
        """Return where lines go on below the tags that hang there."""
        column, self._column = self._column, 0
        return y + self.theme.px(TAG_MM) if column else y

    def _tag(
        self, line: SheetLine, left: float, end: float, y: float
    ) -> tuple[list[Run], float]:
        """Return a tag, its code and what the slip says, and where lines go on.

        Two hang side by side.
        """
        theme, palette = self.theme, self.theme.palette
        gap = theme.px(2.4)
        wide = (end - left - gap * (TAGS_WIDE - 1)) / TAGS_WIDE
        high = theme.px(TAG_MM) - gap
        x = left + (wide + gap) * self._column
        self._tags.append(QRectF(x, y, wide, high))
        code, small = theme.face(READ + 1.0, HEAVY), theme.face(NEAR)
        pad = theme.px(4.0)
        told = elided(line.text, code, wide - 2 * pad)
        base = y + theme.px(4.6) + code.cap
        at = x + (wide - code.width(told)) / 2
        runs = [Run(told, at, base, code, palette.ink, palette.raised)]
        told = elided(line.right, small, wide - 2 * pad)
        if told:
            at = x + (wide - small.width(told)) / 2
            base += small.cap + theme.px(1.8)
            runs.append(Run(told, at, base, small, palette.quiet, palette.raised))
        self._column = (self._column + 1) % TAGS_WIDE
        return runs, y if self._column else y + theme.px(TAG_MM)

    def _line(
        self, line: SheetLine, left: float, end: float, y: float
    ) -> Iterator[Run]:
        """Lay a line out from ``y`` down; its own words in as many lines as needed."""
        theme, palette = self.theme, self.theme.palette
        face, right = theme.face(STOP_MM, STRONG), theme.face(NEAR + 0.2)
        ink = tone_ink(theme, line.tone)
        x = left + (theme.px(7.0) if line.mark in STOPS else 0)
        base = y + face.cap
        if line.right and line.mark in STOPS:
            at = end - right.width(line.right)
            lines = wrap(line.text, face, at - theme.px(2.0) - x)
            tone = palette.quiet if line.tone == "plain" else ink
            yield Run(line.right, at, base, right, tone, palette.card)
        elif line.right:
            yield Run(line.text, x, base, right, palette.quiet, palette.card)
            x = max(x + right.width(line.text) + theme.px(3.0), left + theme.px(22.0))
            lines = wrap(line.right, face, max(end - x, 1.0))
        else:
            lines = wrap(line.text, face, max(end - x, 1.0))
        for text in lines:
            yield Run(text, x, base, face, ink, palette.card)
            base += face.pitch

    def _pitch(self, view: tuple[SheetLine, ...]) -> float:
        """Return the distance of the lines, closer where there are many."""
        theme = self.theme
        room = self.height() - theme.px(6.0)
        count = max(1, len(view))
        least = theme.face(STOP_MM, STRONG).pitch * 0.98
        return float(min(theme.px(8.6), max(least, room / count)))

    def draw(self, painter: QPainter, view: tuple[SheetLine, ...]) -> None:
        """Draw the ground, the stops of the way and what joins them."""
        del view
        theme, palette = self.theme, self.theme.palette
        panel(painter, QRectF(self.rect()), theme.px(2.4), ground=palette.card)
        self.runs()
        for box in self._tags if self.view else []:
            self._hang(painter, box)
        x = theme.px(4.0) + theme.px(2.4)
        stops = self._stops if self.view else []
        painter.setPen(QPen(QColor(palette.line), theme.px(0.6)))
        for (one, _), (other, _) in pairwise(stops):
            painter.drawLine(QPointF(x, one), QPointF(x, other))
        for y, line in stops:
            self._stop(painter, QPointF(x, y), line)
        painter.setPen(QPen(QColor(palette.line), theme.px(0.4)))
        for y in self._rules if self.view else []:
            painter.drawLine(
                QPointF(theme.px(4.0), y), QPointF(self.width() - theme.px(4.0), y)
            )

    def _stop(self, painter: QPainter, at: QPointF, line: SheetLine) -> None:
        theme, palette = self.theme, self.theme.palette
        radius = theme.px(1.7)
        ink = {"done": palette.good, "new": palette.attention}.get(
            line.mark, palette.quiet
        )
        painter.setPen(QPen(QColor(ink), theme.px(0.5)))
        filled = line.mark in ("done", "new")
        painter.setBrush(QColor(ink if filled else palette.card))
        painter.drawEllipse(at, radius, radius)
        if line.mark == "gone":
            painter.drawLine(
                at + QPointF(-radius, radius), at + QPointF(radius, -radius)
            )

    def _hang(self, painter: QPainter, box: QRectF) -> None:
        """Draw a tag: corners cut at the top, a hole for its string."""
        theme, palette = self.theme, self.theme.palette
        cut = theme.px(CORNER_MM)
        painter.setPen(QPen(QColor(palette.line), theme.px(0.5)))
        painter.setBrush(QColor(palette.raised))
        painter.drawPolygon(
            QPolygonF(
                [
                    box.topLeft() + QPointF(cut, 0),
                    box.topRight() - QPointF(cut, 0),
                    box.topRight() + QPointF(0, cut),
                    box.bottomRight(),
                    box.bottomLeft(),
                    box.topLeft() + QPointF(0, cut),
                ]
            )
        )
        hole = QPointF(box.center().x(), box.top() + theme.px(2.4))
        painter.setBrush(QColor(palette.card))
        painter.drawEllipse(hole, theme.px(1.1), theme.px(1.1))
