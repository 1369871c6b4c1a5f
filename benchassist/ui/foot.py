"""The places at the foot of the screen, each with its key; a tap does the same."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter

from benchassist.ui.paint import Painted, Run, around, draw_key, halves, panel
from benchassist.ui.theme import NEAR, STRONG, Face
from benchassist.ui.words import say
from benchassist.value import value

FOOT_MM = 10.1  # [mm] of the bar, a target for a gloved finger
FOLDED_MM = 12.6  # [mm] where its words take two lines
MORE_MM = 44.0  # [mm] for the way back, or to more, beside the usual ways
GAP_MM = 1.5
PAD_MM = 12.0  # [mm] of a target beside its letters


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

    def height_for(self, width: int) -> int:
        """Return the height of the bar, the same on every page of a width."""
        one = self._asked(USUAL, 1) + self.theme.px(MORE_MM) <= width
        return self.theme.px(FOOT_MM if one else FOLDED_MM)

    def lay(self, view: tuple[Way, ...]) -> Iterator[Run]:
        """Lay out key and words in the middle of each target."""
        theme, palette = self.theme, self.theme.palette
        face, side, lines = self._face(), theme.px(1.8), self._lines(view)
        for way, box in zip(view, self._boxes(view), strict=True):
            words = face.width(way.key) + _wide(way, face, lines)
            spare = box.width() - 2 * side - words
            gap = min(theme.px(4.2), max(theme.px(2.8), spare))
            x = box.left() + max(0.0, spare - gap) / 2 + side
            middle, inks = box.center().y(), (palette.ink, palette.raised)
            line = middle + face.cap / 2
            yield Run(way.key, x, line, face, palette.attention, palette.raised)
            x += face.width(way.key) + gap
            told = Run(way.text, x, middle, face, *inks)
            yield from around(told, box.right() - x, self.height(), most=lines)

    def draw(self, painter: QPainter, view: tuple[Way, ...]) -> None:
        """Draw the ground, a rule above it and the targets."""
        palette = self.theme.palette
        painter.fillRect(self.rect(), QColor(palette.card))
        painter.fillRect(QRectF(0, 0, self.width(), 2), QColor(palette.line))
        for box in self._boxes(view):
            panel(painter, box, self.theme.px(1.2), ground=palette.raised)
        for run in self.runs():
            if run.ink == palette.attention:
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

    def _face(self) -> Face:
        return self.theme.face(NEAR, STRONG)

    def _lines(self, view: tuple[Way, ...]) -> int:
        """Return in how many lines the words stand."""
        return 1 if self._asked(view, 1) <= self.width() else 2

    def _asked(self, view: tuple[Way, ...], lines: int) -> float:
        """Return how wide the targets are, their words in so many lines."""
        face, pads = self._face(), self.theme.px(PAD_MM) + self.theme.px(GAP_MM)
        return self.theme.px(GAP_MM) + sum(
            face.width(way.key) + _wide(way, face, lines) + pads for way in view
        )

    def _boxes(self, view: tuple[Way, ...]) -> list[QRectF]:
        """Return the targets, each as wide as its words ask for its share."""
        face, gap, lines = self._face(), self.theme.px(GAP_MM), self._lines(view)
        spare = (self.width() - self._asked(view, lines)) / max(1, len(view))
        boxes, x = [], float(gap)
        for way in view:
            wide = face.width(way.key) + _wide(way, face, lines)
            wide += self.theme.px(PAD_MM) + spare
            boxes.append(QRectF(x, 3, wide, self.height() - 5))
            x += wide + gap
        return boxes


def _wide(way: Way, face: Face, lines: int) -> float:
    told = halves(way.text, face) if lines > 1 else [way.text]
    return max(map(face.width, told))
