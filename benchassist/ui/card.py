"""A card to be answered by hand, and the line that can void what was just started."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.hold import OptionButton
from benchassist.ui.paint import Painted, Run, panel, wrap
from benchassist.ui.theme import HEAVY, PLAIN, READ, STRONG, Theme
from benchassist.ui.view import Card, Undo

TITLE_MM = 5.4  # [mm] capitals of a card's title; a choice
LINE_MM = 4.6  # [mm] capitals of its statements; a choice
UNDO_MM = READ


class CardText(Painted[Card]):
    """Title and statements, each statement on a line of its own."""

    def spoken(self, view: Card) -> str:
        """Return title and statements."""
        return ". ".join((view.title, *view.lines))

    def height_for(self, width: int) -> int:
        """Return the height that the text needs at ``width`` pixels."""
        runs, _ = self._place(self.view, width) if self.view else ([], [])
        lowest = max((run.rect.bottom() for run in runs), default=0.0)
        return round(lowest + self.theme.px(2.0))

    def lay(self, view: Card) -> Iterator[Run]:
        """Lay out title and statements."""
        yield from self._place(view, self.width())[0]

    def draw(self, painter: QPainter, view: Card) -> None:
        """Draw a rule above each statement."""
        for top in self._place(view, self.width())[1]:
            rule = QRectF(0, top, self.width(), 1.2)
            painter.fillRect(rule, QColor(self.theme.palette.line))

    def _place(self, view: Card, width: int) -> tuple[list[Run], list[float]]:
        theme, palette = self.theme, self.theme.palette
        title, statement = theme.face(TITLE_MM, HEAVY), theme.face(LINE_MM, PLAIN)
        ground = palette.card
        runs: list[Run] = []
        rules: list[float] = []
        line = title.cap
        for number, text in enumerate(wrap(view.title, title, max(width, 1))):
            line += title.pitch if number else 0.0
            runs.append(Run(text, 0, line, title, palette.ink, ground))
        for words in view.lines:
            top = line + theme.px(3.4)
            rules.append(top)
            line = top + theme.px(3.2) + statement.cap
            for number, text in enumerate(wrap(words, statement, max(width, 1))):
                line += statement.pitch * 0.9 if number else 0.0
                runs.append(Run(text, 0, line, statement, palette.ink, ground))
        return runs, rules


class CardView(QWidget):
    """The card: its text above, its options below."""

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._text = CardText(theme, self)
        self._options = OptionGroup(theme, hands, self)

    def show_view(self, view: Card) -> None:
        """Show another card."""
        self._text.show_view(view)
        self._options.show_view(view.options)
        self.setAccessibleName(view.title)

    def buttons(self) -> Sequence[OptionButton]:
        """Return the buttons of the card's options."""
        return self._options.buttons()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self._text.set_theme(theme)
        self._options.set_theme(theme)
        self.update()

    def height_for(self, width: int) -> int:
        """Return the height that the card needs at ``width`` pixels."""
        pad = self._theme.px(6.0)
        inner = width - 2 * pad
        options = self._options.height_for(inner)
        return self._text.height_for(inner) + options + 2 * pad + self._theme.px(3.0)

    def arrange(self) -> None:
        """Place text and options for the present size."""
        pad = self._theme.px(6.0)
        inner = self.width() - 2 * pad
        text = self._text.height_for(inner)
        options = self._options.height_for(inner)
        foot = self.height() - pad + self._theme.px(2.4)
        self._text.setGeometry(pad, pad, inner, text)
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
        face = theme.face(UNDO_MM, STRONG)
        lines = wrap(view, face, self.width())
        line = (self.height() + face.cap - face.pitch * (len(lines) - 1)) / 2
        for text in lines:
            yield Run(text, 0, line, face, palette.ink, palette.card)
            line += face.pitch


class UndoStrip(QWidget):
    """What was just started, and the hand action that voids it."""

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._text = UndoText(theme, self)
        self._options = OptionGroup(theme, hands, self)

    def show_view(self, view: Undo) -> None:
        """Show another start."""
        self._text.show_view(view.text)
        self._options.show_view(view.options)
        self.setAccessibleName(view.text)

    def buttons(self) -> Sequence[OptionButton]:
        """Return the buttons of its options."""
        return self._options.buttons()

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self._text.set_theme(theme)
        self._options.set_theme(theme)
        self.update()

    def height_for(self, width: int) -> int:
        """Return the height that the strip needs at ``width`` pixels."""
        return self._options.height_for(self._split(width)) + self._theme.px(0.6)

    def arrange(self) -> None:
        """Place words and options for the present size."""
        pad, options = self._theme.px(5.0), self._split(self.width())
        words = self.width() - options - 3 * pad
        rise = self._theme.px(1.5)
        self._text.setGeometry(pad, 0, words, self.height())
        self._options.setGeometry(2 * pad + words, rise, options, self.height() - rise)
        self._options.arrange()

    def _split(self, width: int) -> int:
        return min(self._options.natural_width(), round(width * 0.6))

    def paintEvent(self, _event: object) -> None:  # noqa: N802
        """Draw the ground."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._theme.palette.card))
        painter.end()
