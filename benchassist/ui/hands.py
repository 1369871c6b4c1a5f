"""From a key or a finger to the option it chooses, holding included.

Keys come from the application's filter, which has already taken a keyboard's own
repetition out; time comes from the clock of real hands.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from benchassist.clock import Clock, Instant
from benchassist.ui.hold import SAID_MS, Hold, OptionButton, Pressable
from benchassist.ui.theme import Theme
from benchassist.ui.ticker import Ticker
from benchassist.ui.view import Option

AnyButton = Pressable[Any]
MANY = 5  # [options] more than a page holds under each other
GAP_MM = 1.8  # [mm] between two options


class Hands(QObject):
    """Turns presses of keys and fingers into chosen options.

    Signals: ``chosen(Option)`` when an option was tapped, or held long enough.
    """

    chosen = Signal(object)

    def __init__(self, clock: Clock, ticker: Ticker, parent: QObject) -> None:
        super().__init__(parent)
        self._clock = clock
        self._ticker = ticker
        self._buttons: tuple[AnyButton, ...] = ()
        self._held: tuple[AnyButton, Option, Hold] | None = None
        self._said: tuple[AnyButton, int] | None = None
        self._by = ""  # the key that holds
        ticker.ticked.connect(self._look)

    def show_buttons(self, buttons: Iterable[AnyButton]) -> None:
        """Let these buttons answer to their keys; a hold survives on its own option."""
        self._buttons = tuple(buttons)
        if self._held is not None:
            button, option, _ = self._held
            if button not in self._buttons or not option.same_act(button.option):
                self.let_go()

    def key_down(self, key: str) -> bool:
        """Press the button of ``key``; say whether there is one."""
        for button in self._buttons:
            option = button.option
            if option is not None and option.key.upper() == key.upper():
                self.press(button, key)
                return True
        return False

    def key_up(self, key: str) -> None:
        """Lift the key again."""
        if self._held is not None and self._by.upper() == key.upper():
            self.release(self._held[0])

    def press(self, button: AnyButton, by: str = "") -> None:
        """Act on a tap, or begin a hold; ``by`` is the key that is down, if one is."""
        option = button.option
        self._say_no_more()
        if option is None:
            return
        asks_first = option.needs_number or option.needs_text
        if asks_first or not option.hold:
            self.chosen.emit(option)
        elif self._held is None or self._held[0] is not button:
            self.let_go()
            self._by = by
            self._held = (button, option, Hold(self._clock.now().mono_ms))

    def release(self, button: AnyButton) -> None:
        """End a hold that has not lasted long enough."""
        if self._held is not None and self._held[0] is button:
            self.let_go()
            button.say_let_go(on=True)
            self._said = button, self._clock.now().mono_ms

    def _say_no_more(self) -> None:
        if self._said is not None:
            self._said[0].say_let_go(on=False)
            self._said = None

    def let_go(self) -> None:
        """End whatever is held."""
        if self._held is not None:
            self._held[0].show_share(0.0)
            self._held = None

    def _look(self, now: Instant) -> None:
        if self._said is not None and now.mono_ms - self._said[1] >= SAID_MS:
            self._say_no_more()
        # After a stall the release may lie unread: wait for the next look.
        if self._held is None or self._ticker.late:
            return
        button, option, hold = self._held
        share = hold.share(now.mono_ms)
        if share < 1.0:
            button.show_share(share)
            return
        self.let_go()
        self.chosen.emit(option)


class OptionGroup(QWidget):
    """Options under each other, or side by side where there is room."""

    def __init__(
        self, theme: Theme, hands: Hands, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._hands = hands
        self._options: tuple[Option, ...] = ()
        self._pool: list[OptionButton] = []
        self._pairs = False

    def pair(self, *, on: bool) -> None:
        """Let options that do not stand side by side stand in two columns, wrapped."""
        self._pairs = on

    def heights(self, width: int) -> tuple[int, int]:
        """Return the height at a width, each on its own line and in pairs."""
        was, found = self._pairs, list[int]()
        for self._pairs in (False, True):
            found.append(self.height_for(width))
        self._pairs = was
        return found[0], found[1]

    def show_view(self, options: tuple[Option, ...]) -> None:
        """Show other options."""
        if options == self._options:
            return
        self._options = options
        while len(self._pool) < len(options):
            button = OptionButton(self._theme, self)
            button.down.connect(self._hands.press)
            button.up.connect(self._hands.release)
            self._pool.append(button)
        for number, button in enumerate(self._pool):
            button.setVisible(number < len(options))
            if number < len(options):
                button.show_view(options[number])
        self.arrange()

    def buttons(self) -> Sequence[OptionButton]:
        """Return the buttons of the options that are shown."""
        return self._pool[: len(self._options)]

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        for button in self._pool:
            button.set_theme(theme)

    def height_for(self, width: int) -> int:
        """Return the height that the options need at ``width`` pixels."""
        return sum(height for _, height in self._rows(width)) if self._options else 0

    def natural_width(self) -> int:
        """Return the width at which all options stand side by side."""
        gap = self._theme.px(GAP_MM)
        return sum(button.natural_width() + gap for button in self.buttons())

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Place the buttons for the new size."""
        super().resizeEvent(event)
        self.arrange()

    def arrange(self) -> None:
        """Place the buttons for the present size."""
        top, gap = 0, self._theme.px(GAP_MM)
        for row, height in self._rows(self.width()):
            left = 0
            for button, width in row:
                button.setGeometry(left, top, width, height - gap)
                left += width + gap
            top += height

    def _rows(self, width: int) -> list[tuple[list[tuple[OptionButton, int]], int]]:
        """Return rows of buttons with their widths, and their heights with the gap.

        All stand in one row as wide as their words where that fits; else in as many
        columns as fit, each as wide as its own words ask.
        """
        gap, shown = self._theme.px(GAP_MM), list(self.buttons())
        natural = [button.natural_width() for button in shown]
        spare = width - sum(natural) - gap * (len(shown) - 1)
        if shown and spare >= 0:
            wider = spare // len(shown)
            row = [
                (one, wide + wider) for one, wide in zip(shown, natural, strict=True)
            ]
            return [self._row(row)]
        widths = [width]
        for columns in range(len(shown) - 1, 1, -1):
            asked = [max(natural[column::columns]) for column in range(columns)]
            spare = width - sum(asked) - gap * (columns - 1)
            if spare >= 0:
                widths = [each + spare // columns for each in asked]
                break
        if len(widths) == 1 and (len(shown) > MANY or self._pairs):
            widths = [(width - gap) // 2] * 2  # words wrap rather than run out of sight
        columns = len(widths)
        rows = [
            list(zip(shown[first : first + columns], widths, strict=False))
            for first in range(0, len(shown), columns)
        ]
        for (last, wide), *others in rows[-1:]:
            # Alone in its row it takes the whole of it, where that saves a line.
            if not others and last.height_for(width) < last.height_for(wide):
                rows[-1] = [(last, width)]
        return [self._row(row) for row in rows]

    def _row(
        self, row: list[tuple[OptionButton, int]]
    ) -> tuple[list[tuple[OptionButton, int]], int]:
        height = max(button.height_for(width) for button, width in row)
        return row, height + self._theme.px(GAP_MM)
