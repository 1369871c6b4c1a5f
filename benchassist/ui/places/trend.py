"""How a lamp or a box ages: its readings drawn, and the day they meet the floor."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from benchassist.clock import Instant
from benchassist.domain.limits import limit
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.journal.errors import JournalError
from benchassist.sums.trend import Trend, readings_of, trend
from benchassist.ui.actions import OpenPage
from benchassist.ui.hands import OptionGroup
from benchassist.ui.host import Host
from benchassist.ui.light.plot import PlotPane
from benchassist.ui.page import Page
from benchassist.ui.present.trend import plot, words
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.view import Option
from benchassist.ui.words import say

MOST = 8  # lamps and boxes with a digit


def _things(bench: Bench) -> tuple[str, ...]:
    """Return the lamps, and the boxes whose light was read."""
    read = (code for code, each in bench.boxes_kept.items() if each.first)
    lamps = offered(bench, "lamp")[: MOST - 2]
    return (*lamps, *read)[:MOST]


class TrendPage(Page):
    """A lamp or a box a digit; its readings since it was new, with line and band."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._code = ""
        self._title = TitleRow(host.look)
        self._plot = PlotPane(host.look, self)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self._title)
        box.addWidget(self._plot, 1)
        box.addWidget(self._options)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Read what was read of the lamp or box from the record, and draw it."""
        known = _things(bench)
        if self._code not in known:
            self._code = next(iter(known), "")
        self._options.show_view(
            (
                *(Option(code, str(n), code) for n, code in enumerate(known, start=1)),
                Option(say("Enter a reading"), "9", OpenPage("reading")),
            )
        )
        found = self._found(bench, now)
        told, _ = words(self._code or say("No lamp"), found, now)
        self._title.show_view(Title(say("How a lamp or a box ages"), told))
        self._plot.setVisible(found is not None)
        if found is not None:
            self._plot.show_view(plot(found))
        self.fit()

    def _found(self, bench: Bench, now: Instant) -> Trend | None:
        code = self._code
        kind = "lamp" if code in bench.lamps else "box"
        try:
            entries = tuple(self._host.session.journal.entries_of(kind, code))
        except JournalError as error:
            self.said.emit(str(error))
            return None
        readings = readings_of(entries, code)
        if not readings:
            return None
        lamp = bench.lamps.get(code)
        baseline = (lamp.baseline_reading if lamp else 0.0) or readings[0][1]
        return trend(readings, baseline, limit(bench, f"{kind}_floor"), now)

    def choose(self, option: Option) -> bool:
        """Show another lamp."""
        if not isinstance(option.command, str):
            return False
        self._code = option.command
        self.fill(self._host.session.bench, self._host.session.now())
        return True
