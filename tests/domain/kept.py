"""A desk whose entries can be found again, so that what was told can be put right."""

from __future__ import annotations

import copy

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.correction.decide import correct, corrected
from benchassist.domain.correction.gathered import gather
from benchassist.domain.decide import decide
from benchassist.domain.evolve.anew import replay
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.state import Bench
from benchassist.journal.drafts import Draft
from benchassist.rehearsal.memory import MemoryJournal
from tests.domain.builders import Desk


class KeptDesk(Desk):
    """As ``Desk``, with a journal in memory and corrections."""

    def __init__(self, **more):
        self.book = MemoryJournal()
        super().__init__(**more)

    def do(self, command, channel="hand"):
        if isinstance(command, cm.Correct):
            found = gather(self.book, command)
            decision = correct(self.bench, command, found, self.now)
        else:
            decision = decide(self.bench, command, self.now)
        if not isinstance(decision, Refusal | Said):
            self.take_all(decision, channel)
        return decision

    def happened(self, event, channel="hand"):
        self.take_all((event,), channel)

    def take_all(self, events, channel):
        """Take the events of one command into journal and state."""
        if not events:
            return
        drafts = [Draft(self.now, self.bench.operator, channel, e) for e in events]
        entries = self.book.append(drafts)
        self.entries += entries
        self.bench = replay(self.bench, entries, self.book)

    def last(self, kind, part="", nth=-1):
        """Return the number of an entry of a kind that concerns a part."""
        found = [
            entry.seq
            for entry in self.entries
            if isinstance(entry.event, kind)
            and (not part or part in getattr(entry.event, "parts", (part,)))
            and (not part or getattr(entry.event, "part", part) == part)
        ]
        return found[nth]

    def put_right(self, entry, field, text, part="", reason="told wrong"):
        """Put an entry right; it has to be accepted."""
        return self.must(cm.Correct(entry, field, text, reason, part))

    def preview(self, entry, field, text, part=""):
        """Return what putting an entry right would come to."""
        command = cm.Correct(entry, field, text, "", part)
        return corrected(self.bench, command, gather(self.book, command), self.now)

    def again(self):
        """Return the bench as a restart without a snapshot makes it."""
        return replay(Bench(), self.book.entries(), self.book)

    def fork(self):
        """Return a desk of its own that stands where this one stands."""
        twin = copy.copy(self)
        twin.clock, twin.entries = copy.copy(self.clock), list(self.entries)
        twin.book = copy.deepcopy(self.book)
        return twin


def deviations(desk):
    """Return the texts of the deviations that corrections opened."""
    return [
        event.text
        for event in desk.events(ev.DeviationOpened)
        if event.rule == "corrected"
    ]
