"""The day ahead: who makes it, what to put back, and what a hand says of the order."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from benchassist.clock import MS, Instant
from benchassist.domain.state import Bench
from benchassist.ui.daychart import DayChart
from benchassist.ui.hands import OptionGroup
from benchassist.ui.host import Host
from benchassist.ui.page import Page
from benchassist.ui.playing import Player
from benchassist.ui.present.day import view
from benchassist.ui.title import Title, TitleRow
from benchassist.ui.words import say


class DayPage(Page):
    """The chart over its options; the day is played by a worker meanwhile."""

    def __init__(self, host: Host) -> None:
        super().__init__(host.look, OptionGroup(host.look, host.hands))
        self._host = host
        self._title = TitleRow(host.look, self)
        self._chart = DayChart(host.look, self)
        self._player = Player(self)
        self._player.played.connect(self._played)
        self._player.failed.connect(self.said)
        self._second = -1
        self.setAccessibleName(say("Day: what is ahead, and which promises hold"))
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self._title)
        box.addWidget(self._chart, 1)
        box.addWidget(self._options)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the day as far as it is known, and have it played anew if need be."""
        self._player.look(bench, now)
        found = view(bench, now, self._player.seen)
        self._title.show_view(Title(found.title, found.line, found.right))
        self._chart.show_view(found)
        self._options.show_view(found.options)
        self.fit()

    def pass_time(self, bench: Bench, now: Instant) -> None:
        """Move on once a second."""
        if now.mono_ms // MS != self._second:
            self._second = now.mono_ms // MS
            self.fill(bench, now)

    def _played(self) -> None:
        if self.isVisible():
            self.fill(self._host.session.bench, self._host.session.now())
