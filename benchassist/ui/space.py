"""A rectangle from which pieces are taken, so that zones never overlap."""

from __future__ import annotations

from PySide6.QtCore import QRect


class Space:
    """A rectangle from which pieces are taken at the top and at the foot."""

    def __init__(self, rect: QRect) -> None:
        self.x, self.width = rect.x(), rect.width()
        self.top, self.foot = rect.y(), rect.y() + rect.height()

    @property
    def height(self) -> int:
        """What is left, in pixels; negative where too much was taken."""
        return self.foot - self.top

    def rest(self) -> QRect:
        """Return what is left."""
        return QRect(self.x, self.top, self.width, max(0, self.height))

    def take_top(self, height: int, gap: int = 0) -> QRect:
        """Take a piece at the top, and a gap below it."""
        piece = QRect(self.x, self.top, self.width, height)
        self.top += height + gap
        return piece

    def take_foot(self, height: int, gap: int = 0) -> QRect:
        """Take a piece at the foot, and a gap above it."""
        self.foot -= height + gap
        return QRect(self.x, self.foot + gap, self.width, height)

    def inset(self, by: int) -> Space:
        """Return the same space, narrower by ``by`` at both sides."""
        return Space(self.rest().adjusted(by, 0, -by, 0))

    def columns(self, shares: tuple[float, ...], gap: int) -> list[Space]:
        """Split what is left into columns."""
        whole = self.width - gap * (len(shares) - 1)
        spaces, x = [], self.x
        for share in shares:
            width = round(whole * share)
            spaces.append(Space(QRect(x, self.top, width, max(0, self.height))))
            x += width + gap
        return spaces
