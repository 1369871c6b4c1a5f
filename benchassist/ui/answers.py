"""What a hand chose: an option that needs a number or words asks for them first."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from benchassist.ui.hands import AnyButton, Hands
from benchassist.ui.page import Page
from benchassist.ui.parts import Parts
from benchassist.ui.view import BenchView, Option


class Answers(QObject):
    """Wires the buttons that are seen to their keys, and asks where need be.

    Signals: ``chosen(command)`` an option that needs nothing more;
    ``chosen_with(command, str)`` with the number or words that it needs;
    ``asked()`` when the field for them was opened or closed.
    """

    chosen = Signal(object)
    chosen_with = Signal(object, str)
    asked = Signal()

    def __init__(self, parts: Parts, hands: Hands, parent: QObject) -> None:
        super().__init__(parent)
        self._parts = parts
        self._hands = hands
        self._page: Page | None = None
        hands.chosen.connect(self._choose)
        parts.entry.entered.connect(self._entered)
        parts.entry.left.connect(self.asked)

    @property
    def asking(self) -> bool:
        """Whether the field is open."""
        return self._parts.entry.option is not None

    def close_if_gone(self, view: BenchView) -> bool:
        """Close the field when nothing offers its option any more; say whether."""
        entry = self._parts.entry
        asked = entry.option
        gone = asked is not None and not any(
            asked.same_act(button.option) for button in self._offered(view)
        )
        if gone:
            entry.close_field()
        return gone

    def wire(self, view: BenchView, page: Page | None) -> None:
        """Let the buttons that are seen answer to their keys."""
        self._page = page
        asked = self._parts.entry.buttons() if self.asking else None
        self._hands.show_buttons(asked or self._offered(view))

    def _offered(self, view: BenchView) -> Sequence[AnyButton]:
        return self._page.buttons() if self._page else self._parts.buttons(view)

    def _choose(self, option: Option) -> None:
        entry = self._parts.entry
        if self.asking:
            entry.choose(option)
            self.asked.emit()
        elif option.needs_number or option.needs_text:
            entry.ask(option)
            self.asked.emit()
        elif self._page is None or not self._page.choose(option):
            self.chosen.emit(option.command)

    def _entered(self, option: Option, answer: str) -> None:
        self.asked.emit()
        self.chosen_with.emit(option.command, answer)
