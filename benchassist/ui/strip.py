"""A straw strip over a page: what a hand does before it presses any key."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import Painted, Run, panel
from benchassist.ui.present.mishap import First
from benchassist.ui.theme import FAR_LEAST, HEAVY, READ, STRONG


class Strip(Painted[First]):
    """Small words, then large ones: twice, in one line where they fit."""

    def spoken(self, view: First) -> str:
        """Return all of it."""
        return f"{view.small} {view.large} {view.note}"

    def lay(self, view: First) -> Iterator[Run]:
        """Lay out the small and the large words, and the note at the right."""
        theme, palette = self.theme, self.theme.palette
        small, large = theme.face(READ, STRONG), theme.face(FAR_LEAST, HEAVY)
        ink, ground = palette.letters, palette.attention
        middle, x = self.height() / 2, float(theme.px(5.0))
        if not view.large:
            return
        yield Run(view.small, x, middle + small.cap / 2, small, ink, ground)
        x += small.width(view.small) + theme.px(4.0)
        yield Run(view.large, x, middle + large.cap / 2, large, ink, ground, "far")
        x += large.width(view.large) + theme.px(6.0)
        right = self.width() - theme.px(5.0) - large.width(view.note)
        if view.note and right >= x:
            line = middle + large.cap / 2
            yield Run(view.note, right, line, large, ink, ground, "far")

    def draw(self, painter: QPainter, view: First) -> None:
        """Draw the plate."""
        if view.large:
            rect, radius = QRectF(self.rect()), self.theme.px(3.0)
            panel(painter, rect, radius, ground=self.theme.palette.attention)
