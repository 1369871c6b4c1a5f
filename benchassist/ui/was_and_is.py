"""What was written, struck and readable, and under it what it really was."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from benchassist.ui.paint import Painted, Run, elided, panel
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Face
from benchassist.ui.words import say

PAD_MM = 4.6
VALUE_MM = 6.6  # [mm] capitals of both values; a choice


@dataclass(frozen=True)
class WasAndIs:
    """Both values, each under its words."""

    was: str
    now: str


class WasAndIsCard(Painted[WasAndIs]):
    """Two values on a card; the old one stays readable under its line."""

    def spoken(self, view: WasAndIs) -> str:
        """Return both."""
        return say(
            "What was written: {was}. What it really was: {now}",
            was=view.was,
            now=view.now,
        )

    def height_for(self) -> int:
        """Return the height that both need."""
        theme = self.theme
        head = theme.face(NEAR, STRONG)
        value = theme.face(VALUE_MM, HEAVY)
        return round(2 * (head.pitch + value.pitch) + 5 * theme.px(PAD_MM))

    def lay(self, view: WasAndIs) -> Iterator[Run]:
        """Lay out heads and values."""
        theme, palette = self.theme, self.theme.palette
        head, plain = theme.face(NEAR, STRONG), theme.face(READ)
        pad, card = theme.px(PAD_MM), palette.card
        room = self.width() - 3 * pad
        line = pad + head.rise
        yield Run(say("WHAT WAS WRITTEN"), pad, line, head, palette.quiet, card)
        was = self._value(view.was, room * 0.72)
        line += head.pitch * 0.5 + was.rise
        text = elided(view.was, was, room * 0.72)
        yield Run(text, pad, line, was, palette.quiet, card)
        x = pad + was.width(text) + pad
        stays = say("stays readable")
        if plain.width(stays) <= self.width() - pad - x:
            yield Run(stays, x, line, plain, palette.quiet, card)
        line += pad * 1.4 + head.rise
        yield Run(say("WHAT IT REALLY WAS"), pad, line, head, palette.quiet, card)
        now = self._value(view.now, room)
        line += head.pitch * 0.5 + pad * 0.7 + now.rise
        text = elided(view.now, now, room)
        yield Run(text, 2 * pad, line, now, palette.ink, palette.raised)

    def draw(self, painter: QPainter, _view: WasAndIs) -> None:
        """Draw the card, the frame of the new value and the line through the old."""
        theme, palette = self.theme, self.theme.palette
        radius = theme.px(2.4)
        panel(painter, QRectF(self.rect()), radius, ground=palette.card)
        runs, pad = self.runs(), theme.px(PAD_MM)
        old = next(run for run in runs if run.text not in _HEADS)
        new = runs[-1]
        top = new.baseline - new.face.cap - pad * 0.9
        high = new.face.cap + pad * 1.8
        box = QRectF(pad, top, self.width() - 2 * pad, high)
        panel(
            painter, box, radius, ground=palette.raised, edge=palette.attention, width=3
        )
        painter.setPen(QPen(QColor(palette.stop), theme.px(0.8)))
        middle = old.baseline - old.face.cap / 2
        end = old.x + old.face.width(old.text) + theme.px(1.0)
        painter.drawLine(QPointF(old.x - theme.px(1.0), middle), QPointF(end, middle))

    def _value(self, text: str, room: float) -> Face:
        faces = (self.theme.face(mm, HEAVY) for mm in (VALUE_MM, 5.2, READ))
        fits = (face for face in faces if face.width(text) <= room)
        return next(fits, self.theme.face(READ, HEAVY))


_HEADS = (say("WHAT WAS WRITTEN"), say("WHAT IT REALLY WAS"))
