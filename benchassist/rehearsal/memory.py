"""A journal in memory that is written to disk in one piece at the end.

For the demonstration day: a day of entries in one transaction costs what a few
presses cost, and a day that was broken off leaves nothing behind.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import TypeVar

from benchassist.clock import Instant
from benchassist.domain.events import (
    Entry,
    PartReleased,
    PartScrapped,
    StoreCreated,
)
from benchassist.domain.truth import Line, true_lines
from benchassist.journal import projections, schema
from benchassist.journal.chain import GENESIS, Head
from benchassist.journal.drafts import Draft
from benchassist.journal.history import told
from benchassist.journal.kept import KeptState
from benchassist.journal.projections import touches
from benchassist.journal.writing import Journal

T = TypeVar("T")
# What a question about the tables asks of an entry, beside its number.
_NAMED = ("layer", "stage", "route")


class MemoryJournal:
    """What a session asks of a journal, kept in a list."""

    folder = Path()

    def __init__(self) -> None:
        self._drafts: list[Draft] = []
        self._entries: list[Entry] = []
        self._places: dict[tuple[str, str], list[int]] = {}
        self._beat: Instant | None = None

    @property
    def head(self) -> Head:
        """The last entry's number; its hash is made when it is written."""
        return Head(len(self._entries), GENESIS)

    def append(self, drafts: Sequence[Draft]) -> tuple[Entry, ...]:
        """Take the events of one command; their ids are made when written."""
        first = len(self._entries) + 1
        entries = tuple(
            Entry(
                seq,
                str(seq),
                draft.at,
                draft.operator,
                draft.channel,
                draft.event,
                first,
            )
            for seq, draft in enumerate(drafts, start=first)
        )
        self._drafts.extend(drafts)
        self._entries.extend(entries)
        for entry in entries:
            for kind, subject in {touch[:2] for touch in touches(entry)}:
                self._places.setdefault((kind, subject), []).append(entry.seq)
        return entries

    def entry(self, seq: int) -> Entry:
        """Return one entry, as it was told."""
        if not 0 < seq <= len(self._entries):
            message = f"There is no entry {seq}."
            raise LookupError(message)
        return self._entries[seq - 1]

    def entries_of(
        self,
        subject_kind: str,
        subject: str,
        upto: int | None = None,
        *,
        role: str | None = None,
    ) -> Iterator[Entry]:
        """Yield the entries that concern a subject, in order; in one role or in any."""
        for seq in tuple(self._places.get((subject_kind, subject), ())):
            found = self._entries[seq - 1]
            if (upto is None or seq <= upto) and (
                role is None
                or any(
                    (each.subject_kind, each.subject, each.role)
                    == (subject_kind, subject, role)
                    for each in touches(found)
                )
            ):
                yield found

    def of_kinds(self, kinds: Sequence[str], after: int, upto: int) -> Iterator[Entry]:
        """Yield the entries of some kinds, ``after`` < seq ≤ ``upto``, in order."""
        for entry in self._entries[after:upto]:
            if type(entry.event).__name__ in kinds:
                yield entry

    @property
    def store(self) -> StoreCreated | None:
        """The first event: which store this is; ``None`` while it is empty."""
        first = self._entries[0].event if self._entries else None
        return first if isinstance(first, StoreCreated) else None

    def last_of(
        self, kind: str, subject_kind: str, subject: str, before: int | None = None
    ) -> Entry | None:
        """Return the last entry of a kind that concerns a subject, None without one."""
        for seq in reversed(self._places.get((subject_kind, subject), ())):
            found = self._entries[seq - 1]
            earlier = before is None or seq < before
            if earlier and type(found.event).__name__ == kind:
                return found
        return None

    def told(self, part: str, upto: int | None = None) -> tuple[Entry, ...]:
        """Return all that was told of a part."""
        return told(self, part, len(self._entries) if upto is None else upto)

    def history(self, part: str, upto: int | None = None) -> tuple[Line, ...]:
        """Return what is true of a part."""
        return true_lines(self.told(part, upto), part)

    def asked(self, question: Callable[[sqlite3.Connection], T]) -> T:
        """Return the answer to a question about the tables, which are made for it."""
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
            schema.lay_out(db)
            for entry in self._entries:
                db.execute(
                    "INSERT INTO events VALUES (?, 0, '', ?, ?, ?, '', ?, '', ?, 1, ?,"
                    " NULL, '')",
                    (
                        entry.seq,
                        entry.at.wall_ms,
                        entry.at.offset_min,
                        entry.at.mono_ms,
                        entry.operator,
                        type(entry.event).__name__,
                        _payload(entry),
                    ),
                )
                projections.project(db, entry)
            return question(db)

    def entries(self, after: int = 0) -> Iterator[Entry]:
        """Yield the entries with a higher number than ``after``."""
        yield from self._entries[after:]

    def blank_text(self, act: Draft) -> Entry:
        """Write the act down; what it blanks is blanked when it is on disk."""
        (entry,) = self.append((act,))
        return entry

    def closed_day(self, part: str) -> str:
        """Return the last day on which a part was closed, "" for none."""
        for entry in reversed(self._entries):
            match entry.event:
                case PartReleased(part=code) | PartScrapped(part=code) if code == part:
                    return entry.at.day()
        return ""

    def kept_state(self) -> KeptState:
        """Return no kept state: there is none in memory."""
        return KeptState()

    def keep_state(self, seq: int, text: str) -> None:
        """Keep nothing: the state is in memory anyway."""

    def beat(self, now: Instant) -> None:
        """Note that the program is alive."""
        self._beat = now

    def last_beat(self) -> Instant | None:
        """Return when the program was last alive."""
        return self._beat

    def close(self) -> None:
        """Let nothing go: the entries are still to be written."""

    def write(self, folder: Path) -> Journal:
        """Write everything into a new journal in one transaction; return it open."""
        journal = Journal.open(folder)
        journal.append(self._drafts)
        if self._beat is not None:
            journal.beat(self._beat)
        return journal


def _payload(entry: Entry) -> str:
    """Return of an event what is asked of it in place, as the record has it."""
    told = {name: getattr(entry.event, name, None) for name in _NAMED}
    if told["route"]:
        told["route"] = [{"key": s.key, "title": s.title} for s in told["route"]]
    return json.dumps(told)
