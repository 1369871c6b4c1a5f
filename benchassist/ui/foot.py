"""The places at the foot of the screen, each with its key; a tap does the same."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter

from benchassist.ui.paint import Painted, Run, draw_key, elided, panel
from benchassist.ui.theme import NEAR, STRONG
from benchassist.ui.words import say
from benchassist.value import value

FOOT_MM = 10.1  # [mm] of the bar, a target for a gloved finger


@value
class Way:
    """A key and where it leads."""

    key: str
    text: str


USUAL = (
    Way("M", say("Menu")),
    Way("N", say("New parts")),
    Way("D", say("Day")),
    Way("F", say("Find")),
    Way("W", say("What now?")),
    Way("H", say("Called away")),
)


class Foot(Painted[tuple[Way, ...]]):
    """Keys and words side by side, each a target.

    Signals: ``pressed(str)`` the key whose target was tapped.
    """

    pressed = Signal(str)

    def spoken(self, view: tuple[Way, ...]) -> str:
        """Return each key with its words."""
        return ", ".join(f"{way.key}: {way.text}" for way in view)

    def height_for(self) -> int:
        """Return the height of the bar."""
        return self.theme.px(FOOT_MM)

    def lay(self, view: tuple[Way, ...]) -> Iterator[Run]:
        """Lay out key and words in the middle of each target."""
        theme, palette = self.theme, self.theme.palette
        face, side = theme.face(NEAR, STRONG), theme.px(1.8)
        for way, box in zip(view, self._boxes(view), strict=True):
            words = face.width(way.key) + face.width(way.text)
            spare = box.width() - 2 * side - words
            gap = min(theme.px(4.2), max(theme.px(2.8), spare))
            wide = 2 * side + words + gap
            x = box.left() + max(0.0, box.width() - wide) / 2 + side
            line = box.center().y() + face.cap / 2
            yield Run(way.key, x, line, face, palette.attention, palette.raised)
            x += face.width(way.key) + gap
            told = elided(way.text, face, box.right() - x)
            yield Run(told, x, line, face, palette.ink, palette.raised)

    def draw(self, painter: QPainter, view: tuple[Way, ...]) -> None:
        """Draw the ground, a rule above it and the targets."""
        palette = self.theme.palette
        painter.fillRect(self.rect(), QColor(palette.card))
        painter.fillRect(QRectF(0, 0, self.width(), 2), QColor(palette.line))
        for box in self._boxes(view):
            panel(painter, box, self.theme.px(1.2), ground=palette.raised)
        for run in self.runs()[::2]:
            draw_key(painter, run, self.theme)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Tell which target is under the finger."""
        for key, box in self.boxes():
            if box.contains(event.position()):
                self.pressed.emit(key)

    def boxes(self) -> Iterator[tuple[str, QRectF]]:
        """Yield the key and the place of each target."""
        view = self.view or ()
        for way, box in zip(view, self._boxes(view), strict=True):
            yield way.key, box

    def _boxes(self, view: tuple[Way, ...]) -> list[QRectF]:
        """Return the targets, each as wide as its words ask for its share."""
        face, gap = self.theme.face(NEAR, STRONG), self.theme.px(1.5)
        asked = [face.width(way.key + way.text) + self.theme.px(12.0) for way in view]
        room = self.width() - gap * (len(view) + 1)
        spare = (room - sum(asked)) / max(1, len(view))
        boxes, x = [], float(gap)
        for wide in asked:
            boxes.append(QRectF(x, 3, wide + spare, self.height() - 5))
            x += wide + spare + gap
        return boxes
