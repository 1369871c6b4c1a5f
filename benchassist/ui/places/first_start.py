"""What shall this bench be? Shown once, where nothing is on file yet."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.actions import ImportLibrary, OpenPage, StartOther
from benchassist.ui.hands import OptionGroup
from benchassist.ui.hold import Pressable
from benchassist.ui.host import Host
from benchassist.ui.page import Page, PageLabel
from benchassist.ui.present.fill import Gap
from benchassist.ui.theme import READ
from benchassist.ui.tiles import TileGrid
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option, TileView
from benchassist.ui.words import say

TILES_MM = 46.0  # [mm] high: a target nobody misses
TITLE = Title(
    say("What shall this bench be?"),
    say("You can come back here at any time: key E, then 9."),
)
TILES = (
    TileView(
        Option(say("My own bench"), "1", OpenPage("own-bench")),
        say("about 10 min, step by step"),
        "bench",
    ),
    TileView(
        Option(say("Look around"), "2", StartOther("demo")),
        say("at once, marked EXAMPLE"),
        "glass",
    ),
    TileView(
        Option(say("Learn and practise"), "3", StartOther("training")),
        say("20 min, marked TRAINING"),
        "fast",
    ),
)
TOLD = say(
    "My own bench: box, lamp and resin as their labels and papers say. Stop anywhere: "
    "it goes on where you left.\nLook around: a made-up practice in the middle of its "
    "morning.\nLearn: four made-up parts, waits ten times as fast; none is released."
)
FILES = (
    Option(
        say("I have a library file from another bench of ours"),
        "4",
        Gap(ImportLibrary(), "path"),
        needs_text=say("The library file (.toml or .json), with its folder"),
    ),
    Option(
        say("Open an older bench"),
        "5",
        Gap(StartOther("real"), "folder"),
        needs_text=say("The folder its record lies in"),
    ),
)


class FirstStart(Page):
    """Three ways to begin as tiles, and two for who has been here before."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._title = TitleRow(host.look, self)
        self._title.show_view(TITLE)
        self._tiles = TileGrid(host.look, host.hands, self)
        self._tiles.most_mm = TILES_MM
        self._tiles.show_view(TILES, len(TILES))
        self._told = PageLabel(READ, role="quiet")
        self._told.setParent(self)
        self._told.setWordWrap(True)
        self._told.setText(TOLD)
        self._options.setParent(self)
        self._options.show_view(FILES)
        self.setAccessibleName(TITLE.text)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the same whatever the bench is."""
        del bench, now
        self.fit()

    def buttons(self) -> list[Pressable[TileView]]:
        """Return the tiles, then the two for files."""
        return [*self._tiles.buttons(), *self._options.buttons()]  # type: ignore[list-item]

    def fit(self) -> None:
        """Place everything for the width there is."""
        title, gap = self._title.grow(self.width()), self._theme.px(4.0)
        low = self._options.height_for(self.width())
        self._title.setGeometry(0, 0, self.width(), title)
        tiles, room = self._theme.px(TILES_MM), self.height() - title - low - 4 * gap
        self._tiles.setGeometry(0, title + gap, self.width(), min(tiles, room))
        below = title + 2 * gap + min(tiles, room)
        told = max(0, room - tiles + gap)
        self._told.fit_in(self._theme, self.width(), told)
        self._told.setGeometry(0, below, self.width(), told)
        self._options.setGeometry(0, self.height() - low - gap, self.width(), low)
