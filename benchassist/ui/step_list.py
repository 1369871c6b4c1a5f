"""What to do, in its order: numbered rings joined by a line, a tick on what is done."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from benchassist.ui.paint import Painted, Run, panel, wrap
from benchassist.ui.present.branch import Todo
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Face
from benchassist.ui.words import say

# [mm] capitals of a step and radius of its ring, the largest that fit; a choice
SIZES_MM = ((5.6, 6.4), (5.0, 6.4), (READ, 6.4), (READ, 4.6), (NEAR, 4.0))
RING_MM = 6.4  # [mm] from the edge to the middle of a ring
TEXT_MM = 18.6  # [mm] from the edge to the words, beside the radius of a ring
TICK = ((-0.42, 0.03), (-0.1, 0.35), (0.45, -0.35))  # of the ring's radius
Placed = tuple[float, Todo, list[str], list[str]]


class StepList(Painted[tuple[Todo, ...]]):
    """The steps on a card, each with its number; the first to do is straw."""

    def spoken(self, view: tuple[Todo, ...]) -> str:
        """Return the steps in their order."""
        return ". ".join(f"{each.text} {each.line}".strip() for each in view)

    def lay(self, view: tuple[Todo, ...]) -> Iterator[Run]:
        """Lay out the heading, numbers and words, in the largest letters that fit."""
        theme, palette = self.theme, self.theme.palette
        head, near, ground = theme.face(NEAR, STRONG), theme.face(NEAR), palette.card
        left = float(theme.px(5.0))
        told = say("DO THIS, IN THIS ORDER")
        yield Run(told, left, theme.px(4.0) + head.cap, head, palette.quiet, ground)
        (face, ring), placed = self._placed(view)
        self._ring, x_text = ring, theme.px(TEXT_MM + ring)
        self._rings = [(y, todo) for y, todo, _, _ in placed]
        number = theme.face(READ, HEAVY)
        for n, (y, todo, lines, below) in enumerate(placed, start=1):
            if not todo.done:
                x = theme.px(5.0 + RING_MM) - number.width(str(n)) / 2
                inks = palette.ink, ground
                if todo is self._first(view):
                    inks = palette.letters, palette.attention
                yield Run(str(n), x, y + number.cap / 2, number, *inks)
            line = y + face.cap / 2
            for text in lines:
                yield Run(text, x_text, line, face, palette.ink, ground)
                line += face.pitch
            line += near.pitch - face.pitch + theme.px(0.8)
            for text in below:
                yield Run(text, x_text, line, near, palette.quiet, ground)
                line += near.pitch

    def draw(self, painter: QPainter, view: tuple[Todo, ...]) -> None:
        """Draw the card, the rings and what joins them."""
        theme, palette = self.theme, self.theme.palette
        panel(painter, QRectF(self.rect()), theme.px(2.4), ground=palette.card)
        self.runs()
        x, radius = theme.px(5.0 + RING_MM), theme.px(self._ring)
        painter.setPen(QPen(QColor(palette.line), theme.px(0.8)))
        for (one, _), (other, _) in pairwise(self._rings if view else []):
            painter.drawLine(QPointF(x, one + radius), QPointF(x, other - radius))
        for y, todo in self._rings if view else []:
            first = todo is self._first(view)
            ink = palette.good if todo.done else palette.quiet
            ink = palette.attention if first else ink
            filled = first or todo.done
            painter.setPen(QPen(QColor(ink), theme.px(0.7)))
            painter.setBrush(QColor(ink if filled else palette.card))
            painter.drawEllipse(QPointF(x, y), radius, radius)
            if todo.done:
                self._tick(painter, x, y)

    def _tick(self, painter: QPainter, x: float, y: float) -> None:
        painter.setPen(QPen(QColor(self.theme.palette.card), self.theme.px(1.4)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        ring = self.theme.px(self._ring)
        corners = (QPointF(x + ring * a, y + ring * b) for a, b in TICK)
        painter.drawPolyline(QPolygonF(list(corners)))

    def _first(self, view: tuple[Todo, ...]) -> Todo | None:
        return next((each for each in view if not each.done), None)

    def _placed(
        self, view: tuple[Todo, ...]
    ) -> tuple[tuple[Face, float], list[Placed]]:
        """Return the largest face and ring that fit, and where each step stands."""
        sizes = [(self.theme.face(mm, STRONG), ring) for mm, ring in SIZES_MM]
        fits = (size for size in sizes if self._in(*size, view)[1] <= self.height())
        size = next(fits, sizes[-1])
        return size, self._in(*size, view)[0]

    def _in(
        self, face: Face, ring: float, view: tuple[Todo, ...]
    ) -> tuple[list[Placed], float]:
        theme, near = self.theme, self.theme.face(NEAR)
        room = max(1.0, self.width() - theme.px(TEXT_MM + ring + 4.0))
        placed: list[Placed] = []
        y, least = theme.px(13.0) + face.cap / 2, 2 * theme.px(ring) + theme.px(1.6)
        for todo in view:
            lines = wrap(todo.text, face, room)
            below = wrap(todo.line, near, room) if todo.line else []
            placed.append((y, todo, lines, below))
            high = face.pitch * len(lines) + near.pitch * len(below)
            y += max(least, high + theme.px(3.0))
        return placed, y - face.cap
