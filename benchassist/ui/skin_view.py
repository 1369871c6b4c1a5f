"""A part from one side, and the brush that marks its skin."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QImage, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from benchassist.mesh.skin import PIXELS, Seen
from benchassist.ui.theme import Theme
from benchassist.ui.words import say

BRUSH_MM = 2.0  # radius of the brush on the part; a choice


class SkinView(QWidget):
    """The picture of a part; a stroke over it tells where, in mm of the part.

    Signals: ``stroked(float, float)``.
    """

    stroked = Signal(float, float)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._seen: Seen | None = None
        self._image = QImage()
        self.setAccessibleName(say("The part, to be marked"))
        self.setMinimumHeight(120)

    def show_seen(self, view: Seen | None, marked: Any = None) -> None:  # noqa: ANN401
        """Show a part from a side, what is marked of it in the straw of a choice."""
        self._seen = view
        self._image = QImage() if view is None else self._painted(view, marked)
        self.update()

    def _painted(self, view: Seen, marked: Any) -> QImage:  # noqa: ANN401
        import numpy as np  # noqa: PLC0415 - only who marks faces waits for it

        ground = QColor(self.theme.palette.ground)
        straw = QColor(self.theme.palette.attention)
        shade = view.shade[..., None] / 255
        there = view.shade > 0
        chosen = there & marked[view.nearest]
        grey = np.array((235, 225, 205))
        ink = np.where(
            chosen[..., None], (straw.red(), straw.green(), straw.blue()), grey
        )
        picture = np.where(
            there[..., None],
            ink * shade,
            (ground.red(), ground.green(), ground.blue()),
        ).astype(np.uint8)
        data = np.ascontiguousarray(picture)
        form = QImage.Format.Format_RGB888
        return QImage(data.tobytes(), PIXELS, PIXELS, 3 * PIXELS, form).copy()

    def _square(self) -> QRectF:
        side = min(self.width(), self.height())
        return QRectF(0, 0, side, side)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Draw the picture as large as there is room."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if not self._image.isNull():
            painter.drawImage(self._square(), self._image)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Begin a stroke."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._stroke(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Go on with it."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._stroke(event.position())

    def _stroke(self, at: QPointF) -> None:
        if self._seen is None:
            return
        square = self._square()
        scale = PIXELS * self._seen.mm_per_px / max(square.width(), 1.0)
        half = PIXELS * self._seen.mm_per_px / 2
        self.stroked.emit(at.x() * scale - half, half - at.y() * scale)
