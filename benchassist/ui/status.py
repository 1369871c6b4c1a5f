"""The status bar: when, who, with what; the store's mark; the light so far."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run
from benchassist.ui.theme import NEAR, STRONG, Face


@dataclass(frozen=True)
class Status:
    """What the bar says: each item by what it is for.

    ``alarms`` stand as long as they are true: they are never pushed out by others.
    ``past`` says that the words at the right are an alarm too.
    """

    who_when: tuple[str, ...]
    alarms: tuple[str, ...]
    things: tuple[str, ...]
    mark: str
    right: str
    past: bool = False


MOST_RIGHT = 0.58  # [ratio] of the width
STATUS_MM = 9.1  # [mm] of the bar on every screen


class _Item(NamedTuple):
    text: str
    face: Face
    ink: str
    must: bool = True


class StatusBar(Painted[Status]):
    """One line, from which things give way; who, when and alarms take another first."""

    def spoken(self, view: Status) -> str:
        """Return all items."""
        items = (*view.who_when, *view.alarms, *view.things, view.mark, view.right)
        return ". ".join(item for item in items if item)

    def height_for(self, width: int) -> int:
        """Return the height that the bar needs at ``width`` pixels."""
        runs = self._place(self.view, width) if self.view else []
        lowest = max((run.baseline for run in runs), default=0.0)
        return max(self.theme.px(STATUS_MM), round(lowest + self.theme.px(2.6)))

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
        side, rise = self.theme.px(3.0), self.theme.px(1.5)
        box.adjust(-side, -rise, side, rise)
        painter.setPen(QPen(QColor(palette.ink), 1.6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box, box.height() / 2, box.height() / 2)

    def _items(self, view: Status) -> list[_Item]:
        """Return the items at the left, what must not be overlooked before the rest."""
        palette = self.theme.palette
        strong, plain = self.theme.face(NEAR, STRONG), self.theme.face(NEAR)
        return [
            *(_Item(text, strong, palette.ink) for text in view.who_when),
            *(_Item(text, strong, palette.attention) for text in view.alarms),
            *(_Item(text, plain, palette.quiet, must=False) for text in view.things),
        ]

    def _right(self, view: Status, width: int) -> _Item:
        """Return the words at the right; a second half gives way on a narrow screen."""
        palette, face = self.theme.palette, self.theme.face(NEAR)
        ink = palette.attention if view.past else palette.quiet
        told = view.right
        if face.width(told) > width * MOST_RIGHT:
            told = told.split(";")[0].split(": ")[0]
        return _Item(told, face, ink)

    def _place(self, view: Status, width: int) -> list[Run]:
        """Lay out the mark first, then the words at the right, then the items."""
        strong, right = self.theme.face(NEAR, STRONG), self._right(view, width)
        edge = gap = self.theme.px(5.0)
        first = (self.theme.px(STATUS_MM) + strong.cap) / 2
        right_x = width - edge - right.face.width(right.text)
        pill = strong.width(view.mark) + self.theme.px(6.0) if view.mark else 0.0
        limit = right_x - (pill + gap if view.mark else 0.0) - gap
        items: list[Run] = []
        x, line = float(edge), first
        for item in self._items(view):
            if items and x + item.face.width(item.text) > limit:
                if not item.must:
                    continue
                line += item.face.pitch
                x, limit = float(edge), float(width - edge)
            items.append(self._run(item, x, line))
            x = items[-1].rect.right() + gap
        ends = (run.rect.right() for run in items if run.baseline == first)
        left = max(ends, default=float(edge))
        if right.text:
            items.insert(0, self._run(right, right_x, first))
        if view.mark:
            at = (left + right_x - strong.width(view.mark)) / 2
            mark = _Item(view.mark, strong, self.theme.palette.ink)
            items.insert(0, self._run(mark, at, first))
        return items

    def _run(self, item: _Item, x: float, line: float) -> Run:
        ground = self.theme.palette.card
        return Run(item.text, x, line, item.face, item.ink, ground)
