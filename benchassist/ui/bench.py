"""The bench on the screen: one look is shown, hands are heard, nothing is decided."""

from __future__ import annotations

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from benchassist.clock import Clock
from benchassist.ui.answers import Answers
from benchassist.ui.arrange import COLUMNS, Arrangement, arranged
from benchassist.ui.hands import Hands
from benchassist.ui.hold import SAID_MS
from benchassist.ui.page import Page
from benchassist.ui.panels import DRAWER_KEY
from benchassist.ui.parts import NOT_IN_FRONT, TYPING, Parts
from benchassist.ui.present.day_chart import DayView
from benchassist.ui.ring import Ring
from benchassist.ui.rows import PAGE_KEYS, part_of
from benchassist.ui.scene import Scene, structure
from benchassist.ui.theme import Theme
from benchassist.ui.ticker import Ticker
from benchassist.ui.view import BenchView
from benchassist.ui.words import say, shown

STILL_MS = 1200  # [ms] rows stand still so long after a touch


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
        self._clock = clock
        self._touched_ms: int | None = None
        self._let_go_ms: int | None = None
        self._unpressed = False  # since somebody came back
        self.hands = Hands(clock, ticker, self)
        self._parts = Parts(theme, self.hands, self)
        self._answers = Answers(self._parts, self.hands, self)
        self._ring = Ring(theme, self._parts, self.hands, self)
        self._arranged: Arrangement | None = None
        self._view: BenchView | None = None
        self._stands: tuple[BenchView, int] | None = None  # what places it all
        self._page: Page | None = None
        self._drawer = 0
        self._front = True
        self._typing = False
        self.setAccessibleName(say("Bench"))
        self._answers.chosen.connect(self.chosen)
        self._answers.chosen_with.connect(self.chosen_with)
        self._answers.asked.connect(self._rearrange)
        self._parts.rows.picked.connect(self.part_picked)
        self._parts.rows.touched.connect(self._touched)
        self._parts.rail.picked.connect(self.part_picked)
        self._parts.foot.pressed.connect(self.key_down)
        self._ring.picked.connect(self.part_picked)
        self._ring.gone.connect(self.key_down)

    @property
    def theme(self) -> Theme:
        """The theme that everything is shown in."""
        return self._theme

    def show_view(self, view: BenchView) -> None:
        """Show another look; only what changed is repainted."""
        view = shown(view)
        old, self._view = self._view, view
        stood, self._stands = self._stands, structure(view)
        off = None if self._front else NOT_IN_FRONT
        self._unpressed |= view.away  # nothing moves under who comes back
        self._parts.rows.frozen = self._still() or self._unpressed
        self._parts.pedal.say_let_go(on=self._within(self._let_go_ms, SAID_MS))
        self._parts.show_view(view, off or (TYPING if self._typing else None))
        closed = self._answers.close_if_gone(view)
        if old is None or (old.band.code, old.card) != (view.band.code, view.card):
            self._drawer = 0
        if closed or stood != self._stands:
            self._rearrange()
        else:
            self._wire(view)

    @property
    def shows_day(self) -> bool:
        """Whether the screen is wide enough for the day beside the bench."""
        return self._arranged is not None and self._arranged.columns == len(COLUMNS)

    def show_day(self, day: DayView | None) -> None:
        """Show the day beside the bench from now on, where it has a column."""
        if day is not None and self.shows_day:
            fresh = self._parts.day.view is None
            self._parts.day.show_view(day)
            if fresh:
                self._rearrange()

    @property
    def _free(self) -> bool:
        """Whether no field is filled in, so that keys go where the frame is."""
        return not (self._typing or self._answers.asking)

    def _wire(self, view: BenchView) -> None:
        """Let what is seen answer to its keys, and frame what Enter does."""
        self._answers.wire(view, self._page)
        self._ring.show_view(view, self._page, on=self._free)

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
        for part in (*self._parts.everything(), self._ring):
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

    def pressed(self, _what: object = None) -> None:
        """Note a press of hand or foot: from now on the list may move again."""
        self._unpressed = False

    def foot_held(self, share: float) -> None:
        """Fill the PEDAL line: so much of a long press is over."""
        self._parts.pedal.show_share(share)

    def foot_let_go(self) -> None:
        """Say that a long press was let go too soon."""
        self._let_go_ms = self._clock.now().mono_ms
        self._parts.pedal.say_let_go(on=True)

    def key_down(self, key: str) -> None:
        """Act on a hand key that went down."""
        if self._view and not self._view.away:
            self.pressed()
        ring, view = self._ring, self._view
        if view and self._free and ring.key(key, view, self._page):
            return
        if self.hands.key_down(key) or self._answers.asking:
            return
        if self._page is not None:
            self._page_key(self._page, key)
        elif not self._bench_key(key):
            self._any_key(key)

    def _page_key(self, page: Page, key: str) -> None:
        if key == "Esc":
            if not page.escape():
                self.close_page()
                self.page_left.emit()
        elif not (page.key(key) or self._ring.arrow(key)):
            self._any_key(key)

    def _bench_key(self, key: str) -> bool:
        """Act on a key that only the bench itself knows; say whether it is one."""
        if key == DRAWER_KEY and self._arranged is not None:
            self._drawer = (self._drawer + 1) % (len(self._arranged.drawers) + 1)
            self._rearrange()
        elif key in PAGE_KEYS and self._view and self._view.rows:
            self._parts.rows.turn(PAGE_KEYS[key])
        else:
            return False
        return True

    def _any_key(self, key: str) -> None:
        """Act on a key that means the same everywhere: a tray, a place."""
        if key in ("H", "W"):
            (self.called_away if key == "H" else self.what_now).emit()
        elif not self._pick(key):
            self.key_unused.emit(key)

    def _pick(self, key: str) -> bool:
        code = part_of(self._view.rows, key) if self._view else ""
        if code:
            self.part_picked.emit(code)
        return bool(code)

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

    def _touched(self) -> None:
        self._touched_ms = self._clock.now().mono_ms

    def _still(self) -> bool:
        """Say whether the rows stand still: a pointer moved over them just now."""
        return self._within(self._touched_ms, STILL_MS)

    def _within(self, since_ms: int | None, ms: int) -> bool:
        return since_ms is not None and self._clock.now().mono_ms - since_ms < ms

    def _rearrange(self) -> None:
        if self._view is None:
            return
        parts, view = self._parts, self._view
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
            parts.entry.raise_()
        if view.message:
            parts.message.raise_()
        why = found.after(self._drawer) if found.drawers and not self._page else ""
        parts.show_ways(self._page.back() if self._page else "", why)
        parts.finish()
        self._wire(view)
