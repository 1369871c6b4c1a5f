"""Pairing: every lamp and box against the layers, and one pair in full."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.sums.subject import UnknownError, subject
from benchassist.ui.heading import Paragraphs, Words
from benchassist.ui.host import Host
from benchassist.ui.light.asking import Stop
from benchassist.ui.light.base import LightPage
from benchassist.ui.light.grid import Cell, Grid, GridView
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.present.physics import pairing
from benchassist.ui.space import Space
from benchassist.ui.words import say

EMPTY = say("Nothing to compare yet: import your lamps, boxes and lots.")


class PairingPage(LightPage):
    """A table of verdicts for one layer at a time, beside both curves of a pair."""

    name = "pairing"
    follows = True

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        theme = host.look
        self._lots: tuple[str, ...] = ()
        self._lot = ""
        self._pairs: tuple[pairing.Pair, ...] = ()
        self._row = 0
        self._layer = Paragraphs(theme, self)
        self._grid = Grid(theme, self)
        self._plot = PlotPane(theme, self)
        self._grid.picked.connect(self._picked)

    def refill(self, bench: Bench, now: Instant) -> None:
        """Compare the lights for the part at hand."""
        try:
            self._about = subject(bench, now)
        except UnknownError as error:
            self._about = None
            self._grid.show_view(GridView((), (), empty=str(error)))
            return
        self._lots = pairing.layers(bench, self._about)
        if self._lot not in self._lots:
            self._lot = self._lots[0] if self._lots else ""
            self._row = 0
        self._ask()

    def key(self, key: str) -> bool:
        """Walk the rows, or go to another layer."""
        if key in ("Left", "Right") and self._lots:
            step = 1 if key == "Right" else -1
            at = (self._lots.index(self._lot) + step) % len(self._lots)
            self._lot, self._row = self._lots[at], 0
            self._ask()
            return True
        return self._words.key(key) or self._grid.key(key)

    def arrange(self, space: Space) -> None:
        """Place the table at the left, the pair at the right."""
        px = self._theme.px
        left, right = space.columns((0.54, 0.46), px(5.0))
        high = self._layer.height_for(left.width)
        self._layer.setGeometry(left.take_top(high, px(2.4)))
        self._grid.setGeometry(left.rest())
        high = min(self._words.height_for(right.width), round(right.height * 0.55))
        self._words.setGeometry(right.take_foot(high, px(1.6)))
        self._plot.setGeometry(right.rest())

    def _picked(self, row: int) -> None:
        self._row = row
        self._ask()

    def _ask(self) -> None:
        bench, about, lot, row = self.bench, self._about, self._lot, self._row
        if about is None or not lot:
            self._grid.show_view(GridView((), (), empty=EMPTY))
            return

        def work(_stop: Stop) -> object:
            found = pairing.pairs(bench, about, lot)
            at = min(row, len(found) - 1)
            full = pairing.detail(bench, about, found[at]) if found else None
            return found, full

        self.asker.ask(work, self._answered)

    def _answered(
        self, answer: tuple[tuple[pairing.Pair, ...], pairing.Detail | None]
    ) -> None:
        self._pairs, full = answer
        at = self._lots.index(self._lot) + 1
        material = self.bench.materials[self.bench.lots[self._lot].material]
        told = f"{material.title}, {self._lot}"
        hint = say(
            "layer {at} of {many}: arrows left and right", at=at, many=len(self._lots)
        )
        self._layer.show_view((Words(told), Words(hint, tone="quiet", small=True)))
        self._row = min(self._row, max(0, len(self._pairs) - 1))
        self._grid.show_view(
            GridView(
                (say("light"), say("verdict"), say("needs")),
                tuple(
                    (
                        Cell(pair.light, strong=True),
                        Cell(pair.verdict, pair.tone, strong=True),
                        Cell(pair.needs, "quiet"),
                    )
                    for pair in self._pairs
                ),
                chosen=self._row if self._pairs else -1,
                empty=EMPTY,
            )
        )
        if full is not None:
            self._plot.show_view(full.plot)
            lines = [Words(text) for text in full.help]
            lines += [Words(text, tone="quiet", small=True) for text in full.lines]
            self._words.show_view(tuple(lines))
        self.fit()
