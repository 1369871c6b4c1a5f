"""Decide, write down, evolve, tell: in that order, and nowhere else.

The session owns the state and the writing journal. A command goes in; what comes
out is already on disk. It knows nothing of Qt, and it asks the clock only
through the port it was given.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING

from benchassist import __version__, snapshot
from benchassist.clock import MS, Instant, Now
from benchassist.domain import commands as cm
from benchassist.domain.closing import sign
from benchassist.domain.correction.decide import Decided, correct, corrected
from benchassist.domain.correction.gathered import gather
from benchassist.domain.dark import boots_at
from benchassist.domain.decide import decide, refused_first
from benchassist.domain.deciders.intake import used_before
from benchassist.domain.events import (
    Channel,
    CommandRefused,
    Entry,
    Event,
    StateKept,
    StoreKind,
    TextBlanked,
)
from benchassist.domain.evolve.anew import replay
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Decision, Refusal, Said
from benchassist.domain.recall import Sought, recall
from benchassist.domain.state import Bench
from benchassist.journal.drafts import Draft
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalBusyError,
    JournalError,
)
from benchassist.journal.finding import find
from benchassist.journal.kept import digest
from benchassist.value import replace, value

if TYPE_CHECKING:
    from collections.abc import Mapping

    from benchassist.clock import Boot, Clock
    from benchassist.journal.writing import Writer

SNAPSHOT_EVERY = 500  # [events] folding so many takes a few milliseconds
QUIET_MS = 20_000  # [ms] longer than a spot: nobody is in the middle of a walk
ON_THE_RECORD = (cm.Correct, cm.OpenRecall, cm.SignDay)  # rest on more than the state
LONG = 20_000  # [entries] fewer are folded before anybody wonders
TOLD_EVERY = 2000  # [entries] a tenth of a second or two
SLEPT_BEATS = 2  # heartbeats missed: the machine slept, or the program stood still
WALL_STEP_MS = 2000  # [ms] a step of the wall clock worth writing down


BUSY_MS = 2000  # [ms] a press may wait so long to be written; then it is dropped
BUSY = Refusal(
    "journal-busy",
    "Another program is reading the record: the last press waits to be written.",
    remedy="Wait; it is said when it is written or given up.",
)
NO_BEAT = (
    "The heartbeat cannot be written: look after the disk. Entries are written apart"
    " from it, and one that cannot be is said at once; after a power cut less is known."
)
DROPPED = Refusal(
    "journal-dropped",
    "Nothing was recorded: another program kept the record busy for 2 s.",
    remedy="Close what reads it, then press again.",
)


@value
class _Waiting:
    """What was decided at a moment and is still to be written."""

    events: tuple[Event, ...]
    channel: Channel
    at: Instant


@value
class Outcome:
    """What became of a command: events on disk, or why not, or a word said."""

    entries: tuple[Entry, ...] = ()
    refusal: Refusal | None = None
    said: str = ""

    @property
    def sentence(self) -> str:
        """What the operator is told."""
        return self.refusal.sentence if self.refusal else self.said


Listener = Callable[[Outcome], None]
Progress = Callable[[int, int], None]


class Session:
    """One bench, one journal, one clock."""

    def __init__(
        self, journal: Writer, clock: Clock, reading: Progress | None = None
    ) -> None:
        """Rebuild the state from the journal; nothing is written yet.

        ``reading`` is told how far a long record is read: the entry, and the last.
        """
        self._reading = reading
        self._journal = journal
        self._clock = clock
        self.unwritten = False  # the last entry could not be written down
        self._listeners: list[Listener] = []
        self._bench = Bench()
        self.amiss = self._restore()
        self._waiting: _Waiting | None = None
        self._last_tick: Instant | None = None
        self._last_beat: Instant | None = None
        self._last_event: Instant | None = None
        self._boots: Mapping[str, Boot] | None = None

    @classmethod
    def open(
        cls, journal: Writer, clock: Clock, *, kind: StoreKind, station: str, zone: str
    ) -> Session:
        """Open a journal and begin at once: for those who show no window."""
        try:
            session = cls(journal, clock)
        except JournalError:
            journal.close()
            raise
        session.begin(kind=kind, station=station, zone=zone)
        return session

    def begin(self, *, kind: StoreKind, station: str, zone: str) -> None:
        """Create the store of an empty journal, or ask what happened while away.

        A window is painted first and begins afterwards: the state is already
        there, and writing the first event costs more than drawing it.
        """
        if self._bench.store is None:
            store_id = uuid.uuid4().hex
            self.handle(cm.CreateStore(kind, store_id, station, zone), "tool")
        else:
            self.handle(cm.Reopen(__version__, self._journal.last_beat()), "tool")

    @property
    def bench(self) -> Bench:
        """Return the state as of the last event on disk."""
        return self._bench

    @property
    def journal(self) -> Writer:
        """Return the journal, for those who only read it."""
        return self._journal

    def now(self) -> Now:
        """Return the present instant, which knows how sure the time since others is."""
        at = self._clock.now()
        bench, last = self._bench, self._bench.latest
        if last is None or last.boot == at.boot:
            return Now.at(at, bench.boots)
        if self._boots is None or at.boot not in self._boots:
            # Nothing is written down in this boot yet, but the window asks already.
            self._boots = boots_at(bench.boots, last, at, self._journal.last_beat())
        return Now.at(at, self._boots)

    def subscribe(self, listener: Listener) -> None:
        """Tell ``listener`` every outcome that was not a silent tick."""
        self._listeners.append(listener)

    def handle(self, command: cm.Command, channel: Channel = "hand") -> Outcome:
        """Decide a command, write down what follows, evolve, tell."""
        now = self.now()
        if isinstance(command, cm.PressPedal):
            channel = "pedal"
        outcome = self._decided(command, channel, now)
        if outcome != Outcome():
            self._tell(outcome)
        return outcome

    def _tell(self, outcome: Outcome) -> None:
        for listener in self._listeners:
            listener(outcome)

    def _decided(self, command: cm.Command, channel: Channel, now: Instant) -> Outcome:
        if self._waiting is not None:
            # What waits to be written decides what this one would mean.
            return Outcome(refusal=BUSY)
        decision = self._known_before(command) or self._decision(command, now)
        if isinstance(decision, Said):
            return Outcome(said=decision.message)
        if isinstance(decision, Refusal):
            return self._refused(command, decision, channel, now)
        return self._outcome(decision, channel, now)

    def _outcome(
        self,
        events: tuple[Event, ...],
        channel: Channel,
        now: Instant,
        refusal: Refusal | None = None,
    ) -> Outcome:
        """Write events down; a busy journal keeps them waiting."""
        try:
            entries = self._written(events, channel, now)
        except JournalBusyError:
            self._waiting = _Waiting(events, channel, now)
            return Outcome(refusal=refusal or BUSY)
        except JournalError as error:
            return Outcome(refusal=Refusal("journal", str(error)))
        return Outcome(entries=entries, refusal=refusal)

    def _known_before(self, command: cm.Command) -> Refusal | None:
        """Return what the record, beyond the state, has against a command."""
        if not isinstance(command, cm.TakeIn):
            return None
        closed = self._journal.closed_day(command.part.strip())
        return used_before(self._bench, command, closed)

    def _write_what_waits(self, now: Instant) -> None:
        """Write down what a busy journal kept waiting, at its own time, or drop it."""
        waiting, self._waiting = self._waiting, None
        if waiting is None:
            return
        try:
            entries = self._written(waiting.events, waiting.channel, waiting.at)
        except JournalBusyError:
            if now.since(waiting.at) < BUSY_MS:
                self._waiting = waiting
                return
            self._tell(Outcome(refusal=DROPPED))
        except JournalError as error:
            self._tell(Outcome(refusal=Refusal("journal", str(error))))
        else:
            self._tell(Outcome(entries=entries))

    def _decision(self, command: cm.Command, now: Instant) -> Decision:
        if not isinstance(command, ON_THE_RECORD):
            return decide(self._bench, command, now)
        no = refused_first(self._bench, command)
        if no:
            return no
        match command:
            case cm.Correct():
                found = gather(self._journal, command)
                return correct(self._bench, command, found, now)
            case cm.OpenRecall(kind=kind, code=code, first=first, last=last):
                answer = find(self._journal, Sought(kind, code, first, last))
                return recall(self._bench, command, answer)
            case _:
                head = self._journal.head
                return sign(self._bench, command, head.seq, head.hash.hex(), now)

    def preview(self, command: cm.Correct) -> Decided | Refusal:
        """Return what a correction would change; nothing is written."""
        found = gather(self._journal, command)
        return corrected(self._bench, command, found, self.now())

    def _refused(
        self, command: cm.Command, refusal: Refusal, channel: Channel, now: Instant
    ) -> Outcome:
        if self._bench.store is None:
            return Outcome(refusal=refusal)
        name = type(command).__name__
        event = CommandRefused(name, refusal.code, refusal.part, refusal.numbers)
        return self._outcome((event,), channel, now, refusal)

    def _written(
        self, events: tuple[Event, ...], channel: Channel, now: Instant
    ) -> tuple[Entry, ...]:
        if not events:
            return ()
        operator = self._bench.signed_by
        at = now.plus(0)  # bare: where boots lie is no part of an event
        drafts = [Draft(at, operator, channel, event) for event in events]
        try:
            entries = self._journal.append(drafts)
        except JournalBusyError:
            raise
        except JournalError:
            self.unwritten = True
            raise
        self.unwritten = False
        self._bench = replay(self._bench, entries, self._journal)
        self._last_event = at
        return entries

    def not_counted(self, refusal: Refusal) -> Outcome:
        """Write down that a guard let a press of the foot not count, and tell it.

        While a press that counts waits to be written, this one is told alone.
        """
        about = replace(refusal, part=self._bench.focus)
        outcome = Outcome(refusal=about)
        if self._waiting is None:
            outcome = self._refused(cm.PressPedal(), about, "pedal", self.now())
        self._tell(outcome)
        return outcome

    def tick(self) -> Outcome:
        """Let time pass: beat the heart, note wall steps, end what has ended."""
        now = self._clock.now()
        self._write_what_waits(now)
        if self._waiting is not None:
            return Outcome()  # this look is made up for when the journal is free
        gap_ms = now.since(self._last_tick) if self._last_tick else 0
        if self._last_tick and self._last_tick.boot == now.boot:
            step = now.wall_ms - self._last_tick.wall_ms - gap_ms
            if abs(step) > WALL_STEP_MS:
                self.handle(cm.NoteWallStep(step), "tool")
        if gap_ms > SLEPT_BEATS * limit(self._bench, "heartbeat_s") * MS:
            self.handle(cm.NoteGap(gap_ms), "tool")
        self._last_tick = now
        try:
            self._beat(now)
        except JournalError as error:
            told = str(error) if self.unwritten else NO_BEAT
            self._tell(Outcome(refusal=Refusal("heartbeat", told)))
        self._keep_in_a_quiet_moment(now)
        return self.handle(cm.Tick(gap_ms), "tool")

    def _keep_in_a_quiet_moment(self, now: Instant) -> None:
        """Save a snapshot when nobody is at work: it takes longer than a frame."""
        behind = self._bench.seq - self._snapshot_seq
        quiet = self._last_event is None or now.since(self._last_event) > QUIET_MS
        if behind >= SNAPSHOT_EVERY and quiet:
            # It only makes opening shorter: what is written down stands without.
            with suppress(JournalError):
                self.save_snapshot()

    def _beat(self, now: Instant) -> None:
        due_ms = limit(self._bench, "heartbeat_s") * MS
        if self._last_beat and now.since(self._last_beat) < due_ms:
            return
        self._last_beat = now
        self._journal.beat(now)

    def blank_text(self, entries: tuple[int, ...], reason: str) -> Outcome:
        """Remove the free text of entries: an owner's act, itself written down."""
        now = self._clock.now()
        draft = Draft(now, self._bench.operator, "hand", TextBlanked(entries, reason))
        try:
            entry = self._journal.blank_text(draft)
        except JournalError as error:
            return Outcome(refusal=Refusal("journal", str(error)))
        # The state may repeat the text, and the next snapshot would keep it: both are
        # made anew from what the journal still holds. A rare act that may take long.
        self._restore()
        return Outcome(entries=(entry,))

    def save_snapshot(self) -> None:
        """Keep the state beside the events, so that opening folds only the tail."""
        if self._bench.store is None:
            return
        seq, text = self._bench.seq, snapshot.kept(self._bench, uuid.uuid4().hex)
        self._written((StateKept(digest(text)),), "tool", self._clock.now())
        self._snapshot_seq = self._bench.seq  # a disk that refuses is not asked at once
        self._journal.keep_state(seq, text)

    def _restore(self) -> str:
        """Make the state at the journal's head: one that was kept, then the tail.

        Return what is to be said of a kept one that was not to be believed.
        """
        state = self._journal.kept_state()
        bench = snapshot.believed(state) or Bench()
        self._snapshot_seq = bench.seq
        last = self._journal.head.seq
        tell = self._reading if last - bench.seq > LONG else None
        for entry in self._journal.entries(after=bench.seq):
            if tell is not None and entry.seq % TOLD_EVERY == 0:
                tell(entry.seq, last)
            try:
                bench = replay(bench, (entry,), self._journal)
            except (AttributeError, LookupError, TypeError, ValueError) as error:
                what = f"Entry {entry.seq} does not follow from those before it."
                where = self._journal.folder
                raise DamagedJournalError(where, (what,), entry.seq - 1) from error
        self._bench = bench
        return state.amiss

    def close(self) -> None:
        """Write what waits, keep the state and let the journal go."""
        waiting, self._waiting = self._waiting, None
        if waiting is not None:
            with suppress(JournalError):
                self._written(waiting.events, waiting.channel, waiting.at)
        if self._bench.seq > self._snapshot_seq:
            with suppress(JournalError):
                self.save_snapshot()
        self._journal.close()
