"""The lines at the foot of the screen: what comes next, what the foot would do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter

from benchassist.ui.paint import Painted, Reading, Run, panel, wrap
from benchassist.ui.theme import FAR_LEAST, MUST, NEAR, PLAIN, READ, STRONG, Face
from benchassist.ui.view import Tone


@dataclass(frozen=True)
class FarText:
    """A labelled line for the far eye; ``tone`` other than plain inverts it."""

    label: str
    text: str
    tone: Tone = "plain"


@dataclass(frozen=True)
class Hints:
    """What hands may do here, and one thing worth a glance at the right."""

    left: tuple[str, ...]
    right: str = ""


class FarLine(Painted[FarText]):
    """A line that is read at 1.5 m; a long text takes a second line, never less."""

    def spoken(self, view: FarText) -> str:
        """Return label and text."""
        return f"{view.label}: {view.text}"

    def height_for(self, width: int) -> int:
        """Return the height that the line needs at ``width`` pixels."""
        face = self.theme.face(MUST, STRONG)
        count = 1 if self.view is None else len(self._lines(self.view, width))
        return round(face.pitch * max(1, count) + self.theme.px(3.0))

    def lay(self, view: FarText) -> Iterator[Run]:
        """Lay out the label and the text beside it."""
        theme = self.theme
        ink, ground, label_ink = self._inks(view)
        face = theme.face(MUST, STRONG)
        first = (face.pitch + theme.px(3.0) + face.cap) / 2
        label = theme.face(FAR_LEAST, PLAIN)
        yield Run(view.label, theme.px(5.0), first, label, label_ink, ground, "far")
        for number, text in enumerate(self._lines(view, self.width())):
            line = first + face.pitch * number
            yield Run(text, self._text_x(), line, face, ink, ground, "must")

    def draw(self, painter: QPainter, view: FarText) -> None:
        """Draw the ground and the rule above it."""
        _, ground, _ = self._inks(view)
        painter.fillRect(self.rect(), QColor(ground))
        rule = QRectF(0, 0, self.width(), 1.5)
        painter.fillRect(rule, QColor(self.theme.palette.line))

    def _text_x(self) -> float:
        # Both labels share one column, as wide as the longer of them.
        widest = self.theme.face(FAR_LEAST, PLAIN).width("PEDAL")
        return self.theme.px(5.0) + widest + self.theme.px(7.0)

    def _lines(self, view: FarText, width: int) -> list[str]:
        room = width - self._text_x() - self.theme.px(4.0)
        return wrap(view.text, self.theme.face(MUST, STRONG), room)

    def _inks(self, view: FarText) -> tuple[str, str, str]:
        palette = self.theme.palette
        if view.tone == "plain":
            return palette.ink, palette.card, palette.attention
        ground = palette.stop if view.tone == "stop" else palette.attention
        return palette.letters, ground, palette.letters


class HintLine(Painted[Hints]):
    """Small print for the hands under the PEDAL line."""

    def spoken(self, view: Hints) -> str:
        """Return all hints."""
        return ". ".join((*view.left, view.right)).strip(". ")

    def height_for(self, width: int) -> int:
        """Return the height that the hints need at ``width`` pixels."""
        if self.view is None or not (self.view.left or self.view.right):
            return 0
        runs = self._place(self.view, width)
        return round(max(run.rect.bottom() for run in runs) + self.theme.px(1.2))

    def lay(self, view: Hints) -> Iterator[Run]:
        """Lay out the hints in one line, or in as many as they need."""
        yield from self._place(view, self.width())

    def draw(self, painter: QPainter, _view: Hints) -> None:
        """Draw the ground."""
        painter.fillRect(self.rect(), QColor(self.theme.palette.card))

    def _place(self, view: Hints, width: int) -> list[Run]:
        theme, palette = self.theme, self.theme.palette
        face, right = theme.face(NEAR), theme.face(NEAR, STRONG)
        edge, gap = float(theme.px(5.0)), theme.px(7.0)
        line = theme.px(0.2) + face.rise
        runs = []
        x = edge
        limit = width - edge
        beside = right.width(view.right) + gap if view.right else 0.0
        whole = sum(face.width(hint) + gap for hint in view.left)
        # The right hint stands beside the others or, where they need all, below.
        if edge + whole + beside <= width - edge + gap:
            limit -= beside
            below = False
        else:
            below = True
        for hint in view.left:
            for part in wrap(hint, face, limit - edge):
                if x > edge and x + face.width(part) > limit:
                    x, line = edge, line + face.pitch
                runs.append(Run(part, x, line, face, palette.quiet, palette.card))
                x += face.width(part) + gap
        if view.right:
            for part in wrap(view.right, right, width - 2 * edge):
                if below and runs:
                    line += right.pitch
                at = width - edge - right.width(part)
                runs.append(Run(part, at, line, right, palette.attention, palette.card))
                below = True
        return runs


@dataclass(frozen=True)
class Message:
    """One sentence; ``near`` where hands are at the screen anyway."""

    text: str
    near: bool = False


class MessageLine(Painted[Message]):
    """One sentence about the last press."""

    def spoken(self, view: Message) -> str:
        """Return the sentence."""
        return view.text

    def height_for(self, width: int) -> int:
        """Return the height that the sentence needs at ``width`` pixels."""
        if self.view is None:
            return 0
        lines = self._lines(self.view, width)
        return round(self._face(self.view).pitch * len(lines) + self.theme.px(4.4))

    def lay(self, view: Message) -> Iterator[Run]:
        """Lay out the sentence."""
        theme, palette = self.theme, self.theme.palette
        face = self._face(view)
        first = theme.px(2.4) + (face.pitch + face.cap) / 2
        reading: Reading = "near" if view.near else "far"
        for number, text in enumerate(self._lines(view, self.width())):
            line = first + face.pitch * number
            ink, ground = palette.attention, palette.raised
            yield Run(text, theme.px(5.0), line, face, ink, ground, reading)

    def draw(self, painter: QPainter, _view: Message) -> None:
        """Draw the ground."""
        palette, radius = self.theme.palette, self.theme.px(2.4)
        rect = QRectF(self.rect())
        panel(painter, rect, radius, ground=palette.raised, edge=palette.attention)

    def _face(self, view: Message) -> Face:
        return self.theme.face(READ if view.near else FAR_LEAST, STRONG)

    def _lines(self, view: Message, width: int) -> list[str]:
        return wrap(view.text, self._face(view), width - 2 * self.theme.px(5.0))
