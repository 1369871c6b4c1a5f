"""Things a hand may choose: a tap acts at once, a hold after two seconds.

A hold fills a bar while it lasts. Which key or finger is down is told by others.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.paint import Painted, Run, V, bar, draw_key, panel, tone_ink, wrap
from benchassist.ui.theme import NEAR, READ, STRONG, Theme
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import value

HOLD_MS = 2000  # [ms] common practice, no source
HOLD_WORDS = say("keep down 2 s")
# The second where the first has no room.
TOO_SOON = (say("let go too soon"), say("too soon"))
SAID_MS = 2500  # [ms] for which that is said; a choice
OPTION_MM = 10.0  # [mm] high: a target for a gloved finger; a choice


@value
class Hold:
    """A key or finger that went down at ``since_ms`` and has not been lifted."""

    since_ms: int

    def share(self, now_ms: int) -> float:
        """Return how much of the hold is over, 0 to 1."""
        return min(1.0, max(0.0, (now_ms - self.since_ms) / HOLD_MS))


class Pressable(Painted[V]):
    """A painted widget that a finger can press; ``option`` is what it stands for."""

    down = Signal(object)
    up = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._share = 0.0
        self._let_go = False

    @property
    def option(self) -> Option | None:
        """What is chosen by pressing here."""
        return None

    @property
    def share(self) -> float:
        """How much of the hold is over, 0 to 1."""
        return self._share

    def show_share(self, share: float) -> None:
        """Show how much of the hold is over."""
        if share != self._share:
            self._share = share
            self.update()

    def say_let_go(self, *, on: bool) -> None:
        """Say that the hold was let go too soon, or how long it takes again."""
        if on != self._let_go:
            self._let_go = on
            self.renew()

    def hold_words(self, room: float) -> str:
        """Return what stands for the hold in ``room`` pixels of near text."""
        if not self._let_go:
            return HOLD_WORDS
        fits = (each for each in TOO_SOON if self.theme.face(NEAR).width(each) <= room)
        return next(fits, TOO_SOON[-1])

    def draw_hold(self, painter: QPainter, radius: float) -> None:
        """Draw the bar of the hold along the foot."""
        if self._share > 0.0:
            height, palette = self.theme.px(1.6), self.theme.palette
            foot = QRectF(0, self.height() - height, self.width(), height)
            foot.adjust(radius, -height / 2, -radius, -height / 2)
            bar(painter, foot, self._share, ink=palette.attention, ground=palette.line)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Tell that a finger is down."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.down.emit(self)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Tell that the finger is lifted."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.up.emit(self)


class OptionButton(Pressable[Option]):
    """One option: its key, its words, and whether it has to be held."""

    @property
    def option(self) -> Option | None:
        """What is chosen by pressing here."""
        return self.view

    def spoken(self, view: Option) -> str:
        """Return the words, the key and whether it has to be held."""
        held = f", {HOLD_WORDS}" if view.hold else ""
        return say("{text}, key {key}{held}", text=view.text, key=view.key, held=held)

    def natural_width(self) -> int:
        """Return the width at which the words stand on one line."""
        if self.view is None:
            return 0
        words = self.theme.face(READ, STRONG).width(self.view.text)
        return round(self._text_x(self.view) + words + self._right_px(self.view)) + 1

    def height_for(self, width: int) -> int:
        """Return the height that the option needs at ``width`` pixels."""
        face = self.theme.face(READ, STRONG)
        lines = self._lines(self.view, width) if self.view else []
        extra = face.pitch * max(0, len(lines) - 1)
        below = self.theme.face(NEAR).pitch if self._below(self.view, width) else 0.0
        return round(self.theme.px(OPTION_MM) + extra + below)

    def lay(self, view: Option) -> Iterator[Run]:
        """Lay out key, words and the mark of a hold."""
        theme, palette = self.theme, self.theme.palette
        ground = palette.raised
        face, small = theme.face(READ, STRONG), theme.face(NEAR)
        lines, below = self._lines(view, self.width()), self._below(view, self.width())
        middle = (self.height() + face.cap) / 2
        first = middle - face.pitch * (len(lines) - 1) / 2
        first -= small.pitch / 2 if below else 0.0
        key = theme.face(NEAR, STRONG)
        key_line = (self.height() + key.cap) / 2
        ink = palette.attention
        yield Run(view.key, theme.px(5.0), key_line, key, ink, ground)
        ink = tone_ink(theme, view.tone)
        for number, text in enumerate(lines):
            line = first + face.pitch * number
            yield Run(text, self._text_x(view), line, face, ink, ground)
        if view.hold:
            line = (self.height() + small.cap) / 2
            end = 0.0 if below else self._text_x(view) + max(map(face.width, lines))
            if below:
                line = first + face.pitch * (len(lines) - 1) + small.pitch
            told = self.hold_words(self.width() - theme.px(6.6) - end)
            x = self.width() - theme.px(4.0) - small.width(told)
            ink = palette.quiet if told == HOLD_WORDS else palette.attention
            yield Run(told, x, line, small, ink, ground)

    def draw(self, painter: QPainter, _view: Option) -> None:
        """Draw the ground, the key's outline and the bar of a hold."""
        palette, radius = self.theme.palette, self.theme.px(2.4)
        rect = QRectF(self.rect())
        panel(painter, rect, radius, ground=palette.raised, edge=palette.line)
        draw_key(painter, self.runs()[0], self.theme)
        self.draw_hold(painter, radius)

    def _text_x(self, view: Option) -> float:
        theme = self.theme
        return theme.px(5.0) + theme.face(NEAR, STRONG).width(view.key) + theme.px(5.4)

    def _right_px(self, view: Option) -> float:
        theme = self.theme
        if view.hold:
            return theme.face(NEAR).width(HOLD_WORDS) + theme.px(6.6)
        return theme.px(3.0)

    def _below(self, view: Option | None, width: int) -> bool:
        """Say whether the mark of a hold stands below the words, for want of room."""
        if view is None or not view.hold:
            return False
        words = self.theme.face(READ, STRONG).width(view.text)
        return self._text_x(view) + words + self._right_px(view) > width

    def _lines(self, view: Option, width: int) -> list[str]:
        beside = 0 if self._below(view, width) else self._right_px(view)
        room = width - self._text_x(view) - (beside or self.theme.px(4.0))
        return wrap(view.text, self.theme.face(READ, STRONG), max(room, 1.0))
