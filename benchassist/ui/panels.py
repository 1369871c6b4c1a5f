"""Small near panels: a title, a verdict word beside it, a few lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import Painted, Run, panel, tone_ink, wrap
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG
from benchassist.ui.view import Panel

LEAST_WIDTH_MM = 62.0  # [mm] of a panel beside another one; a choice


class _Placed(NamedTuple):
    rect: QRectF
    runs: tuple[Run, ...]


class PanelGrid(Painted[tuple[Panel, ...]]):
    """Panels side by side; those that do not fit whole are left to the drawer."""

    def spoken(self, view: tuple[Panel, ...]) -> str:
        """Return each panel's title, verdict and lines."""
        return ". ".join(
            ", ".join(part for part in (each.title, each.verdict, *each.lines) if part)
            for each in view
        )

    def height_for(self, width: int, available: int) -> int:
        """Return the height of the panels that fit into ``available`` pixels."""
        fitting = self._fitting(self.view or (), width, available)
        return round(max((each.rect.bottom() for each in fitting), default=0))

    def lay(self, view: tuple[Panel, ...]) -> Iterator[Run]:
        """Lay out the panels that fit."""
        for placed in self._fitting(view, self.width(), self.height()):
            yield from placed.runs

    def draw(self, painter: QPainter, view: tuple[Panel, ...]) -> None:
        """Draw the grounds."""
        radius = self.theme.px(2.4)
        for placed in self._fitting(view, self.width(), self.height()):
            panel(painter, placed.rect, radius, ground=self.theme.palette.card)

    def _fitting(
        self, view: tuple[Panel, ...], width: int, available: int
    ) -> list[_Placed]:
        """Place all panels, in smaller letters if need be, or as many as fit."""
        placed: list[_Placed] = []
        for cap_mm in (READ, NEAR):
            placed = self._grid(view, width, available, cap_mm)
            if len(placed) == len(view):
                break
        return placed

    def _grid(
        self, view: tuple[Panel, ...], width: int, available: int, cap_mm: float
    ) -> list[_Placed]:
        gap = self.theme.px(3.0)
        columns = max(1, min(2, width // self.theme.px(LEAST_WIDTH_MM)))
        columns = min(columns, max(1, len(view)))
        each = (width - gap * (columns - 1)) / columns
        placed: list[_Placed] = []
        top = 0.0
        for first in range(0, len(view), columns):
            row = [
                self._place(one, QRectF(number * (each + gap), top, each, 0), cap_mm)
                for number, one in enumerate(view[first : first + columns])
            ]
            height = max(one.rect.height() for one in row)
            if top + height > available:
                break
            for one in row:
                one.rect.setHeight(height)
            placed += row
            top += height + gap
        return placed

    def _place(self, view: Panel, rect: QRectF, cap_mm: float) -> _Placed:
        theme, palette = self.theme, self.theme.palette
        title, verdict = theme.face(NEAR, STRONG), theme.face(READ, HEAVY)
        read = theme.face(cap_mm)
        pad = theme.px(3.6)
        right = rect.right() - pad - verdict.width(view.verdict)
        room = rect.width() - 2 * pad
        title_room = room - (verdict.width(view.verdict) + pad if view.verdict else 0)
        line = rect.top() + pad + verdict.cap
        ground = palette.card
        runs = []
        if view.verdict:
            ink = tone_ink(theme, view.tone)
            runs.append(Run(view.verdict, right, line, verdict, ink, ground))
        x = rect.left() + pad
        for number, text in enumerate(wrap(view.title, title, title_room)):
            line += title.pitch if number else 0
            runs.append(Run(text, x, line, title, palette.quiet, ground))
        line += theme.px(1.2)
        for text in view.lines:
            for part in wrap(text, read, room):
                line += read.pitch
                runs.append(Run(part, x, line, read, palette.ink, ground))
        rect.setBottom(line + read.depth + theme.px(2.0))
        return _Placed(rect, tuple(runs))
