"""The six shapes of the six states, so that colour never stands alone."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from benchassist.domain.calls import Word

_STROKE = 0.11  # [ratio] of the square a shape is drawn in
_THIN = 0.45  # [ratio] of the stroke
_RING_GAP_DEG = 50
_TICK = ((0.27, 0.52), (0.44, 0.69), (0.74, 0.34))  # [ratio] of the square
_OCTAGON_CORNER = 0.29289  # [ratio] 1 / (2 + sqrt 2), a regular octagon


def draw_shape(
    painter: QPainter, word: Word, square: QRectF, *, ink: str, share: float = 0.0
) -> None:
    """Draw the shape of a state into ``square``.

    WAIT is an open ring whose heavy part grows with ``share``, 0 to 1; DO a filled
    square, HOLD a barred square, STOP a filled octagon, ASK an open diamond, DONE a
    ring with a tick.
    """
    stroke = square.width() * _STROKE
    pen = QPen(QColor(ink), stroke)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    inner = square.adjusted(stroke / 2, stroke / 2, -stroke / 2, -stroke / 2)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    match word:
        case "WAIT":
            _draw_ring(painter, pen, inner, share)
        case "HOLD":
            painter.drawRoundedRect(inner, stroke / 2, stroke / 2)
            middle = inner.center().y()
            painter.drawLine(
                QPointF(inner.left(), middle), QPointF(inner.right(), middle)
            )
        case "ASK":
            painter.drawPolygon(_diamond(inner))
        case "DO":
            _fill(painter, ink)
            painter.drawRoundedRect(inner, stroke / 2, stroke / 2)
        case "STOP":
            _fill(painter, ink)
            painter.drawPolygon(_octagon(square))
        case "DONE":
            painter.drawEllipse(inner)
            painter.drawPolyline(_tick(inner))


def _fill(painter: QPainter, ink: str) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(ink))


def _draw_ring(painter: QPainter, pen: QPen, inner: QRectF, share: float) -> None:
    """Draw a thin open ring, and over it the heavy arc of the time that passed."""
    start_deg = 90 - _RING_GAP_DEG // 2
    sweep_deg = 360 - _RING_GAP_DEG
    thin = QPen(pen)
    thin.setWidthF(pen.widthF() * _THIN)
    painter.setPen(thin)
    painter.drawArc(inner, start_deg * 16, -sweep_deg * 16)
    passed = round(sweep_deg * 16 * min(1.0, max(0.0, share)))
    if passed:
        painter.setPen(pen)
        painter.drawArc(inner, start_deg * 16, -passed)


def _tick(square: QRectF) -> QPolygonF:
    def at(across: float, down: float) -> QPointF:
        return QPointF(
            square.left() + across * square.width(),
            square.top() + down * square.height(),
        )

    return QPolygonF([at(*corner) for corner in _TICK])


def _octagon(square: QRectF) -> QPolygonF:
    corner = square.width() * _OCTAGON_CORNER
    left, right = square.left(), square.right()
    top, bottom = square.top(), square.bottom()
    return QPolygonF(
        [
            QPointF(left + corner, top),
            QPointF(right - corner, top),
            QPointF(right, top + corner),
            QPointF(right, bottom - corner),
            QPointF(right - corner, bottom),
            QPointF(left + corner, bottom),
            QPointF(left, bottom - corner),
            QPointF(left, top + corner),
        ]
    )


def _diamond(square: QRectF) -> QPolygonF:
    centre = square.center()
    return QPolygonF(
        [
            QPointF(centre.x(), square.top()),
            QPointF(square.right(), centre.y()),
            QPointF(centre.x(), square.bottom()),
            QPointF(square.left(), centre.y()),
        ]
    )
