"""New parts: what, how, where; taken in by one act, or none of them."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtGui import QDragEnterEvent, QDropEvent

from benchassist.clock import Instant
from benchassist.domain.shape import PartShape
from benchassist.domain.state import Bench
from benchassist.ui.filing import read_print
from benchassist.ui.host import Host
from benchassist.ui.picker import PRINTS, look_for
from benchassist.ui.present import intake, intake_sheet
from benchassist.ui.present.facts import shape_lines
from benchassist.ui.present.intake_draft import STEPS, IntakeDraft, begun
from benchassist.ui.present.intake_sheet import PickPrint, TakeParts
from benchassist.ui.present.sheet import GoTo
from benchassist.ui.sheet import SheetPage
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.ui.worker import Job
from benchassist.value import replace


class IntakePage(SheetPage):
    """The three sheets; what was filled in stays until it is taken in."""

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._draft: IntakeDraft | None = None
        self.setAccessibleName(say("New parts"))
        self.setAcceptDrops(True)

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the draft on the bench as it is now."""
        if self._draft is None or self._draft.recipe not in bench.recipes:
            self._draft = begun(bench, now)
        self.show_sheet(intake_sheet.sheet(bench, self._draft, now))

    def did(self, action: object) -> None:
        """Take a turn of a row into the draft."""
        bench, now = self._host.session.bench, self._host.session.now()
        draft = self._draft or begun(bench, now)
        self._draft = intake.done(bench, draft, action, now)
        if self._draft.file and self._draft.unit != draft.unit:
            self.read_print(self._draft.file)
        self.show_sheet(intake_sheet.sheet(bench, self._draft, now))

    def choose(self, option: Option) -> bool:
        """Take the parts in, all of them or none; or look for a print file."""
        if isinstance(option.command, PickPrint):
            picker = look_for(self, say("A print file"), str(Path.home()), PRINTS)
            picker.fileSelected.connect(self.read_print)
            return True
        if not isinstance(option.command, TakeParts):
            return super().choose(option)
        self._take(option.command.draft)
        return True

    def read_print(self, path: str) -> None:
        """Read the print file of the one part that is taken in."""
        if self._draft is None or self._draft.count > 1:
            return
        self._draft = replace(self._draft, file=path, shape=None, framed="file")
        work = partial(read_print, Path(path).expanduser(), self._draft.unit)
        self.said.emit(say("Reading the print file …"))
        Job(work, self._read, self.said.emit).start()

    def _read(self, shape: object) -> None:
        if self._draft is None or not isinstance(shape, PartShape):
            return
        self._draft = replace(self._draft, shape=shape)
        self.said.emit(" ".join(shape_lines(shape)[:2]))
        self.fill(self._host.session.bench, self._host.session.now())

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:  # noqa: N802
        """Take a print file that is dragged here."""
        if event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:  # noqa: N802
        """Read the print file that is dropped."""
        for url in event.mimeData().urls()[:1]:
            self.read_print(url.toLocalFile())

    def escape(self) -> bool:
        """Go one step back inside the sheet; the draft is kept."""
        if self._draft is None or self._draft.step == "what":
            return False
        before = STEPS[STEPS.index(self._draft.step) - 1]
        self.did(GoTo(before))
        return True

    def back(self) -> str:
        """Return the words beside Esc."""
        filled = self._draft is not None and bool(self._draft.code)
        return say("Keep draft") if filled else super().back()

    def _take(self, draft: IntakeDraft) -> None:
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
