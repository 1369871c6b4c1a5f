"""The shelf of a box from above: its places to scale, and a photo of it."""

from __future__ import annotations

from itertools import combinations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QWidget

from benchassist.domain.shape import BoxPlan
from benchassist.ui.theme import NEAR, READ, STRONG, Theme
from benchassist.ui.words import say

PHOTO_SHARE = 0.45  # of the height, where there is a photo


class ShelfPlan(QWidget):
    """Places drawn as they stand; two that overlap are drawn in the colour of STOP."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._plan = BoxPlan(1.0, 1.0)
        self._at = ""
        self._photo = QPixmap()

    def show_plan(self, plan: BoxPlan, at: str, photo: bytes = b"") -> None:
        """Show a plan, the place ``at`` framed, and the photo's bytes below."""
        self._plan, self._at = plan, at
        self._photo = QPixmap()
        self._photo.loadFromData(photo)
        names = ", ".join(place.name for place in plan.places)
        self.setAccessibleName(say("Shelf with {names}", names=names))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Draw the shelf, its places, and the photo under it."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        room = QRectF(self.rect()).adjusted(2, 2, -2, -2)
        if not self._photo.isNull():
            below = QRectF(room)
            room.setHeight(room.height() * (1 - PHOTO_SHARE) - self.theme.px(2.0))
            below.setTop(room.bottom() + self.theme.px(2.0))
            self._draw_photo(painter, below)
        self._draw_plan(painter, room)
        painter.end()

    def _draw_photo(self, painter: QPainter, below: QRectF) -> None:
        size = self._photo.size().scaled(
            below.size().toSize(), Qt.AspectRatioMode.KeepAspectRatio
        )
        at = QRectF(below.x(), below.y(), size.width(), size.height())
        painter.drawPixmap(at, self._photo, QRectF(self._photo.rect()))

    def _draw_plan(self, painter: QPainter, room: QRectF) -> None:
        palette, plan = self.theme.palette, self._plan
        scale = min(room.width() / plan.wide_mm, room.height() / plan.deep_mm)
        front = room.y() + plan.deep_mm * scale
        painter.setPen(QPen(QColor(palette.quiet), 2.0))
        painter.setBrush(QColor(palette.card))
        shelf = QRectF(room.x(), room.y(), plan.wide_mm * scale, plan.deep_mm * scale)
        painter.drawRoundedRect(shelf, 6, 6)
        clash = {
            each.name
            for one, other in combinations(plan.places, 2)
            if one.meets(other)
            for each in (one, other)
        }
        painter.setFont(self.theme.face(READ, STRONG).font)
        for place in plan.places:
            framed = place.name == self._at
            ink = palette.stop if place.name in clash else palette.ink
            edge = palette.attention if framed else ink
            painter.setPen(QPen(QColor(edge), 3.0 if framed else 1.5))
            painter.setBrush(QColor(palette.raised))
            box = QRectF(
                room.x() + (place.x_mm - place.wide_mm / 2) * scale,
                front - (place.y_mm + place.deep_mm / 2) * scale,
                place.wide_mm * scale,
                place.deep_mm * scale,
            )
            painter.drawRoundedRect(box, 6, 6)
            painter.setPen(QColor(ink))
            painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), place.name)
        painter.setPen(QColor(palette.quiet))
        painter.setFont(self.theme.face(NEAR).font)
