"""A page of tiles under a title: a key, a tap, or Enter on the framed one."""

from __future__ import annotations

from benchassist.ui.hands import OptionGroup
from benchassist.ui.hold import Pressable
from benchassist.ui.host import Host
from benchassist.ui.page import Page
from benchassist.ui.tiles import TileGrid
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import TileView

GAP_MM = 2.4


class TilePage(Page):
    """Title and tiles; ``above`` and ``left`` leave room beside the tiles, in mm."""

    title: Title
    above_mm = GAP_MM
    left_mm = 0.0

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._title = TitleRow(host.look, self)
        self._title.show_view(self.title)
        self._grid = TileGrid(host.look, host.hands, self)
        self.setAccessibleName(f"{self.title.text}: {self.title.line}")

    def buttons(self) -> list[Pressable[TileView]]:
        """Return the tiles."""
        return self._grid.buttons()

    def fit(self) -> None:
        """Place everything for the width there is."""
        title, left = self._title.grow(self.width()), self._theme.px(self.left_mm)
        top = title + self._theme.px(self.above_mm)
        self._title.setGeometry(0, 0, self.width(), title)
        self._grid.setGeometry(left, top, self.width() - left, self.height() - top)
