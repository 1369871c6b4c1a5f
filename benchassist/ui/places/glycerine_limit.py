"""The glycerine limit: raised by a validation record, lowered with a reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.ui.present import limit
from benchassist.ui.sheet import SheetPage
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench
    from benchassist.ui.host import Host


class LimitPage(SheetPage):
    """The sheet of one limit; it begins anew once it was written."""

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._draft: limit.LimitDraft | None = None
        self._seen = 0.0
        self.setAccessibleName(say("Glycerine limit"))

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the draft on the bench as it is now."""
        is_now = limit.begun(bench, now)
        if self._draft is None or self._seen != is_now.command.value:
            self._draft, self._seen = is_now, is_now.command.value
        self.show_sheet(limit.sheet(bench, self._draft, now))

    def did(self, action: object) -> None:
        """Take a turn of a row into the draft."""
        bench, now = self._host.session.bench, self._host.session.now()
        self._draft = limit.done(self._draft or limit.begun(bench, now), action)
        self.show_sheet(limit.sheet(bench, self._draft, now))


def make(host: Host) -> LimitPage:
    """Return the page."""
    return LimitPage(host)
