"""What the pages about light share: a strip of tabs, a body, options at the foot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QHideEvent, QPainter
from PySide6.QtWidgets import QWidget

from benchassist.ui.actions import OpenPage
from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.hold import Pressable
from benchassist.ui.light.asking import Asker
from benchassist.ui.light.fields import Fields
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.page import Page
from benchassist.ui.paint import Painted, Run, draw_key, panel
from benchassist.ui.space import Space
from benchassist.ui.theme import NEAR, READ, STRONG, Theme
from benchassist.ui.view import Option
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench

TABS = (
    ("pairing", "L", say("Pairing")),
    ("how-well", "B", say("How well")),
    ("spectrum", "S", say("Spectra")),
    ("tack", "T", say("Tack")),
    ("forecast", "F", say("Forecast")),
    ("spots", "P", say("Spots")),
    ("working-curve", "C", say("Curve")),
    ("eyes", "E", say("Eyes")),
    ("room-light", "R", say("Room")),
    ("advisors", "U", say("Sums")),
)
TAB_MM = 9.2  # [mm] high; a choice


class Tab(Pressable[tuple[Option, bool]]):
    """One tab: its key and its word, and whether its page is open."""

    @property
    def option(self) -> Option | None:
        """What is chosen by pressing here; nothing on the page that is open."""
        return self.view[0] if self.view and not self.view[1] else None

    def spoken(self, view: tuple[Option, bool]) -> str:
        """Return word, key and whether it is open."""
        option, here = view
        return say(
            "{text}, key {key}{it}",
            text=option.text,
            key=option.key,
            it=say(", open") if here else "",
        )

    def natural_width(self) -> int:
        """Return the width that key and word need."""
        if self.view is None:
            return 0
        option, _ = self.view
        word = self.theme.face(READ, STRONG).width(option.text)
        return round(self._word_x(option) + word + self.theme.px(2.8))

    def lay(self, view: tuple[Option, bool]) -> Iterator[Run]:
        """Lay out key and word."""
        theme, palette = self.theme, self.theme.palette
        option, here = view
        ground = palette.attention if here else palette.raised
        key, word = theme.face(NEAR, STRONG), theme.face(READ, STRONG)
        ink = palette.letters if here else palette.attention
        middle = self.height() / 2
        yield Run(option.key, theme.px(3.2), middle + key.cap / 2, key, ink, ground)
        ink = palette.letters if here else palette.ink
        x = self._word_x(option)
        yield Run(option.text, x, middle + word.cap / 2, word, ink, ground)

    def draw(self, painter: QPainter, view: tuple[Option, bool]) -> None:
        """Draw the ground, filled where the page is open."""
        palette, radius = self.theme.palette, self.theme.px(2.0)
        rect = QRectF(self.rect())
        if view[1]:
            panel(painter, rect, radius, ground=palette.attention)
            return
        panel(painter, rect, radius, ground=palette.raised, edge=palette.line)
        draw_key(painter, self.runs()[0], self.theme)

    def _word_x(self, option: Option) -> float:
        theme = self.theme
        return (
            theme.px(3.2) + theme.face(NEAR, STRONG).width(option.key) + theme.px(3.6)
        )


class LightPage(Page):
    """A page with tabs above its body and options below it.

    A page that is filled knows the bench as it was then; it decides nothing and
    hands commands on.

    Signals: ``commanded(object)`` a command or an action of the window;
    ``said(str)`` a sentence.
    """

    name = ""
    tabbed = True
    follows = False  # the bench while it changes; else what was typed stays
    commanded = Signal(object)
    said = Signal(str)

    def __init__(self, theme: Theme, hands: Hands) -> None:
        options = OptionGroup(theme, hands)
        super().__init__(theme, options)
        options.setParent(self)
        self._hands = hands
        self.asker = Asker(self)
        self.asker.failed.connect(self.told_amiss)
        self._tabs: list[Tab] = []
        for page, key, title in TABS if self.tabbed else ():
            tab = Tab(theme, self)
            tab.show_view((Option(title, key, OpenPage(page)), page == self.name))
            tab.down.connect(hands.press)
            tab.up.connect(hands.release)
            self._tabs.append(tab)
        self.bench: Bench | None = None
        self.now: Instant | None = None

    # --- what a page does ------------------------------------------------------

    def refill(self, bench: Bench, now: Instant) -> None:
        """Show the bench as it is now."""

    def arrange(self, space: Space) -> None:
        """Place the body's widgets in ``space``."""

    def told_amiss(self, sentence: str) -> None:
        """Show why there is no answer."""
        self.said.emit(sentence)

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked on."""
        return self.asker.idle

    # --- what all pages do -----------------------------------------------------

    def show_bench(self, bench: Bench, now: Instant) -> None:
        """Fill the page."""
        self.bench, self.now = bench, now
        self.refill(bench, now)
        self.fit()

    def look(self, bench: Bench, now: Instant) -> None:
        """Let time pass; a page that follows the bench is filled anew by an event."""
        if self.follows and bench is not self.bench:
            self.show_bench(bench, now)

    def show_options(self, options: tuple[Option, ...]) -> None:
        """Show other options at the foot."""
        self._options.show_view(options)
        self.fit()

    def buttons(self) -> Sequence[Any]:
        """Return tabs and options."""
        return [*self._tabs, *self._options.buttons()]

    def choose(self, option: Option) -> bool:
        """Take an option that belongs to the page: its command is a page's method."""
        if callable(option.command):
            option.command()
            return True
        return False

    def set_theme(self, theme: Theme) -> None:
        """Show the page in another theme."""
        parts: list[Painted[Any] | PlotPane | Fields] = [
            *self.findChildren(Painted),
            *self.findChildren(PlotPane),
            *self.findChildren(Fields),
        ]
        for part in parts:
            part.set_theme(theme)
        super().set_theme(theme)
        self.fit()

    def fit(self) -> None:
        """Place everything for the present size."""
        px = self._theme.px
        space = Space(self.rect())
        if self._tabs:
            strip = space.take_top(px(TAB_MM), px(2.6))
            self._place_tabs(strip.width(), strip.height())
        height = self._options.height_for(self.width())
        if height:
            self._options.setGeometry(space.take_foot(height, px(1.4)))
        self._options.setVisible(bool(height))
        self.arrange(space)

    def _place_tabs(self, width: int, height: int) -> None:
        gap = self._theme.px(1.6)
        natural = [tab.natural_width() for tab in self._tabs]
        spare = width - sum(natural) - gap * (len(natural) - 1)
        x = 0
        for tab, wide in zip(self._tabs, natural, strict=True):
            own = wide + max(0, spare) // len(natural)
            tab.setGeometry(x, 0, own, height)
            x += own + gap

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802
        """Forget what was asked: nobody looks."""
        self.asker.drop()
        super().hideEvent(event)


def place(widget: QWidget, space: Space, height: int, gap: int = 0) -> None:
    """Place a widget at the top of a space; one without height is hidden."""
    widget.setVisible(height > 0)
    if height > 0:
        widget.setGeometry(space.take_top(height, gap))
