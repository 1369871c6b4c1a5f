"""The one writer of a journal: a command's events are on the disk, or none is.

One connection in one thread writes, behind a lock file. Nothing is decided here
and nothing is ever mended in silence.
"""

from __future__ import annotations

import os
import sqlite3
import uuid
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from typing import Self

from benchassist.clock import Instant, RealClock
from benchassist.domain.events import Channel, Entry, Event, StoreCreated
from benchassist.journal import projections, schema
from benchassist.journal.chain import Head, Row, link, text_digest
from benchassist.journal.codec import CODEC, Codec
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalError,
    JournalLockedError,
    JournalLostError,
    JournalWriteError,
    UnwritableEventError,
    translated,
)
from benchassist.journal.files import (
    DATABASE,
    HEARTBEAT,
    LOCK,
    WITNESS,
    copy_aside,
    first_hash,
    witness_record,
)
from benchassist.journal.lock import FileLock
from benchassist.journal.opening import (
    OpeningReport,
    check_presence,
    inspect,
)
from benchassist.journal.reading import SNAPSHOT_FORMAT, WAIT_S, Reader, check_format
from benchassist.journal.slots import SlotFile, read_slots

_SALT_BYTES = 16
_EXTRA = 3  # what PRAGMA synchronous reads back as EXTRA
_SNAPSHOTS = 2  # kept, so that a damaged one leaves another
_INSERT = f"INSERT INTO events VALUES ({', '.join('?' * 14)})"  # noqa: S608 - marks only


@dataclass(frozen=True)
class Draft:
    """An event that is about to be written: when, by whom, by what channel."""

    at: Instant
    operator: str
    channel: Channel
    event: Event


class Journal(Reader):
    """The open journal of a folder; ``Journal.open`` makes one.

    Attributes
    ----------
    opening
        How the journal was found.
    last_commit_ms
        What the last commit took, the witness included.
    """

    def __init__(
        self,
        db: sqlite3.Connection,
        folder: Path,
        codec: Codec,
        opening: OpeningReport,
        held: ExitStack,
    ) -> None:
        super().__init__(db, folder, codec)
        self.opening = opening
        self.last_commit_ms = 0
        self._held = held
        self._head = opening.head
        self._first = first_hash(db)
        self._place = _place(folder)
        self._closed_to_writing = ""
        self._clock = RealClock()  # what a commit costs is real time
        self._witness = SlotFile(folder / WITNESS)
        held.callback(self._witness.close)
        self._heartbeat = SlotFile(folder / HEARTBEAT)
        held.callback(self._heartbeat.close)
        if opening.witness != "agrees":
            self._witness.write(witness_record(self._head, self._first))

    @classmethod
    def open(
        cls, folder: Path, *, despite_damage: bool = False, codec: Codec = CODEC
    ) -> Self:
        """Open the journal of a folder for writing; a new folder gets a new one.

        Parameters
        ----------
        folder
            Where the journal lies.
        despite_damage
            The owner saw what is damaged and goes on: a copy is set aside first.
        codec
            The kinds of event there are.

        Raises
        ------
        JournalLockedError
            If another window has it open.
        JournalReadOnlyError, JournalFullError, JournalWriteError
            If the folder cannot be written to.
        NewerJournalError
            If a later version of the program laid it out.
        DamagedJournalError
            If what is on disk is not what was written.
        """
        with ExitStack() as held, translated(folder):
            folder.mkdir(parents=True, exist_ok=True)
            held.callback(_lock(folder).release)
            witness = read_slots(folder / WITNESS)
            check_presence(folder, witness)
            db = sqlite3.connect(
                folder / DATABASE, timeout=WAIT_S, isolation_level=None
            )
            held.callback(db.close)
            _prepare(db, folder)
            opening = inspect(db, Reader(db, folder, codec), witness)
            if opening.damage and not despite_damage:
                raise DamagedJournalError(folder, opening.damage, opening.readable_to)
            if opening.damage:
                opening = replace(opening, set_aside=copy_aside(folder))
            journal = cls(db, folder, codec, opening, held)
            if projections.version_of(db) != projections.VERSION:
                journal.rebuild_projections()
            journal._held = held.pop_all()
        return journal

    def close(self) -> None:
        """Close the files and give the lock back."""
        self._held.close()

    @property
    def head(self) -> Head:
        """The last entry's number and hash."""
        return self._head

    def append(self, drafts: Sequence[Draft]) -> tuple[Entry, ...]:
        """Write the events of one command, all or none, and wait for the disk.

        Parameters
        ----------
        drafts
            The events in order.

        Returns
        -------
        tuple of Entry
            The events as they now stand in the journal.

        Raises
        ------
        UnwritableEventError
            If an event could not be read back, or may not stand here.
        JournalWriteError, JournalBusyError
            If the disk refused; nothing was recorded.
        JournalLostError
            If the file on the disk is no longer the one that was opened.
        """
        if not drafts:
            return ()
        if any(type(d.event).__name__ == schema.BLANKING_KIND for d in drafts):
            message = "A text is blanked by blank_text, which logs it."
            raise UnwritableEventError(message)
        return self._commit(drafts)

    def blank_text(self, act: Draft) -> Entry:
        """Write an owner's act and remove the free text that it names, in one.

        The chain stays whole: it covers a salted digest of the text, and the salt
        goes with the text. All snapshots go too, as they may repeat it; save a
        new one. Copies made before (backups, exports) are out of reach.

        Parameters
        ----------
        act
            A ``TextBlanked`` event; its ``entries`` are the numbers of the entries
            whose text is removed.

        Raises
        ------
        UnwritableEventError
            If an entry that it names has no text to remove.
        """
        if type(act.event).__name__ != schema.BLANKING_KIND:
            message = f"Only a {schema.BLANKING_KIND} event blanks a text."
            raise UnwritableEventError(message)
        (entry,) = self._commit((act,))
        return entry

    def save_snapshot(self, seq: int, text: str) -> None:
        """Keep the state after entry ``seq`` as text, so that opening is short."""
        with self._transaction():
            self._db.execute(
                "INSERT OR REPLACE INTO snapshots"
                " SELECT seq, ?, hash, ?, ? FROM events WHERE seq = ?",
                (SNAPSHOT_FORMAT, sha256(text.encode()).digest(), text, seq),
            )
            self._db.execute(
                "DELETE FROM snapshots WHERE seq NOT IN"
                " (SELECT seq FROM snapshots ORDER BY seq DESC LIMIT ?)",
                (_SNAPSHOTS,),
            )

    def beat(self, now: Instant) -> None:
        """Write down that the program is alive; not an event."""
        with translated(self.folder):
            self._heartbeat.write(
                {
                    "wall_ms": now.wall_ms,
                    "offset_min": now.offset_min,
                    "mono_ms": now.mono_ms,
                    "boot": now.boot,
                }
            )

    def rebuild_projections(self) -> None:
        """Make the tables that answer questions again, from the entries alone."""
        with self._transaction():
            projections.clear(self._db)
            for entry in self.entries():
                projections.project(self._db, entry)

    def _commit(self, drafts: Sequence[Draft]) -> tuple[Entry, ...]:
        rows = self._rows_of(drafts)
        entries = tuple(
            Entry(row.seq, row.id, draft.at, draft.operator, draft.channel, draft.event)
            for row, draft in zip(rows, drafts, strict=True)
        )
        started = self._clock.now()
        with self._transaction():
            for row, entry in zip(rows, entries, strict=True):
                self._insert(row, entry)
        self._head = Head(rows[-1].seq, rows[-1].hash)
        self._first = self._first or rows[0].hash.hex()
        self._bear_witness()
        self.last_commit_ms = self._clock.now().since(started)
        return entries

    def _insert(self, row: Row, entry: Entry) -> None:
        self._db.execute(_INSERT, row[:14])
        if row.body is not None:
            self._db.execute(
                "INSERT INTO texts VALUES (?, ?, ?, NULL)",
                (row.seq, row.body, row.salt),
            )
        projections.project(self._db, entry)
