"""The bench on the screen: one look is shown, hands are heard, nothing is decided."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from benchassist.clock import Clock
from benchassist.ui.arrange import Scene, places, structure
from benchassist.ui.hands import AnyButton, Hands
from benchassist.ui.lines import FarText
from benchassist.ui.page import Page
from benchassist.ui.parts import Parts
from benchassist.ui.rows import part_of
from benchassist.ui.theme import Theme
from benchassist.ui.ticker import Ticker
from benchassist.ui.view import BenchView, Option, Row

DRAWER_KEY = "F12"
DRAWERS = 3  # the list, the ledger, the gates
NOT_IN_FRONT = FarText("PEDAL", "off: this window is not in front", "stop")
TYPING = FarText("PEDAL", "off: typing", "attention")


class Bench(QWidget):
    """The page that the operator sees all day, and the frame of every other page.

    Signals: ``chosen(command)`` when an option was tapped or held;
    ``chosen_with(command, str)`` with the number or words that it needs;
    ``part_picked(str)`` the code of a part picked by key or tap; ``called_away()``
    and ``what_now()`` for H and W; ``page_left()`` when Esc closed a page;
    ``key_unused(str)`` any other key.
    """

    chosen = Signal(object)
    chosen_with = Signal(object, str)
    part_picked = Signal(str)
    called_away = Signal()
    what_now = Signal()
    page_left = Signal()
    key_unused = Signal(str)

    def __init__(
        self, theme: Theme, clock: Clock, ticker: Ticker, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self.hands = Hands(clock, ticker, self)
        self._parts = Parts(theme, self.hands, self)
        self._view: BenchView | None = None
        self._page: Page | None = None
        self._drawer = 0
        self._front = True
        self._typing = False
        self.setAccessibleName("Bench")
        self.hands.chosen.connect(self._choose)
        self._parts.rows.picked.connect(self.part_picked)
        self._parts.entry.entered.connect(self._entered)
        self._parts.entry.left.connect(self._rearrange)

    @property
    def theme(self) -> Theme:
        """The theme that everything is shown in."""
        return self._theme

    def show_view(self, view: BenchView) -> None:
        """Show another look; only what changed is repainted."""
        old, self._view = self._view, view
        off = None if self._front else NOT_IN_FRONT
        self._parts.show_view(view, off or (TYPING if self._typing else None))
        if self._parts.entry.option is not None and not self._still_asked(view):
            self._parts.entry.close_field()
            old = None
        if old is None or structure(old) != structure(view):
            self._rearrange()
        else:
            self._wire()

    def open_page(self, page: Page) -> None:
        """Show a page between the state band and the NEXT line."""
        if page is not self._page:
            self.close_page()
            self._page = page
            page.setParent(self)
            page.set_theme(self._theme)
            page.show()
        self._rearrange()
        page.begin()

    def close_page(self) -> None:
        """Show the bench again; the page is kept by whoever made it."""
        if self._page is not None:
            self._page.hide()
            self._page.setParent(None)
            self._page = None
            self._rearrange()

    def set_theme(self, theme: Theme) -> None:
        """Show everything in another theme."""
        if theme == self._theme:
            return
        self._theme = theme
        for part in self._parts.everything():
            part.set_theme(theme)
        if self._page is not None:
            self._page.set_theme(theme)
        self._rearrange()
        self.update()

    def set_front(self, front: bool) -> None:  # noqa: FBT001 - a slot
        """Say whether this window is in front, where the foot is heard."""
        self._front = front
        if not front:
            self.hands.let_go()
        self._show_again()

    def set_typing(self, typing: bool) -> None:  # noqa: FBT001 - a slot
        """Say whether a field has the focus, so that the pedal is off."""
        self._typing = typing
        self._show_again()

    def key_down(self, key: str) -> None:
        """Act on a hand key that went down."""
        if self.hands.key_down(key) or self._parts.entry.option is not None:
            return
        if key in ("H", "W"):
            (self.called_away if key == "H" else self.what_now).emit()
        elif self._page is not None and key == "Esc":
            self.close_page()
            self.page_left.emit()
        elif self._page is not None and self._page.key(key):
            return
        elif self._page is None and key == DRAWER_KEY:
            self._drawer = (self._drawer + 1) % DRAWERS
            self._rearrange()
        elif self._page is None and (code := part_of(self._rows(), key)):
            self.part_picked.emit(code)
        else:
            self.key_unused.emit(key)

    def key_up(self, key: str) -> None:
        """Act on a hand key that was lifted."""
        self.hands.key_up(key)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Arrange everything for the new size."""
        super().resizeEvent(event)
        self._rearrange()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Fill the ground."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), QColor(self._theme.palette.ground))
        painter.end()

    def _rows(self) -> tuple[Row, ...]:
        return self._view.rows if self._view else ()

    def _show_again(self) -> None:
        if self._view is not None:
            view, self._view = self._view, None
            self.show_view(view)

    def _still_asked(self, view: BenchView) -> bool:
        buttons = self._page.buttons() if self._page else self._parts.buttons(view)
        return any(button.option == self._parts.entry.option for button in buttons)

    def _choose(self, option: Option) -> None:
        entry = self._parts.entry
        if entry.option is not None:
            entry.choose(option)
            self._rearrange()
        elif option.needs_number or option.needs_text:
            entry.ask(option)
            self._rearrange()
        elif self._page is None or not self._page.choose(option):
            self.chosen.emit(option.command)

    def _entered(self, option: Option, answer: str) -> None:
        self._rearrange()
        self.chosen_with.emit(option.command, answer)

    def _wire(self) -> None:
        """Let the buttons that are seen answer to their keys."""
        buttons: Sequence[AnyButton] = ()
        if self._parts.entry.option is not None:
            buttons = self._parts.entry.buttons()
        elif self._page is not None:
            buttons = self._page.buttons()
        elif self._view is not None:
            buttons = self._parts.buttons(self._view)
        self.hands.show_buttons(buttons)

    def _rearrange(self) -> None:
        if self._view is None:
            return
        parts = self._parts
        scene = Scene(self._view, self._page, self._drawer)
        placed = places(parts, self._theme, QRect(self.rect()), scene)
        for part in parts.everything():
            rect = placed.get(part)
            part.setVisible(rect is not None)
            if rect is not None:
                part.setGeometry(rect)
        if self._page is not None:
            self._page.setGeometry(placed[self._page])
        hidden = parts.bars not in placed and (self._view.bars or self._view.gates)
        parts.finish(self._view, f"{DRAWER_KEY}: ledger, gates" if hidden else "")
        self._wire()
