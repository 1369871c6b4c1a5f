"""The bench on the screen: one look is shown, hands are heard, nothing is decided."""

from __future__ import annotations

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from benchassist.clock import Clock
from benchassist.ui.answers import Answers
from benchassist.ui.arrange import Arrangement, arranged
from benchassist.ui.hands import Hands
from benchassist.ui.page import Page
from benchassist.ui.panels import DRAWER_KEY
from benchassist.ui.parts import NOT_IN_FRONT, TYPING, Parts
from benchassist.ui.rows import PAGE_KEYS, part_of
from benchassist.ui.scene import Scene, structure
from benchassist.ui.theme import Theme
from benchassist.ui.ticker import Ticker
from benchassist.ui.view import BenchView


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
        self._answers = Answers(self._parts, self.hands, self)
        self._arranged: Arrangement | None = None
        self._view: BenchView | None = None
        self._page: Page | None = None
        self._drawer = 0
        self._front = True
        self._typing = False
        self.setAccessibleName("Bench")
        self._answers.chosen.connect(self.chosen)
        self._answers.chosen_with.connect(self.chosen_with)
        self._answers.asked.connect(self._rearrange)
        self._parts.rows.picked.connect(self.part_picked)

    @property
    def theme(self) -> Theme:
        """The theme that everything is shown in."""
        return self._theme

    def show_view(self, view: BenchView) -> None:
        """Show another look; only what changed is repainted."""
        old, self._view = self._view, view
        off = None if self._front else NOT_IN_FRONT
        self._parts.show_view(view, off or (TYPING if self._typing else None))
        closed = self._answers.close_if_gone(view)
        if old is None or (old.band.code, old.card) != (view.band.code, view.card):
            self._drawer = 0
        if closed or old is None or structure(old) != structure(view):
            self._rearrange()
        else:
            self._show_hints(view)
            self._answers.wire(view, self._page)

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
        if self.hands.key_down(key) or self._answers.asking:
            return
        if key in ("H", "W"):
            (self.called_away if key == "H" else self.what_now).emit()
        elif self._page is not None:
            self._page_key(self._page, key)
        elif key == DRAWER_KEY and self._arranged is not None:
            self._drawer = (self._drawer + 1) % (len(self._arranged.drawers) + 1)
            self._rearrange()
        elif key in PAGE_KEYS and self._view and self._view.rows:
            self._parts.rows.turn(PAGE_KEYS[key])
        elif self._view and (code := part_of(self._view.rows, key)):
            self.part_picked.emit(code)
        else:
            self.key_unused.emit(key)

    def _page_key(self, page: Page, key: str) -> None:
        if key == "Esc":
            self.close_page()
            self.page_left.emit()
        elif not page.key(key):
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

    def _show_again(self) -> None:
        if self._view is not None:
            view, self._view = self._view, None
            self.show_view(view)

    def _show_hints(self, view: BenchView) -> None:
        """Say what hands may do: on a page how to leave it, else what else there is."""
        hints = self._page.hints() if self._page else view.hints
        if self._answers.asking:
            hints = ()  # its two keys stand beside the field
        elif self._page is None and self._drawer and self._arranged:
            hints = (f"{DRAWER_KEY}: {self._arranged.after(self._drawer)}", *hints)
        self._parts.show_hints(view, hints)

    def _rearrange(self) -> None:
        if self._view is None:
            return
        parts, view = self._parts, self._view
        self._show_hints(view)
        parts.show_message(view, near=self._page is not None)
        scene = Scene(view, self._page, self._drawer)
        found = arranged(parts, self._theme, QRect(self.rect()), scene)
        self._arranged = found
        for part in parts.everything():
            rect = found.placed.get(part)
            part.setVisible(rect is not None)
            if rect is not None:
                part.setGeometry(rect)
        if self._page is not None:
            self._page.setGeometry(found.placed[self._page])
            for over in (parts.message, parts.entry):
                over.raise_()
        names = ", ".join(drawer.name for drawer in found.drawers)
        parts.finish(f"{DRAWER_KEY}: {names}" if names else "")
        self._show_hints(view)
        self._answers.wire(view, self._page)
