"""What now? Pick what happened from tiles, the most likely first."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.actions import OpenPage
from benchassist.ui.hands import OptionGroup
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.hold import Pressable
from benchassist.ui.host import Host
from benchassist.ui.page import Page
from benchassist.ui.present.mishap import First, asked, happened
from benchassist.ui.strip import Strip
from benchassist.ui.tiles import TileGrid
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import TileView

COLUMNS = 3
STRIP_MM = 16.5  # [mm] of what comes before any key
GAP_MM = 2.4


class WhatNowPage(Page):
    """Nine tiles at most, and all the rest behind 0."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._title = TitleRow(host.look, self)
        self._strip = Strip(host.look, self)
        self._grid = TileGrid(host.look, host.hands, self)
        self._empty = Paragraphs(host.look, self)
        self._options.setParent(self)
        self._all = False
        self._seen: tuple[Bench, Instant] | None = None
        self._host = host

    def begin(self) -> None:
        """Offer the likeliest again."""
        self._all = False

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show what can have happened to the part in front."""
        self._seen = bench, now
        code, case = self._host.told
        view = (
            asked(bench, code, case) if case else happened(bench, everything=self._all)
        )
        self._title.show_view(Title(view.title, view.line, view.right))
        self._strip.show_view(view.first or First("", "", ""))
        self._grid.show_view(view.tiles, COLUMNS)
        self._options.show_view(view.options)
        self._empty.show_view((Words(view.empty),) if view.empty else ())
        self._empty.setVisible(bool(view.empty))  # it lies over what is pressed
        self.setAccessibleName(view.title)
        self._strip.setVisible(view.first is not None)
        self.fit()

    def buttons(self) -> list[Pressable[TileView]]:
        """Return the tiles and the ways below them."""
        return [*self._grid.buttons(), *self._options.buttons()]  # type: ignore[list-item]

    def choose(self, option: object) -> bool:
        """Open all, where that is asked."""
        if getattr(option, "command", None) == "all":
            self._all = True
            if self._seen is not None:
                self.fill(*self._seen)
            return True
        return False

    def escape(self) -> bool:
        """Go back from a question to what happened, from all to the likeliest."""
        if self._host.told[1] is not None:
            self.asked.emit(OpenPage("what-now"))
            return True
        was, self._all = self._all, False
        if was and self._seen is not None:
            self.fill(*self._seen)
        return was

    def fit(self) -> None:
        """Place everything for the width there is."""
        gap, wide = self._theme.px(GAP_MM), self.width()
        top = self._title.grow(wide)
        self._title.setGeometry(0, 0, wide, top)
        if not self._strip.isHidden():
            strip = self._theme.px(STRIP_MM)
            self._strip.setGeometry(0, top, wide, strip)
            top += strip + gap
        height = self._options.height_for(wide)
        foot = self.height() - height
        self._options.setGeometry(0, foot, wide, height)
        self._grid.setGeometry(0, top, wide, max(0, foot - top - gap))
        self._empty.setGeometry(0, top, wide, max(0, foot - top))
