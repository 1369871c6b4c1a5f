"""Opening and closing the bench, one check a screen; closing ends with a signature."""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain.state import Bench
from benchassist.ui.actions import OpenPage
from benchassist.ui.host import Host
from benchassist.ui.places.twocards import FIRST, TwoCards
from benchassist.ui.present import rounds
from benchassist.ui.present.forms import FormError, number
from benchassist.ui.view import Option
from benchassist.ui.words import say

HALF = 0.5


class RoundsPage(TwoCards):
    """Where a hand is on its route; what was looked at stands in the record alone."""

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._at = rounds.Round()
        self._second = -1
        self.setAccessibleName(say("Open and close the bench"))

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the next check that nobody did today, or what the day came to."""
        view = rounds.view(bench, self._at, now)
        self._share = HALF if view.counts else FIRST
        self.check = view.check
        self.show_view(view)

    def pass_time(self, bench: Bench, now: Instant) -> None:
        """Move on once a second: what may stay and until when."""
        if now.mono_ms // MS != self._second:
            self._second = now.mono_ms // MS
            self.fill(bench, now)

    def choose(self, option: Option) -> bool:
        """Take a route, or put a check off; everything else is a command."""
        command = option.command
        if isinstance(command, rounds.Round):
            self._at = command
            self.asked.emit(OpenPage("rounds"))
            return True
        return False

    def take(self, action: object) -> bool:
        """Take a reading that was typed."""
        if not isinstance(action, rounds.ReadIt):
            return False
        try:
            self.asked.emit(
                cm.ReadLamp(action.lamp, number(say("Reading"), action.typed))
            )
        except FormError as error:
            self.said.emit(str(error))
        return True

    def back(self) -> str:
        """Return the words beside Esc."""
        return say("Routes") if self._at.route else super().back()

    def escape(self) -> bool:
        """Go back to the routes; what was done is on the record."""
        if not self._at.route:
            return False
        self._at = rounds.Round()
        self.asked.emit(OpenPage("rounds"))
        return True
