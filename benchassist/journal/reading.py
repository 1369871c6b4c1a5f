"""Everything that can be asked of a journal, by its writer and by any reader.

No statement stays open: at most 500 rows are fetched at a time, up to an entry
fixed at the start, so that no reader stalls a commit. A reader takes no lock.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Self, TypeVar, cast

from benchassist.clock import Instant
from benchassist.domain.events import (
    CarriedForward,
    Entry,
    StateKept,
    StoreCreated,
)
from benchassist.domain.truth import Line, true_lines
from benchassist.journal import kept, projections, schema
from benchassist.journal.backup import copy_into
from benchassist.journal.chain import Head, Row, follows
from benchassist.journal.codec import CODEC, Codec
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalMissingError,
    NewerJournalError,
    translated,
)
from benchassist.journal.files import DATABASE, HEARTBEAT, first_hash
from benchassist.journal.history import told
from benchassist.journal.rows import ROWS, SELECT
from benchassist.journal.slots import read_slots
from benchassist.journal.walks import Walks
from benchassist.value import value

T = TypeVar("T")
PARTS = "SELECT part, state, first_seq, last_seq, closed_day FROM parts"
WAIT_S = 5.0  # [s] a commit or a read waits for the other


@value
class PartRow:
    """Where a part stands: the entries it spans and the local day it was closed."""

    part: str
    state: str
    first_seq: int
    last_seq: int
    closed_day: str | None


class Reader(Walks):
    """The questions; ``Journal`` and ``ReadOnlyJournal`` both answer them."""

    def _all(self, query: str, *given: object) -> list[tuple[Any, ...]]:
        with translated(self.folder):
            found: list[tuple[Any, ...]] = self._db.execute(query, given).fetchall()
        return found

    def _one(self, query: str, *given: object) -> tuple[Any, ...] | None:
        return next(iter(self._all(query, *given)), None)

    def _column(self, query: str, *given: object) -> tuple[Any, ...]:
        return tuple(found for (found,) in self._all(query, *given))

    @property
    def store(self) -> StoreCreated | None:
        """The first event: which store this is; ``None`` while it is empty."""
        first = next(self.entries(upto=1), None)
        return cast("StoreCreated", first.event) if first else None

    @property
    def last_at(self) -> Instant | None:
        """When the last entry was written, whatever it says; ``None`` without one."""
        row = self._one(
            "SELECT wall_ms, offset_min, mono_ms, boot FROM events"
            " ORDER BY seq DESC LIMIT 1"
        )
        return Instant(*row) if row else None

    def of_kinds(self, kinds: Sequence[str], after: int, upto: int) -> Iterator[Entry]:
        """Yield the entries of some kinds, ``after`` < seq ≤ ``upto``, in order."""
        for seq in self.seqs_of_kinds(kinds, after, upto):
            yield from self.entries(seq - 1, seq)

    def seqs_of_kinds(
        self, kinds: Sequence[str], after: int = 0, upto: int | None = None
    ) -> tuple[int, ...]:
        """Return the numbers of the entries of some kinds, in order."""
        marks = ", ".join("?" * len(kinds))
        return self._column(
            f"SELECT seq FROM events WHERE seq > ? AND seq <= coalesce(?, seq)"  # noqa: S608
            f" AND kind IN ({marks}) ORDER BY seq",
            *(after, upto, *kinds),
        )

    def entries_of(
        self,
        subject_kind: str,
        subject: str,
        upto: int | None = None,
        *,
        role: str | None = None,
    ) -> Iterator[Entry]:
        """Yield the entries that concern a subject, in order.

        Parameters
        ----------
        subject_kind
            ``part``, ``lot``, ``lamp``, ``box``, ``vessel``, ``run``, ``operator``,
            ``basket``, ``deviation``, ``material`` or ``recipe``.
        subject
            Its code.
        upto
            The last entry to look at; ``None`` is the head now.
        role
            Only where the subject had this role, such as ``defined``.
        """
        upto = self.head.seq if upto is None else upto
        after = 0
        while True:
            with translated(self.folder):
                rows = self._db.execute(
                    f"""{SELECT} WHERE events.seq IN (
                    SELECT DISTINCT seq FROM touches
                    WHERE subject_kind = ? AND subject = ? AND seq > ? AND seq <= ?
                    AND role = coalesce(?, role) ORDER BY seq LIMIT {ROWS}
                    ) ORDER BY events.seq""",  # noqa: S608 - two constants
                    (subject_kind, subject, after, upto, role),
                ).fetchall()
            if not rows:
                return
            for values in rows:
                yield self._entry(Row(*values))
            after = rows[-1][0]

    def seqs_of(self, subject_kind: str, subject: str) -> tuple[int, ...]:
        """Return the numbers of the entries that concern a subject, in order."""
        return self._column(
            "SELECT DISTINCT seq FROM touches WHERE subject_kind = ?"
            " AND subject = ? ORDER BY seq",
            *(subject_kind, subject),
        )

    def entry(self, seq: int) -> Entry:
        """Return one entry, as it was told.

        Raises
        ------
        LookupError
            If there is none of this number.
        """
        for row in self._rows(seq - 1, seq):
            return self._entry(row)
        message = f"There is no entry {seq}."
        raise LookupError(message)

    def last_of(
        self, kind: str, subject_kind: str, subject: str, before: int | None = None
    ) -> Entry | None:
        """Return the last entry of a kind that concerns a subject, None without one.

        Found backwards from ``before`` (None: the head), so that what was told lately
        costs little however long the record is.
        """
        row = self._one(
            "SELECT touches.seq FROM touches JOIN events ON events.seq ="
            " touches.seq WHERE subject_kind = ? AND subject = ? AND touches.seq"
            " < coalesce(?, touches.seq + 1) AND events.kind = ?"
            " ORDER BY touches.seq DESC LIMIT 1",
            *(subject_kind, subject, before, kind),
        )
        return None if row is None else self.entry(row[0])

    def told(self, part: str, upto: int | None = None) -> tuple[Entry, ...]:
        """Return all that was told of a part, as ``history.told`` says."""
        return told(self, part, self.head.seq if upto is None else upto)

    def history(self, part: str, upto: int | None = None) -> tuple[Line, ...]:
        """Return what is true of a part: what was told, with every correction of it.

        Parameters
        ----------
        part
            Its code.
        upto
            The last entry to look at; ``None`` is the head now. A history up to an
            entry is the same for ever.
        """
        return true_lines(self.told(part, upto), part)

    def part_rows(self, state: str | None = None) -> tuple[PartRow, ...]:
        """Return where each part stands, in order of intake; all or one state."""
        rows = self._all(
            f"{PARTS} WHERE state = coalesce(?, state) ORDER BY first_seq, part", state
        )
        return tuple(PartRow(*row) for row in rows)

    def part_row(self, part: str) -> PartRow | None:
        """Return where a part stands, on whatever day it was last in work."""
        row = self._one(f"{PARTS} WHERE part = ?", part)
        return PartRow(*row) if row else None

    def closed_day(self, part: str) -> str:
        """Return the local day on which a part was last closed, "" for never.

        Capitals do not tell two codes apart.
        """
        (day,) = self._column(
            "SELECT max(closed_day) FROM parts WHERE part = ? COLLATE NOCASE", part
        )
        return day or self._closed_elsewhere(part)

    def _closed_elsewhere(self, part: str) -> str:
        """Return the day on which a part was closed in the store before this one."""
        row = self._one(
            "SELECT seq, subject FROM touches WHERE subject_kind = ?"
            " AND subject = ? COLLATE NOCASE",
            *(projections.ELSEWHERE, part),
        )
        if row is None:
            return ""
        carried = cast("CarriedForward", self.entry(row[0]).event)
        return dict(carried.closed)[row[1]]

    def parts_on(self, day: str, upto: int | None = None) -> tuple[str, ...]:
        """Return the parts that entries of a local day (YYYY-MM-DD) concern."""
        upto = self.head.seq if upto is None else upto
        return self._column(
            "SELECT part FROM part_days WHERE day = ? AND first_seq <= ? ORDER BY part",
            *(day, upto),
        )

    def kept_state(self) -> kept.KeptState:
        """Return the newest kept state that an entry of the chain vouches for.

        One that is damaged, was changed or is of another history is passed over: it
        is only a short cut. Without any it is empty.
        """
        spoilt: list[int] = []
        for seq in kept.found(self.folder):
            text = kept.read(self.folder, seq)
            if text is not None and kept.digest(text) == self._vouched(seq):
                return kept.KeptState(seq, text, tuple(spoilt))
            spoilt.append(seq)
        return kept.KeptState(spoilt=tuple(spoilt))

    def _vouched(self, seq: int) -> str | None:
        """Return the digest that the entry after ``seq`` says the state had."""
        rows, _ = self._rows_left(seq - 1, seq + 1)
        match rows:
            case [Row(seq=at, hash=last), Row(kind=StateKept.__name__) as row] if (
                at == seq and follows(last, row)
            ):
                return str(json.loads(row.payload)["digest"])
        return None

    def last_beat(self) -> Instant | None:
        """Return when the program last said that it was alive with this store."""
        record = read_slots(self.folder / HEARTBEAT)
        if not record or record.get("store", first := self.first_hash()) != first:
            return None
        return Instant(
            wall_ms=int(record["wall_ms"]),
            offset_min=int(record["offset_min"]),
            mono_ms=int(record["mono_ms"]),
            boot=str(record["boot"]),
        )

    def hash_of(self, seq: int) -> bytes | None:
        """Return the hash of an entry, ``None`` where there is none to read."""
        return self._hash_at(seq)

    def asked(self, question: Callable[[sqlite3.Connection], T]) -> T:
        """Return the answer to a question that needs the tables themselves."""
        with translated(self.folder):
            return question(self._db)

    def around(self, day: str) -> tuple[int, int]:
        """Return the first and last entry that a local day can have, with room.

        Entries follow one another in time; a clock that was stepped is why there is
        a day of room on each side.
        """
        begin = datetime.fromisoformat(day).replace(tzinfo=UTC) - timedelta(days=2)
        end = begin + timedelta(days=4)
        return (
            self._first_after(int(begin.timestamp() * 1000)),
            self._first_after(int(end.timestamp() * 1000)) - 1,
        )

    def _first_after(self, wall_ms: int) -> int:
        low, high = 1, self.head.seq + 1
        while low < high:
            middle = (low + high) // 2
            row = self._one(
                "SELECT wall_ms FROM events WHERE seq >= ? ORDER BY seq LIMIT 1", middle
            )
            if row is None or row[0] >= wall_ms:
                high = middle
            else:
                low = middle + 1
        return low

    def first_hash(self) -> str:
        """Return the hash of the first entry (hex), by which a store is known."""
        with translated(self.folder):
            return first_hash(self._db)

    def backup(self, folder: Path) -> Head:
        """Copy the journal as it is now into an empty or new folder.

        The copy is a whole journal with a witness of its own. Other connections
        may write meanwhile.

        Raises
        ------
        JournalWriteError
            If the folder cannot take it.
        JournalBusyError
            If commits came too thick to copy between them.
        """
        return copy_into(self._db, folder)


class ReadOnlyJournal(Reader):
    """A reader beside the writer, for a worker or another program.

    It takes no lock and checks no chain, so that a damaged journal can be read
    as far as it goes; ``walk`` says how far that is.
    """

    @classmethod
    def open(cls, folder: Path, codec: Codec = CODEC) -> Self:
        """Open the journal of a folder for reading.

        Raises
        ------
        JournalMissingError
            If there is none.
        NewerJournalError
            If a later version of the program laid it out.
        DamagedJournalError
            If the file is no journal.
        """
        path = folder / DATABASE
        if not path.is_file():
            message = f"There is no journal in {folder}: choose another folder."
            raise JournalMissingError(message)
        with translated(folder):
            db = sqlite3.connect(
                f"{path.absolute().as_uri()}?mode=ro",
                uri=True,
                timeout=WAIT_S,
                isolation_level=None,
            )
            try:
                check_format(db, folder)
            except BaseException:
                db.close()
                raise
        return cls(db, folder, codec)


def check_format(db: sqlite3.Connection, folder: Path) -> None:
    """Raise unless the open file is a journal of a format that is known."""
    found = schema.format_of(db)
    if found is None:
        raise DamagedJournalError(folder, (f"{DATABASE} is no journal.",), 0)
    if found > schema.FORMAT:
        message = (
            f"The journal in {folder} was laid out by a later version of Bench"
            " Assist; install that version to open it."
        )
        raise NewerJournalError(message)
