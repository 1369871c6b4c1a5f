"""The rows of a journal and the entries they are, for whoever reads or walks it."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Self, cast

from benchassist import __version__
from benchassist.clock import Instant
from benchassist.domain.events import Channel, Entry, ProgramOpened
from benchassist.journal.chain import (
    GENESIS,
    Fault,
    Head,
    Row,
    follows,
    has_header,
    text_fault,
)
from benchassist.journal.codec import NO_TEXT, Codec
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalError,
    NewerJournalError,
    translated,
)

ROWS = 500  # [entries] fetched by one statement

_COLUMNS = ", ".join(
    f"texts.{name}" if name in ("body", "salt", "blanked_by") else f"events.{name}"
    for name in Row._fields
)
SELECT = f"SELECT {_COLUMNS} FROM events LEFT JOIN texts ON texts.seq = events.seq"  # noqa: S608 - names of columns


class Rows:
    """An open journal, read some hundred rows at a time."""

    on_disk = True  # a chain and a witness vouch for it

    def __init__(self, db: sqlite3.Connection, folder: Path, codec: Codec) -> None:
        self.folder = folder
        self._db = db
        self._codec = codec

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    @property
    def head(self) -> Head:
        """The last entry's number and hash, read from the disk."""
        return self._last()

    def _last(self) -> Head:
        with translated(self.folder):
            row = self._db.execute(
                "SELECT seq, hash FROM events ORDER BY seq DESC LIMIT 1"
            ).fetchone()
        return Head(*row) if row else Head(0, GENESIS)

    def entries(self, after: int = 0, upto: int | None = None) -> Iterator[Entry]:
        """Yield the entries ``after`` < seq ≤ ``upto`` (``None``: the head now).

        Raises
        ------
        DamagedJournalError
            If an entry cannot be read.
        NewerJournalError
            If a later version of the program wrote one.
        """
        upto = self.head.seq if upto is None else upto
        while after < upto:
            rows = self._rows(after, upto)
            if not rows:
                return
            for row in rows:
                yield self._entry(row)
            after = rows[-1].seq

    def readable(self, after: int, upto: int) -> Iterator[Entry]:
        """Yield those entries ``after`` < seq ≤ ``upto`` that can be read."""
        for start in range(after, upto, ROWS):
            for row in self._rows_left(start, min(start + ROWS, upto))[0]:
                with suppress(JournalError):
                    yield self._entry(row)

    def _rows(self, after: int, upto: int) -> list[Row]:
        with translated(self.folder):
            rows = self._db.execute(
                f"{SELECT} WHERE events.seq > ? AND events.seq <= ?"
                f" ORDER BY events.seq LIMIT {ROWS}",
                (after, upto),
            ).fetchall()
        return [Row(*values) for values in rows]

    def _rows_left(self, after: int, upto: int) -> tuple[list[Row], list[Fault]]:
        """Return the rows that can be read, and a fault for each that cannot."""
        try:
            return self._rows(after, upto), []
        except DamagedJournalError:
            if upto - after == 1:
                return [], [Fault(upto, f"Entry {upto} cannot be read.")]
        middle = (after + upto) // 2
        rows, unreadable = self._rows_left(after, middle)
        more, worse = self._rows_left(middle, upto)
        return rows + more, unreadable + worse

    def _hash_at(self, seq: int) -> bytes | None:
        if seq == 0:
            return GENESIS
        rows, _ = self._rows_left(seq - 1, seq)
        return rows[0].hash if rows else None

    def _entry(self, row: Row) -> Entry:
        blanked = row.text_digest is not None and row.body is None
        try:
            event = self._codec.decode(
                row.kind, row.version, row.payload, NO_TEXT if blanked else row.body
            )
        except (LookupError, TypeError, ValueError, NewerJournalError) as error:
            raise self._not_understood(row) from error
        if not has_header(row):
            raise self._not_understood(row)
        return Entry(
            seq=row.seq,
            id=row.id,
            at=Instant(row.wall_ms, row.offset_min, row.mono_ms, row.boot),
            operator=row.operator,
            channel=cast("Channel", row.channel),
            event=event,
            act=row.batch,
        )

    def _not_understood(self, row: Row) -> JournalError:
        """Return whether an entry is damaged, or whole and of another program."""
        last = self._hash_at(row.seq - 1)
        if last is None or not follows(last, row) or text_fault(row):
            what = f"Entry {row.seq} cannot be understood."
            return DamagedJournalError(self.folder, (what,), row.seq - 1)
        return NewerJournalError(
            f"Entry {row.seq} is whole; this program does not know its form:"
            f" {self._written_by(row.seq)} wrote it. Install that version to go on;"
            " nothing was changed."
        )

    def _written_by(self, seq: int) -> str:
        with translated(self.folder):
            found = self._db.execute(
                "SELECT payload FROM events WHERE kind = ? AND seq < ?"
                " ORDER BY seq DESC LIMIT 1",
                (ProgramOpened.__name__, seq),
            ).fetchone()
        try:
            version = json.loads(found[0])["program_version"] if found else ""
        except (LookupError, TypeError, ValueError):
            version = ""
        if version in ("", __version__):
            return "a later version of Bench Assist"
        return f"Bench Assist {version}"
