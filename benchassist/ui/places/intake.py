"""New parts: what, how, where; taken in by one act, or none of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.ui.present import intake, intake_sheet
from benchassist.ui.present.intake_sheet import TakeParts
from benchassist.ui.present.sheet import GoTo
from benchassist.ui.sheet import SheetPage
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench
    from benchassist.ui.host import Host
    from benchassist.ui.view import Option


class IntakePage(SheetPage):
    """The three sheets; what was filled in stays until it is taken in."""

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._draft: intake.IntakeDraft | None = None
        self.setAccessibleName(say("New parts"))

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the draft on the bench as it is now."""
        if self._draft is None or self._draft.recipe not in bench.recipes:
            self._draft = intake.begun(bench, now)
        self.show_sheet(intake_sheet.sheet(bench, self._draft, now))

    def did(self, action: object) -> None:
        """Take a turn of a row into the draft."""
        bench, now = self._host.session.bench, self._host.session.now()
        draft = self._draft or intake.begun(bench, now)
        self._draft = intake.done(bench, draft, action, now)
        self.show_sheet(intake_sheet.sheet(bench, self._draft, now))

    def choose(self, option: Option) -> bool:
        """Take the parts in, all of them or none."""
        if not isinstance(option.command, TakeParts):
            return super().choose(option)
        self._take(option.command.draft)
        return True

    def escape(self) -> bool:
        """Go one step back inside the sheet; the draft is kept."""
        if self._draft is None or self._draft.step == "what":
            return False
        before = intake.STEPS[intake.STEPS.index(self._draft.step) - 1]
        self.did(GoTo(before))
        return True

    def back(self) -> str:
        """Return the words beside Esc."""
        filled = self._draft is not None and bool(self._draft.code)
        return say("Keep draft") if filled else super().back()

    def _take(self, draft: intake.IntakeDraft) -> None:
        session = self._host.session
        refusal = intake.refused(session.bench, draft, session.now())
        for command in () if refusal else intake.commands(session.bench, draft):
            refusal = refusal or session.handle(command, "hand").refusal
        if refusal is not None:
            told = refusal.sentence
            self._draft = intake.at_fault(draft, refusal.code, told)
            self.fill(session.bench, session.now())
            return
        self._draft = None  # after success the form is empty
        codes = draft.parts
        many = (
            say("{codes} to {codes2}", codes=codes[0], codes2=codes[-1])
            if len(codes) > 1
            else codes[0]
        )
        self.said.emit(say("Taken in: {many}.", many=many))
        self.fill(session.bench, session.now())


def make(host: Host) -> IntakePage:
    """Return the page."""
    return IntakePage(host)
