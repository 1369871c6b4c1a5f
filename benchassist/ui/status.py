"""The status bar: when, who, with what; the store's mark; the light so far."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run
from benchassist.ui.theme import NEAR, STRONG, Face

STRONG_ITEMS = 2  # date and time, and the operator


class Status(NamedTuple):
    """What the bar says: items at the left, the store's mark, words at the right."""

    left: tuple[str, ...]
    mark: str
    right: str


class StatusBar(Painted[Status]):
    """One line, or more where the words need them; the mark is always in the first."""

    def spoken(self, view: Status) -> str:
        """Return all items."""
        return ". ".join(part for part in (*view.left, view.mark, view.right) if part)

    def height_for(self, width: int) -> int:
        """Return the height that the bar needs at ``width`` pixels."""
        runs = self._place(self.view, width) if self.view else []
        lowest = max((run.baseline for run in runs), default=0.0)
        return round(lowest + self.theme.px(4.0))

    def lay(self, view: Status) -> Iterator[Run]:
        """Lay out the items."""
        yield from self._place(view, self.width())

    def draw(self, painter: QPainter, view: Status) -> None:
        """Draw the ground and the outline of the mark."""
        palette = self.theme.palette
        painter.fillRect(self.rect(), QColor(palette.card))
        if not view.mark:
            return
        box = self.runs()[0].capitals
        side, rise = self.theme.px(3.0), self.theme.px(2.0)
        box.adjust(-side, -rise, side, rise)
        painter.setPen(QPen(QColor(palette.ink), 1.6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box, box.height() / 2, box.height() / 2)

    def _place(self, view: Status, width: int) -> list[Run]:
        """Lay out the mark first, then the words at the right, then the items."""
        strong, plain = self.theme.face(NEAR, STRONG), self.theme.face(NEAR)
        edge = gap = self.theme.px(5.0)
        first = self.theme.px(4.0) + strong.cap
        right_x = width - edge - plain.width(view.right)
        pill = strong.width(view.mark) + self.theme.px(6.0) if view.mark else 0.0
        limit = right_x - (pill + gap if view.mark else 0.0) - gap
        items: list[Run] = []
        x, line = float(edge), first
        for number, text in enumerate(view.left):
            face = strong if number < STRONG_ITEMS else plain
            if items and x + face.width(text) > limit:
                x, line, limit = float(edge), line + plain.pitch, float(width - edge)
            items.append(self._run(text, x, line, face))
            x = items[-1].rect.right() + gap
        if view.right:
            items.insert(0, self._run(view.right, right_x, first, plain))
        if view.mark:
            left = max(
                (
                    run.rect.right()
                    for run in items
                    if run.baseline == first and run.x < right_x
                ),
                default=float(edge),
            )
            at = (left + right_x - strong.width(view.mark)) / 2
            items.insert(0, self._run(view.mark, at, first, strong))
        return items

    def _run(self, text: str, x: float, line: float, face: Face) -> Run:
        palette = self.theme.palette
        strong = face == self.theme.face(NEAR, STRONG)
        ink = palette.ink if strong else palette.quiet
        return Run(text, x, line, face, ink, palette.card)
