"""The lines at the foot of the screen: what comes next, what the foot would do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter

from benchassist.ui.paint import Painted, Run, wrap
from benchassist.ui.theme import FAR_LEAST, MUST, NEAR, PLAIN, STRONG
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


class MessageLine(Painted[str]):
    """One sentence about the last press, laid over what can wait."""

    def spoken(self, view: str) -> str:
        """Return the sentence."""
        return view

    def height_for(self, width: int) -> int:
        """Return the height that the sentence needs at ``width`` pixels."""
        face = self.theme.face(FAR_LEAST, STRONG)
        lines = wrap(self.view or "", face, width - 2 * self.theme.px(5.0))
        return round(face.pitch * len(lines) + self.theme.px(5.0))

    def lay(self, view: str) -> Iterator[Run]:
        """Lay out the sentence."""
        theme, palette = self.theme, self.theme.palette
        face = theme.face(FAR_LEAST, STRONG)
        first = theme.px(2.5) + (face.pitch + face.cap) / 2
        lines = wrap(view, face, self.width() - 2 * theme.px(5.0))
        for number, text in enumerate(lines):
            line = first + face.pitch * number
            yield Run(
                text,
                theme.px(5.0),
                line,
                face,
                palette.attention,
                palette.raised,
                "far",
            )

    def draw(self, painter: QPainter, _view: str) -> None:
        """Draw the ground with a bright rule above."""
        palette = self.theme.palette
        painter.fillRect(self.rect(), QColor(palette.raised))
        rule = QRectF(0, 0, self.width(), self.theme.px(0.8))
        painter.fillRect(rule, QColor(palette.attention))
