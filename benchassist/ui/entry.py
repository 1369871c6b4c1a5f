"""A field in the window for the number or the words that an option needs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.form import ScanLine
from benchassist.ui.hands import Hands
from benchassist.ui.hold import OptionButton
from benchassist.ui.page import style_sheet
from benchassist.ui.paint import Painted, Run, panel, wrap
from benchassist.ui.theme import READ, STRONG, Theme
from benchassist.ui.view import Option
from benchassist.ui.words import say

LEAVE = Option(say("leave it"), "Esc", None)
PAD_MM = 4.0
FIELD_MM = 12.4  # [mm] a target for a gloved finger; a choice


class EntryText(Painted[tuple[str, str]]):
    """What is asked, and what was wrong with the answer."""

    def spoken(self, view: tuple[str, str]) -> str:
        """Return question and complaint."""
        return ". ".join(part for part in view if part)

    def height_for(self, width: int) -> int:
        """Return the height that the words need at ``width`` pixels."""
        runs = self._place(self.view or ("", ""), width)
        return round(max((run.rect.bottom() for run in runs), default=0.0))

    def lay(self, view: tuple[str, str]) -> Iterator[Run]:
        """Lay out the words."""
        yield from self._place(view, self.width())

    def _place(self, view: tuple[str, str], width: int) -> list[Run]:
        palette = self.theme.palette
        strong, plain = self.theme.face(READ, STRONG), self.theme.face(READ)
        inks = (palette.ink, palette.stop)
        runs: list[Run] = []
        for words, face, ink in zip(view, (strong, plain), inks, strict=True):
            for text in wrap(words, face, max(width, 1)):
                line = runs[-1].baseline + face.pitch if runs else face.rise
                runs.append(Run(text, 0, line, face, ink, palette.raised))
        return runs


class Entry(QWidget):
    """The question, a field, and the keys that confirm or leave it.

    Signals: ``entered(Option, str)`` with an answer that is not empty, and a number
    where one is needed; ``left()`` when it was closed without one.
    """

    entered = Signal(object, str)
    left = Signal()

    def __init__(self, theme: Theme, hands: Hands, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._option: Option | None = None
        self._text = EntryText(theme, self)
        self._field = ScanLine(parent=self)
        self._field.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self._confirm = OptionButton(theme, self)
        self._leave = OptionButton(theme, self)
        self._leave.show_view(LEAVE)
        for button in self.buttons():
            button.down.connect(hands.press)
            button.up.connect(hands.release)
        self._dress()
        self.hide()

    def _dress(self) -> None:
        self._field.setStyleSheet(style_sheet(self._theme))
        self._field.setFont(self._theme.face(READ, STRONG).font)

    def _question(self) -> str:
        return (
            self._option.needs_number or self._option.needs_text if self._option else ""
        )

    @property
    def option(self) -> Option | None:
        """The option that is being asked for."""
        return self._option

    def ask(self, option: Option) -> None:
        """Ask for what ``option`` needs."""
        self._option = option
        question = self._question()
        self._text.show_view((question, ""))
        self._confirm.show_view(Option("confirm", "Enter", None, hold=option.hold))
        self._field.clear()
        self._field.setAccessibleName(question)
        self.show()
        self._field.setFocus(Qt.FocusReason.OtherFocusReason)

    def choose(self, option: Option) -> None:
        """Act on one of the two keys."""
        if option == LEAVE or self._option is None:
            self.close_field()
            self.left.emit()
            return
        answer = self._field.text().strip()
        complaint = complaint_about(self._option, answer)
        if complaint:
            self._text.show_view((self._question(), complaint))
            return
        asked = self._option
        self.close_field()
        self.entered.emit(
            asked, answer.replace(",", ".") if asked.needs_number else answer
        )

    def close_field(self) -> None:
        """Take the field away."""
        self._option = None
        self._field.clearFocus()
        self.hide()

    def buttons(self) -> Sequence[OptionButton]:
        """Return the buttons that confirm and leave."""
        return (self._confirm, self._leave)

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        for part in (self._text, self._confirm, self._leave):
            part.set_theme(theme)
        self._dress()
        self.update()

    def height_for(self, width: int) -> int:
        """Return the height that the entry needs at ``width`` pixels."""
        pad, high = self._theme.px(PAD_MM), self._theme.px(FIELD_MM)
        words = self._text.height_for(width - 2 * pad)
        return words + high + self._keys_px(width) + 4 * pad

    def _keys_px(self, width: int) -> int:
        pad = self._theme.px(PAD_MM)
        confirm = width - 3 * pad - self._leave.natural_width()
        return max(self._theme.px(FIELD_MM), self._confirm.height_for(confirm))

    def arrange(self) -> None:
        """Place words, field and keys under each other for the present size."""
        pad, high = self._theme.px(PAD_MM), self._theme.px(FIELD_MM)
        inner = self.width() - 2 * pad
        below = self._keys_px(self.width())
        keys = self.height() - below - pad
        field = keys - high - pad
        self._text.setGeometry(pad, pad, inner, field - pad - pad // 2)
        self._field.setGeometry(pad, field, inner, high)
        leave = self._leave.natural_width()
        self._confirm.setGeometry(pad, keys, inner - leave - pad, below)
        self._leave.setGeometry(self.width() - pad - leave, keys, leave, below)

    def paintEvent(self, _event: object) -> None:  # noqa: N802
        """Draw the ground."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        palette = self._theme.palette
        rect, radius = QRectF(self.rect()), self._theme.px(3.0)
        panel(painter, rect, radius, ground=palette.raised, edge=palette.attention)
        painter.end()


def complaint_about(option: Option, answer: str) -> str:
    """Return one sentence on what is wrong with ``answer``, or nothing."""
    if not answer:
        return say("Nothing is entered yet. Type the answer, or leave it with Esc.")
    if not option.needs_number:
        return ""
    digits = answer.replace(",", ".").replace(".", "", 1)
    if digits.isascii() and digits.isdigit():
        return ""
    return say(
        "“{answer}” is not a number. Use digits only, such as 2200 or 4.2.",
        answer=answer,
    )
