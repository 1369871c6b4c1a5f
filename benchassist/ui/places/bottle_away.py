"""Put a bottle away for good: one hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.ui.present import small_acts
from benchassist.ui.sheet import SheetPage
from benchassist.ui.words import say

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchassist.clock import Instant
    from benchassist.domain.state import Bench
    from benchassist.ui.host import Host
    from benchassist.ui.present.small_acts import SmallDraft


class SmallPage(SheetPage):
    """A short sheet; it begins anew once its act is on the record."""

    def __init__(
        self, host: Host, begun: Callable[[Bench], SmallDraft], name: str
    ) -> None:
        super().__init__(host)
        self._begun = begun
        self._draft: SmallDraft | None = None
        self._seq = -1
        self.setAccessibleName(name)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the draft; an event since it was shown begins it anew."""
        if self._draft is None or self._seq != bench.seq:
            self._draft, self._seq = self._begun(bench), bench.seq
        self.show_sheet(small_acts.sheet(bench, self._draft, now))

    def did(self, action: object) -> None:
        """Take a turn of a row into the draft."""
        bench, now = self._host.session.bench, self._host.session.now()
        draft = self._draft or self._begun(bench)
        self._draft = small_acts.done(bench, draft, action)
        self.show_sheet(small_acts.sheet(bench, self._draft, now))


def make(host: Host) -> SmallPage:
    """Return the page."""
    return SmallPage(host, small_acts.bottle, say("Put a bottle away"))
