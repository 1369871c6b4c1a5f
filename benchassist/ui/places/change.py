"""Change this part: rows with was and is, the way it would go, one hold."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.host import Host
from benchassist.ui.present import change
from benchassist.ui.present.sheet import Sheet
from benchassist.ui.sheet import SheetPage
from benchassist.ui.words import say


class ChangePage(SheetPage):
    """The sheet of the part in front; its draft is kept until another is in front."""

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._draft = change.begun("")
        self.setAccessibleName(say("Change this part"))

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the draft on the bench as it is now; written, it begins anew."""
        part = bench.focused
        if part is None:
            self.show_sheet(
                Sheet(say("Change a part"), say("choose one first"), "", (), (), ())
            )
            return
        taken = change.taken(bench, self._draft)
        if self._draft.command.part != part.code or taken:
            self._draft = change.begun(part.code)
        self.show_sheet(change.sheet(bench, self._draft, now))

    def did(self, action: object) -> None:
        """Take a turn of a row into the draft."""
        bench, now = self._host.session.bench, self._host.session.now()
        self._draft = change.done(bench, self._draft, action, now)
        self.show_sheet(change.sheet(bench, self._draft, now))
