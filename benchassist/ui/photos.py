"""Photos side by side; one that is missing or altered is a frame that says so."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QWidget

from benchassist.ui.filing import Found
from benchassist.ui.theme import NEAR, Theme
from benchassist.ui.words import say

GAP_MM = 2.0


class Photos(QWidget):
    """A row of photos; one that is missing or altered is a frame that says so."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self._shown: list[tuple[QPixmap, str]] = []

    def show_photos(self, found: tuple[Found, ...]) -> None:
        """Show other photos."""
        self._shown = []
        for each in found:
            picture = QPixmap()
            picture.loadFromData(each.data)
            self._shown.append((picture, each.amiss))
        self.setAccessibleName(say("{many} photos", many=len(found)))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Draw the photos side by side, each whole."""
        del event
        painter, gap = QPainter(self), self.theme.px(GAP_MM)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setPen(QColor(self.theme.palette.stop))
        painter.setFont(self.theme.face(NEAR).font)
        count = max(len(self._shown), 1)
        side = min(self.height(), (self.width() + gap) // count - gap)
        for n, (picture, amiss) in enumerate(self._shown):
            box = QRectF(n * (side + gap), 0, side, side)
            if amiss:
                painter.drawRect(box)
                flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
                painter.drawText(box, int(flags), say("photo {amiss}", amiss=amiss))
                continue
            inside = picture.size().scaled(
                box.size().toSize(), Qt.AspectRatioMode.KeepAspectRatio
            )
            at = box.topLeft()
            painter.drawPixmap(
                QRectF(at.x(), at.y(), inside.width(), inside.height()),
                picture,
                QRectF(picture.rect()),
            )
        painter.end()
