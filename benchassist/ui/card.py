"""A card to be answered by hand, and the line that can void what was just started."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.hold import OptionButton
from benchassist.ui.paint import Painted, Run, panel, wrap
from benchassist.ui.theme import HEAVY, NEAR, READ, STRONG, Theme
from benchassist.ui.view import Card, Undo

# [mm] capitals of a card's title and statements, the largest that fit; a choice
PAD_MM = 4.6  # [mm] between a card's edge and what is on it; a choice
SIZES_MM = ((6.2, 5.4), (5.4, 4.6), (4.6, READ), (READ, NEAR))
# Capitals above and below a statement's rule and from line to line, as many as fit.
ROOMY, TIGHT, SNUG = (0.8, 1.8, 1.62), (0.6, 1.55, 1.62), (0.45, 1.4, 1.45)


class CardText(Painted[Card]):
    """Title and statements, each statement on a line of its own."""

    def spoken(self, view: Card) -> str:
        """Return title and statements."""
        return ". ".join((view.title, *view.lines))

    def height_for(self, width: int, available: int) -> int:
        """Return the height of the largest letters that ``available`` pixels hold."""
        return self._height(self._fitting(width, available)[0])

    def lay(self, _view: Card) -> Iterator[Run]:
        """Lay out title and statements, each line whole or not at all."""
        runs = self._fitting(self.width(), self.height())[0]
        yield from (run for run in runs if run.rect.bottom() <= self.height())

    def draw(self, painter: QPainter, _view: Card) -> None:
        """Draw a rule above each statement."""
        lowest = max((run.baseline for run in self.runs()), default=0.0)
        for top in self._fitting(self.width(), self.height())[1]:
            if top > lowest:
                break
            rule = QRectF(0, top, self.width(), 1.2)
            painter.fillRect(rule, QColor(self.theme.palette.line))

    def _height(self, runs: list[Run]) -> int:
        lowest = max((run.rect.bottom() for run in runs), default=0.0)
        return round(lowest + self.theme.px(1.0))

    def _fitting(self, width: int, available: int) -> tuple[list[Run], list[float]]:
        placed: tuple[list[Run], list[float]] = ([], [])
        sizes = [(*each, ROOMY) for each in SIZES_MM]
        sizes += [(*SIZES_MM[-1], TIGHT), (NEAR, NEAR, SNUG)]
        for each in sizes if self.view else ():
            placed = self._place(width, *each)
            if self._height(placed[0]) <= available:
                break
        return placed

    def _place(
        self,
        width: int,
        title_mm: float,
        statement_mm: float,
        air: tuple[float, float, float],
    ) -> tuple[list[Run], list[float]]:
        theme, palette = self.theme, self.theme.palette
        view = self.view or Card("", (), ())
        title, statement = theme.face(title_mm, HEAVY), theme.face(statement_mm)
        ground = palette.card
        runs: list[Run] = []
        rules: list[float] = []
        line = title.rise
        for number, text in enumerate(wrap(view.title, title, max(width, 1))):
            line += title.cap * air[2] if number else 0.0
            runs.append(Run(text, 0, line, title, palette.ink, ground))
        for words in view.lines:
            top = line + statement.cap * air[0]
            rules.append(top)
            line = top + statement.cap * air[1]
            for number, text in enumerate(wrap(words, statement, max(width, 1))):
                line += statement.cap * air[2] if number else 0.0
                runs.append(Run(text, 0, line, statement, palette.ink, ground))
        return runs, rules


class Answered(QWidget):
    """A text, a subclass's own, and the options that answer it."""

    _text: Painted[Any]

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._options = OptionGroup(theme, hands, self)

    def buttons(self) -> Sequence[OptionButton]:
        """Return the buttons of the options."""
        return self._options.buttons()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self._text.set_theme(theme)
        self._options.set_theme(theme)
        self.update()


class CardView(Answered):
    """The card: its text above, its options below."""

    _text: CardText

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(theme, hands, parent)
        self._text = CardText(theme, self)

    def show_view(self, view: Card) -> None:
        """Show another card."""
        self._text.show_view(view)
        self._options.show_view(view.options)
        self.setAccessibleName(view.title)

    def least_height(self, width: int) -> int:
        """Return the height at which nothing of the card is cut."""
        pad, gap = self._theme.px(PAD_MM), self._theme.px(2.0)
        inner = width - 2 * pad
        text = self._text.height_for(inner, 0)
        options = min(self._options.heights(inner))
        return text + options + 2 * pad + gap

    def options_height(self, width: int) -> int:
        """Return the height of the options with the pad below them."""
        pad = self._theme.px(PAD_MM)
        return self._options.height_for(width - 2 * pad) + pad

    def arrange(self) -> None:
        """Place text and options for the present size; the options always whole."""
        pad, gap = self._theme.px(PAD_MM), self._theme.px(2.0)
        inner = self.width() - 2 * pad
        free = self.height() - 2 * pad - gap - self._text.height_for(inner, 0)
        single, paired = self._options.heights(inner)
        self._options.pair(on=single > free and paired < single)
        options = self._options.height_for(inner)
        room = self.height() - 2 * pad - options - gap
        text = min(room, self._text.height_for(inner, room))
        self._text.setGeometry(pad, pad, inner, max(0, text))
        foot = self.height() - pad + gap
        self._options.setGeometry(pad, foot - options, inner, options)
        self._options.arrange()

    def paintEvent(self, _event: object) -> None:  # noqa: N802
        """Draw the ground."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        palette = self._theme.palette
        radius = self._theme.px(3.0)
        rect = QRectF(self.rect())
        panel(painter, rect, radius, ground=palette.card, edge=palette.line)
        painter.end()


class UndoText(Painted[str]):
    """What was just started."""

    def spoken(self, view: str) -> str:
        """Return the words."""
        return view

    def lay(self, view: str) -> Iterator[Run]:
        """Lay out the words beside the options."""
        theme, palette = self.theme, self.theme.palette
        face = theme.face(READ, STRONG)
        lines = wrap(view, face, self.width())
        line = (self.height() + face.cap - face.pitch * (len(lines) - 1)) / 2
        for text in lines:
            yield Run(text, 0, line, face, palette.ink, palette.card)
            line += face.pitch


class UndoStrip(Answered):
    """What was just started, and the hand action that voids it."""

    _text: UndoText

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(theme, hands, parent)
        self._text = UndoText(theme, self)

    def show_view(self, view: Undo) -> None:
        """Show another start."""
        self._text.show_view(view.text)
        self._options.show_view(view.options)
        self.setAccessibleName(view.text)

    def height_for(self, width: int) -> int:
        """Return the height that the strip needs at ``width`` pixels."""
        face, split = self._theme.face(READ, STRONG), self._split(width)
        words = wrap(self._text.view or "", face, width - split - 3 * self._pad)
        high = max(self._options.height_for(split), round(face.pitch * len(words)))
        return high + self._theme.px(0.6)

    def arrange(self) -> None:
        """Place words and options for the present size."""
        pad, options = self._pad, self._split(self.width())
        words = self.width() - options - 3 * pad
        rise = self._theme.px(1.5)
        self._text.setGeometry(pad, 0, words, self.height())
        self._options.setGeometry(2 * pad + words, rise, options, self.height() - rise)
        self._options.arrange()

    @property
    def _pad(self) -> int:
        return self._theme.px(5.0)

    def _split(self, width: int) -> int:
        """Return the width of the options: what the words leave, or most of it."""
        words = self._theme.face(READ, STRONG).width(self._text.view or "")
        left = max(round(width * 0.6), width - round(words) - 4 * self._pad)
        return min(self._options.natural_width(), left)

    def paintEvent(self, _event: object) -> None:  # noqa: N802
        """Draw the ground."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._theme.palette.card))
        painter.end()
