"""Small near panels: a title, a verdict word beside it, a few lines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.paint import Painted, Run, panel, tone_ink, wrap
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Theme
from benchassist.ui.view import Panel
from benchassist.ui.words import say

LEAST_WIDTH_MM = 62.0  # [mm] of a panel beside another one; a choice
DRAWER_KEY = "?"


class _Placed(NamedTuple):
    rect: QRectF
    runs: tuple[Run, ...]


class PanelGrid(Painted[tuple[Panel, ...]]):
    """Panels side by side, the most important first.

    Those that do not fit whole fold into one line that names them; a drawer has them.
    """

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._fitted_of: tuple[object, object] = (None, None)
        self._fitted: dict[tuple[int, int], tuple[list[_Placed], int]] = {}

    def spoken(self, view: tuple[Panel, ...]) -> str:
        """Return each panel's title, verdict and lines."""
        return ". ".join(
            ", ".join(part for part in (each.title, each.verdict, *each.lines) if part)
            for each in view
        )

    def height_for(self, width: int, available: int) -> int:
        """Return the height of what fits into ``available`` pixels."""
        placed, _ = self._fitting(self.view or (), width, available)
        return round(max((each.rect.bottom() for each in placed), default=0))

    def folded(self, width: int, available: int) -> int:
        """Return how many panels do not fit whole into ``available`` pixels."""
        return self._fitting(self.view or (), width, available)[1]

    def lay(self, view: tuple[Panel, ...]) -> Iterator[Run]:
        """Lay out the panels that fit, and the line that names the others."""
        for placed in self._fitting(view, self.width(), self.height())[0]:
            yield from placed.runs

    def draw(self, painter: QPainter, view: tuple[Panel, ...]) -> None:
        """Draw the grounds."""
        radius = self.theme.px(2.4)
        for placed in self._fitting(view, self.width(), self.height())[0]:
            panel(painter, placed.rect, radius, ground=self.theme.palette.card)

    def _fitting(
        self, view: tuple[Panel, ...], width: int, available: int
    ) -> tuple[list[_Placed], int]:
        """Return all panels placed, and how many are folded; each room asked once."""
        if self._fitted_of[0] is not view or self._fitted_of[1] is not self.theme:
            self._fitted_of, self._fitted = (view, self.theme), {}
        room = width, available
        if room not in self._fitted:
            self._fitted[room] = self._fit(view, width, available)
        return self._fitted[room]

    def _fit(
        self, view: tuple[Panel, ...], width: int, available: int
    ) -> tuple[list[_Placed], int]:
        """Place all panels, in smaller letters if need be, or else fold the last."""
        for count in range(len(view), -1, -1):
            for cap_mm in (READ, NEAR):
                placed = self._grid(view[:count], width, cap_mm)
                if view[count:]:
                    placed.append(self._fold(view[count:], width, _foot(placed)))
                if round(_foot(placed)) <= available:
                    return placed, len(view) - count
        return [], len(view)

    def _grid(
        self, view: tuple[Panel, ...], width: int, cap_mm: float
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

    def _fold(self, view: tuple[Panel, ...], width: int, top: float) -> _Placed:
        """Place the line that names what is folded, by number where names are long."""
        theme, palette = self.theme, self.theme.palette
        face, pad = theme.face(NEAR, STRONG), theme.px(3.6)
        names = ", ".join(f"{each.title} {each.verdict}".rstrip() for each in view)
        text = f"{DRAWER_KEY}: {names}"
        if face.width(text) > width - 2 * pad:
            text = say(
                "{drawer_key}: {many} more", drawer_key=DRAWER_KEY, many=len(view)
            )
        top += theme.px(3.0) if top else 0.0
        line = top + theme.px(2.4) + face.cap
        rect = QRectF(0, top, width, line + theme.px(2.4) - top)
        run = Run(text, pad, line, face, palette.quiet, palette.card)
        return _Placed(rect, (run,))


def _foot(placed: list[_Placed]) -> float:
    return max((each.rect.bottom() for each in placed), default=0.0)
