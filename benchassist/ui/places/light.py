"""All sums about light, coats and glycerine, one digit each."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.actions import OpenPage
from benchassist.ui.light import LIGHT_PAGES
from benchassist.ui.tilepage import TilePage
from benchassist.ui.title import Title
from benchassist.ui.view import Option, TileView
from benchassist.ui.words import say

COLUMNS = 3
TITLE = Title(
    say("Light curves"), say("sums to look at; gates and instructions decide")
)


class LightPlace(TilePage):
    """Nine tiles: what each is, in a drawing and a few words."""

    title = TITLE

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the same whatever the bench is."""
        del bench, now
        tiles = tuple(
            TileView(
                Option(page.title, page.key, OpenPage(name)), page.line, page.drawing
            )
            for name, page in LIGHT_PAGES.items()
            if page.key
        )
        self._grid.show_view(tiles, COLUMNS)
