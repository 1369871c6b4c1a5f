"""Find and recall: over all days, what is not known first."""

from __future__ import annotations

from functools import partial

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.recall import Answer, Sought
from benchassist.domain.state import Bench
from benchassist.journal.finding import find, kinds_of
from benchassist.ui.actions import OpenPage
from benchassist.ui.asking import ask
from benchassist.ui.host import Host
from benchassist.ui.places.twocards import TwoCards
from benchassist.ui.present import find as words
from benchassist.ui.present.forms import FormError
from benchassist.ui.view import Option
from benchassist.ui.words import say


class FindPage(TwoCards):
    """A question, then two cards; the record is read beside the window."""

    def __init__(self, host: Host) -> None:
        super().__init__(host)
        self._step = words.Step()
        self._answer: Answer | None = None
        self._asked_ms = self._took_ms = 0
        self.setAccessibleName(say("Find and recall"))

    def fill(self, bench: Bench, now: Instant) -> None:
        """Show the step; the answer is asked anew, the record may have grown."""
        if self._step.sought is not None:
            self._look_up(self._step.sought)
        self._show(bench, now)

    def _show(self, bench: Bench, now: Instant) -> None:
        step = self._step
        if self._answer is not None and step.sought is not None:
            took = self._took_ms
            self.show_view(words.answered(bench, step, self._answer, now, took))
        elif step.sought is not None:
            self.show_view(words.waiting(step))
        else:
            self.show_view(words.first_view(bench))

    # --- the record ----------------------------------------------------------------

    def _make_out(self, typed: str) -> None:
        try:
            parts = words.made_out(typed)
        except FormError as error:
            self.said.emit(str(error))
            return
        book, code = self._host.session.journal, parts[0]
        done = partial(self._known_as, parts)
        ask(book, partial(_kinds, code), done, self.said.emit)

    def _known_as(self, parts: tuple[str, str, str], kinds: object) -> None:
        try:
            self._go(words.seek(words.Step(), kinds, parts))  # type: ignore[arg-type]
        except FormError as error:
            self.said.emit(str(error))

    def _look_up(self, sought: Sought) -> None:
        self._asked_ms = self._host.session.now().mono_ms
        book = self._host.session.journal
        ask(book, partial(_find, sought), self._found, self.said.emit)

    def _found(self, answer: object) -> None:
        if not isinstance(answer, Answer) or answer.sought != self._step.sought:
            return
        fresh = self._answer is None
        self._answer = answer
        session = self._host.session
        if fresh:
            self._took_ms = max(0, session.now().mono_ms - self._asked_ms)
        self._show(session.bench, session.now())

    # --- hands ---------------------------------------------------------------------

    def choose(self, option: Option) -> bool:
        """Go a step further; only what is held leaves the page."""
        command = option.command
        if isinstance(command, words.Step):
            self._go(command)
            return True
        if isinstance(command, cm.OpenRecall):
            self._step = words.Step(sought=self._step.sought)  # what came of it
        return False

    def take(self, action: object) -> bool:
        """Take what was typed."""
        if not isinstance(action, words.Step):
            return False
        if action.typed:
            self._make_out(action.typed)
        else:
            self._go(action)
        return True

    def _go(self, step: words.Step) -> None:
        if step.sought != self._step.sought:
            self._answer = None
        self._step = step
        self.asked.emit(OpenPage("find"))  # shows the step, and wires its keys

    def back(self) -> str:
        """Return the words beside Esc."""
        return super().back() if self._step.back() is None else say("One step back")

    def escape(self) -> bool:
        """Go one step back; from the first, the page is left."""
        before = self._step.back()
        if before is None:
            return False
        self._go(before)
        return True


def _kinds(code: str, journal: object) -> object:
    return kinds_of(journal, code) if code else ()  # type: ignore[arg-type]


def _find(sought: Sought, journal: object) -> object:
    return find(journal, sought)  # type: ignore[arg-type]
