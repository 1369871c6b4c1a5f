"""The one writer of a journal: a command's events are on the disk, or none is.

One connection in one thread writes, behind a lock file. Nothing is decided here
and nothing is ever mended in silence. What needs no disk for it is ``Writer``'s.
"""

from __future__ import annotations

import json
import os
import sqlite3
from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Self

from benchassist.clock import Instant
from benchassist.domain.events import Entry
from benchassist.journal import kept, projections, schema
from benchassist.journal.chain import Head, Row
from benchassist.journal.codec import CODEC, Codec
from benchassist.journal.drafts import Draft, rows_of
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalError,
    JournalLockedError,
    JournalLostError,
    JournalWriteError,
    NewerJournalError,
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
from benchassist.journal.reading import WAIT_S, Reader, check_format
from benchassist.journal.slots import SlotFile, read_slots

BUSY_MS = 50  # [ms] a commit waits for a reader; the session tries again at a look
_EXTRA = 3  # what PRAGMA synchronous reads back as EXTRA
_INSERT = f"INSERT INTO events VALUES ({', '.join('?' * 14)})"  # noqa: S608 - marks only


class Writer(Reader, ABC):
    """Writes entries into open tables: what a session asks of its journal."""

    def __init__(self, db: sqlite3.Connection, folder: Path, codec: Codec) -> None:
        super().__init__(db, folder, codec)
        self._head = self._last()

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

    @abstractmethod
    def blank_text(self, act: Draft) -> Entry:
        """Write an owner's act and remove the free text that it names."""

    @abstractmethod
    def keep_state(self, seq: int, text: str) -> None:
        """Keep the state after entry ``seq`` as text, so that opening is short."""

    @abstractmethod
    def beat(self, now: Instant) -> None:
        """Write down that the program is alive; not an event."""

    def _commit(self, drafts: Sequence[Draft]) -> tuple[Entry, ...]:
        rows = rows_of(drafts, self._head, self._codec)
        entries = tuple(
            Entry(
                row.seq,
                row.id,
                draft.at,
                draft.operator,
                draft.channel,
                draft.event,
                row.batch,
            )
            for row, draft in zip(rows, drafts, strict=True)
        )
        try:
            with self._transaction():
                for row, entry in zip(rows, entries, strict=True):
                    self._insert(row, entry)
        except (OverflowError, ValueError) as error:
            message = f"An entry cannot be recorded: {error}"
            raise UnwritableEventError(message) from error
        self._head = Head(rows[-1].seq, rows[-1].hash)
        return entries

    def _insert(self, row: Row, entry: Entry) -> None:
        self._db.execute(_INSERT, row[:14])
        if row.body is not None:
            self._db.execute(
                "INSERT INTO texts VALUES (?, ?, ?, NULL)",
                (row.seq, row.body, row.salt),
            )
        if row.kind == schema.BLANKING_KIND:
            self._blank(row)
        projections.project(self._db, entry)

    def _blank(self, act: Row) -> None:
        for seq in json.loads(act.payload)["entries"]:
            blanked = self._db.execute(
                "UPDATE texts SET body = NULL, salt = NULL, blanked_by = ?"
                " WHERE seq = ? AND body IS NOT NULL",
                (act.seq, seq),
            )
            if not blanked.rowcount:
                message = f"Entry {seq} has no text to remove."
                raise UnwritableEventError(message)
        self._db.execute("DELETE FROM snapshots")

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        with translated(self.folder):
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield
            except BaseException:
                self._db.execute("ROLLBACK")
                raise
            self._db.execute("COMMIT")


class Journal(Writer):
    """The open journal of a folder; ``Journal.open`` makes one.

    Attributes
    ----------
    opening
        How the journal was found.
    """

    def __init__(
        self,
        db: sqlite3.Connection,
        folder: Path,
        codec: Codec,
        *,
        opening: OpeningReport,
        witness: SlotFile,
        heartbeat: SlotFile,
        held: ExitStack,
    ) -> None:
        super().__init__(db, folder, codec)
        self.opening = opening
        self._witness = witness
        self._heartbeat = heartbeat
        self._held = held
        self._first = first_hash(db)
        self._names = (os.fspath(folder / DATABASE), os.fspath(folder / WITNESS))
        self._place = self._files()
        self._why_closed = ""

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
            If a later version of the program laid it out or wrote it last.
        DamagedJournalError
            If what is on disk is not what was written.
        """
        with ExitStack() as held, translated(folder):
            folder.mkdir(parents=True, exist_ok=True)
            held.callback(lock(folder).release)
            seen, beat = read_slots(folder / WITNESS), read_slots(folder / HEARTBEAT)
            check_presence(folder, seen, beat)
            db = sqlite3.connect(
                folder / DATABASE, timeout=WAIT_S, isolation_level=None
            )
            held.callback(db.close)
            _prepare(db, folder)
            _not_newer(db, folder)
            reader = Reader(db, folder, codec)
            opening = inspect(db, reader, seen, beat)
            if opening.damage and not despite_damage:
                raise DamagedJournalError(folder, opening.damage, opening.readable_to)
            if opening.damage:
                opening = replace(opening, set_aside=copy_aside(folder))
                if not schema.is_intact(db):
                    schema.restore_guards(db)
            witness = SlotFile(folder / WITNESS)
            held.callback(witness.close)
            if opening.witness != "agrees":
                witness.write(witness_record(opening.head, first_hash(db)))
            heartbeat = SlotFile(folder / HEARTBEAT)
            held.callback(heartbeat.close)
            journal = cls(
                db,
                folder,
                codec,
                opening=opening,
                witness=witness,
                heartbeat=heartbeat,
                held=held.pop_all(),
            )
            held.callback(journal.close)
            if projections.version_of(db) != projections.VERSION:
                journal.rebuild_projections()
            db.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
            held.pop_all()
        return journal

    def close(self) -> None:
        """Close the files and give the lock back."""
        self._held.close()

    def blank_text(self, act: Draft) -> Entry:
        """Write an owner's act and remove the free text that it names, in one.

        The chain stays whole: it covers a salted digest of the text, and the salt
        goes with the text. Every kept state goes too, as it may repeat it; keep a
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
        with translated(self.folder):
            kept.remove(self.folder)
        (entry,) = self._commit((act,))
        return entry

    def keep_state(self, seq: int, text: str) -> None:
        """Keep the state after entry ``seq`` as text, so that opening is short.

        It is believed if the entry after ``seq`` carries its digest.
        """
        with translated(self.folder):
            kept.write(self.folder, seq, text)

    def kept_state(self) -> kept.KeptState:
        """Return the newest state that is vouched for; set others aside."""
        state = super().kept_state()
        with translated(self.folder):
            for seq in state.spoilt:
                kept.set_aside(self.folder, seq)
        return state

    def beat(self, now: Instant) -> None:
        """Write down that the program is alive; not an event."""
        with translated(self.folder):
            self._heartbeat.write(
                {
                    "wall_ms": now.wall_ms,
                    "offset_min": now.offset_min,
                    "mono_ms": now.mono_ms,
                    "boot": now.boot,
                    "store": self._first,
                    "seq": self._head.seq,
                }
            )

    def rebuild_projections(self) -> None:
        """Make the tables that answer questions again, from the entries alone."""
        with self._transaction():
            projections.clear(self._db)
            for entry in self.entries():
                projections.project(self._db, entry)

    def _commit(self, drafts: Sequence[Draft]) -> tuple[Entry, ...]:
        entries = super()._commit(drafts)
        self._first = self._first or first_hash(self._db)
        self._bear_witness()
        return entries

    def _bear_witness(self) -> None:
        """Note the new head beside the journal.

        The commit stands whatever happens here. A witness that cannot follow
        closes the journal to further writing, so that it is never two behind.
        """
        try:
            self._witness.write(witness_record(self._head, self._first))
        except OSError as error:
            self._why_closed = (
                f"The witness file in {self.folder} cannot be written"
                f" ({error.strerror}): look after the disk and open the program again."
            )

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        if self._why_closed:
            raise JournalWriteError(self._why_closed)
        try:
            with translated(self.folder):
                self._db.execute("BEGIN IMMEDIATE")
                yield
                self._db.execute("COMMIT")
        except BaseException:
            self._roll_back()
            self._stay_in_place()
            raise
        self._stay_in_place()

    def _roll_back(self) -> None:
        """Undo the open transaction, and make sure that it is undone."""
        try:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")
            undone = self._last() == self._head
        except (sqlite3.Error, JournalError):
            undone = False
        if not undone:
            self._why_closed = (
                f"The disk of {self.folder} does not say what it holds: look after it"
                " and open the program again."
            )

    def _stay_in_place(self) -> None:
        """Raise when what was written went into a file that has been deleted."""
        if self._files() != self._place:
            self._why_closed = (
                f"The journal in {self.folder} was deleted or replaced while the"
                " program ran: nothing is recorded any more; note by hand what runs"
                " and close the program."
            )
            raise JournalLostError(self._why_closed)

    def _files(self) -> list[tuple[int, int]]:
        """Return which files on the disk the journal's names stand for."""
        try:
            found = [os.stat(name) for name in self._names]  # noqa: PTH116 - per commit
        except OSError:
            return []
        return [(file.st_dev, file.st_ino) for file in found]


def lock(folder: Path) -> FileLock:
    """Return the lock of a folder's journal, taken.

    Raises
    ------
    JournalLockedError
        If another window has it.
    """
    try:
        return FileLock(folder / LOCK)
    except BlockingIOError as error:
        message = (
            f"The journal in {folder} is open in another window: use that one, or"
            " close it first."
        )
        raise JournalLockedError(message) from error


def _not_newer(db: sqlite3.Connection, folder: Path) -> None:
    """Raise when a later program made the derived tables: ours would unmake them."""
    made = projections.version_of(db)
    if made is not None and made > projections.VERSION:
        message = (
            f"The journal in {folder} was written by a later version of Bench Assist;"
            " install that version to go on; nothing was changed."
        )
        raise NewerJournalError(message)


def _prepare(db: sqlite3.Connection, folder: Path) -> None:
    """Set how the file is written, read it back, and lay out a new one."""
    if schema.is_empty(db):
        schema.create(db)
    check_format(db, folder)
    db.execute("PRAGMA fullfsync = ON")  # without it macOS leaves writes in the drive
    db.execute("PRAGMA secure_delete = ON")  # a blanked text leaves no copy
    db.execute("PRAGMA synchronous = EXTRA")
    (mode,) = db.execute("PRAGMA journal_mode = TRUNCATE").fetchone()
    (level,) = db.execute("PRAGMA synchronous").fetchone()
    if (mode, level) != ("truncate", _EXTRA):
        message = (
            f"The disk of {folder} does not let a journal be written through"
            f" (mode {mode}, level {level}): choose another folder."
        )
        raise JournalWriteError(message)
    # SQLite opens a read-only file without a word; the first command is too late.
    db.execute("BEGIN IMMEDIATE")
    db.execute(f"PRAGMA user_version = {schema.FORMAT}")
    db.execute("ROLLBACK")
