"""What a day came to, as large numbers in a row."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from benchassist.ui.paint import CLOSE, Painted, Run, halves, panel
from benchassist.ui.theme import HEAVY, NEAR

HIGH_MM = 19.0
NUMBER_MM = 8.9  # [mm] capitals: read across the bench
LESS_MM = 5.0  # [mm] where the words take two lines
GAP_MM = 2.0
Counts = tuple[tuple[str, str], ...]


class CountRow(Painted[Counts]):
    """Numbers with their words; one without words stands between two sides."""

    def spoken(self, view: Counts) -> str:
        """Return numbers and words."""
        return ", ".join(f"{number} {words}".strip() for number, words in view)

    def _boxes(self, view: Counts) -> Iterator[QRectF]:
        gap, sign = self.theme.px(GAP_MM), self.theme.px(12.0)
        tiles = sum(bool(words) for _, words in view)
        signs = len(view) - tiles
        room = self.width() - gap * (len(view) - 1) - sign * signs
        x, wide = 0.0, room / max(1, tiles)
        for _, words in view:
            own = wide if words else float(sign)
            yield QRectF(x, 0, own, self.height())
            x += own + gap

    def lay(self, view: Counts) -> Iterator[Run]:
        """Lay out the numbers over their words."""
        theme, palette = self.theme, self.theme.palette
        small, boxes = theme.face(NEAR), list(self._boxes(view))
        folds = any(
            small.width(words) > box.width() - theme.px(GAP_MM)
            for (_, words), box in zip(view, boxes, strict=True)
        )
        big = theme.face(LESS_MM if folds else NUMBER_MM, HEAVY)
        for (number, words), box in zip(view, boxes, strict=True):
            x = box.center().x() - big.width(number) / 2
            ground = palette.card if words else palette.ground
            ink = palette.ink if words else palette.good
            if number == "≠":
                ink = palette.stop
            line = box.top() + theme.px(2.2) + big.cap
            if not words:
                line = box.center().y() + big.cap / 2
            yield Run(number, x, line, big, ink, ground)
            if words:
                base = box.bottom() - theme.px(2.0)
                for told in reversed(halves(words, small) if folds else [words]):
                    at = box.center().x() - small.width(told) / 2
                    yield Run(told, at, base, small, palette.quiet, ground)
                    base -= small.cap * CLOSE

    def draw(self, painter: QPainter, view: Counts) -> None:
        """Draw the plates."""
        for (_, words), box in zip(view, self._boxes(view), strict=True):
            if words:
                panel(painter, box, self.theme.px(2.4), ground=self.theme.palette.card)
