"""Small line drawings for tiles, in strokes of one width inside a square of 1 by 1."""

from __future__ import annotations

from math import cos, pi, sin

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

Strokes = tuple[tuple[tuple[float, float], ...], ...]


def _lines(told: str) -> Strokes:
    """Return strokes from their corners: ``x,y`` in hundredths, a ``;`` between two."""
    return tuple(tuple(map(_corner, line.split())) for line in told.split(";"))


def _corner(told: str) -> tuple[float, float]:
    x, _, y = told.partition(",")
    return float(x) / 100, float(y) / 100


def _ring(
    x: float, y: float, radius: float, steps: int = 36
) -> tuple[tuple[float, float], ...]:
    turns = (2 * pi * n / steps for n in range(steps + 1))
    return tuple((x + radius * cos(turn), y + radius * sin(turn)) for turn in turns)


def _rays(x: float, y: float, near: float, far: float, count: int) -> Strokes:
    ways = (2 * pi * n / count for n in range(count))
    return tuple(
        (
            (x + near * cos(way), y + near * sin(way)),
            (x + far * cos(way), y + far * sin(way)),
        )
        for way in ways
    )


(_TOOTH,) = _lines("24,40 36,50 50,42 62,50 74,40 66,86 34,86 24,40")
DRAWINGS: dict[str, Strokes] = {
    "touched": (_TOOTH, *_lines("66,36 92,6; 72,40 97,11")),
    "clock": (_ring(0.5, 0.5, 0.38), *_lines("50,26 50,52 66,62")),
    "lamp": _lines(
        "8,92 56,42; 14,96 62,48; 56,42 62,48; 60,26 58,10; 72,32 84,16; 78,46 96,42"
    ),
    "dust": (
        _TOOTH,
        _ring(0.44, 0.64, 0.04, 10),
        _ring(0.58, 0.72, 0.04, 10),
        _ring(0.14, 0.22, 0.04, 10),
        _ring(0.84, 0.16, 0.04, 10),
        _ring(0.52, 0.18, 0.03, 10),
    ),
    "dropped": (
        tuple((x, y - 0.16) for x, y in _TOOTH),
        *_lines("10,14 10,56; 90,14 90,56; 14,94 86,94"),
    ),
    "smear": _lines("6,52 26,26 46,52 66,26 94,52; 6,80 26,54 46,80 66,54 94,80"),
    "drop": _lines(
        "50,6 66,30 78,54 74,74 62,88 50,92 38,88 26,74 22,54 34,30 50,6; 40,70 48,78"
    ),
    "sun": (_ring(0.5, 0.5, 0.2), *_rays(0.5, 0.5, 0.3, 0.44, 8)),
    "hand": (
        *_lines(
            "36,94 22,62 10,46 18,40 32,54 32,16 42,14 44,46 47,8 57,8 57,46 "
            "63,12 72,14 70,50 78,26 86,30 80,66 70,94 36,94"
        ),
        _ring(0.52, 0.7, 0.04, 10),
    ),
    "box": (
        *_lines("10,16 90,16 90,86 10,86 10,16; 24,30 64,30 64,72 24,72 24,30"),
        _ring(0.77, 0.36, 0.05, 12),
        _ring(0.77, 0.54, 0.05, 12),
    ),
    "bottle": _lines("40,8 60,8 60,28 74,42 74,92 26,92 26,42 40,28 40,8; 26,58 74,58"),
    "bubbles": (
        _ring(0.34, 0.64, 0.18),
        _ring(0.68, 0.46, 0.13),
        _ring(0.46, 0.24, 0.09),
    ),
    "crack": (_TOOTH, *_lines("50,42 44,56 56,64 48,86")),
    "waves": _lines(
        "6,36 28,28 50,36 72,28 94,36; 6,58 28,50 50,58 72,50 94,58; "
        "6,80 28,72 50,80 72,72 94,80"
    ),
    "power": _lines("56,6 24,56 48,56 42,94 76,42 52,42 56,6"),
    "bench": (
        *_lines(
            "6,56 94,56 94,66 6,66 6,56; 16,66 16,94; 84,66 84,94; "
            "28,56 28,34; 50,56 50,34; 72,56 72,34"
        ),
        _ring(0.28, 0.22, 0.1),
        _ring(0.5, 0.22, 0.1),
        _ring(0.72, 0.22, 0.1),
    ),
    "glass": (_ring(0.42, 0.4, 0.3), *_lines("64,62 94,92")),
    "fast": _lines("10,12 50,50 10,88 10,12; 50,12 90,50 50,88 50,12"),
    "pause": _lines("14,14 86,14 86,86 14,86 14,14; 14,50 86,50"),
    "curve": _lines("6,90 94,90; 10,84 26,78 38,50 50,16 62,50 74,78 90,84"),
    "steps": _lines("8,92 8,70 36,70 36,44 64,44; 64,44 64,18 92,18 92,92 8,92"),
    "spots": tuple(_ring(x, y, 0.17) for x in (0.24, 0.5, 0.76) for y in (0.3, 0.58)),
    "eye": (
        *_lines("5,50 28,28 50,22 72,28 95,50; 5,50 28,72 50,78 72,72 95,50"),
        _ring(0.5, 0.5, 0.16),
    ),
    "other": (
        _ring(0.22, 0.5, 0.05, 12),
        _ring(0.5, 0.5, 0.05, 12),
        _ring(0.78, 0.5, 0.05, 12),
    ),
}


def draw(painter: QPainter, name: str, square: QRectF, ink: str, stroke: float) -> None:
    """Draw ``name`` into ``square``; a name that is not known draws three dots."""
    pen = QPen(QColor(ink), stroke)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for line in DRAWINGS.get(name, DRAWINGS["other"]):
        corners = [
            QPointF(
                square.left() + x * square.width(), square.top() + y * square.height()
            )
            for x, y in line
        ]
        painter.drawPolyline(QPolygonF(corners))
