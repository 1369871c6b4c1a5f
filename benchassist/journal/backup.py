"""A copy of a journal by SQLite's backup interface, never by copying the file."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from benchassist.journal.chain import GENESIS, Head
from benchassist.journal.errors import JournalBusyError, JournalWriteError, translated
from benchassist.journal.files import DATABASE, WITNESS, first_hash, witness_record
from benchassist.journal.slots import SlotFile

_PAGES = 1000  # [pages] copied between two chances for a commit
_RESTARTS = 20  # a commit by another connection makes a backup begin again


def copy_into(db: sqlite3.Connection, folder: Path) -> Head:
    """Copy the open journal into an empty or new folder; return the copy's head."""
    with translated(folder):
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            message = f"The folder {folder} is not empty: give the backup its own."
            raise JournalWriteError(message)
        with closing(sqlite3.connect(folder / DATABASE)) as copy:
            db.backup(copy, pages=_PAGES, progress=_Patience(), sleep=0.001)
            row = copy.execute(
                "SELECT seq, hash FROM events ORDER BY seq DESC LIMIT 1"
            ).fetchone()
            head = Head(*row) if row else Head(0, GENESIS)
            first = first_hash(copy)
        witness = SlotFile(folder / WITNESS)
        witness.write(witness_record(head, first))
        witness.close()
    return head


class _Patience:
    """Counts how often a backup had to begin again, and gives up in the end."""

    def __init__(self) -> None:
        self._restarts = 0
        self._remaining: int | None = None

    def __call__(self, status: int, remaining: int, total: int) -> None:
        del status, total
        if self._remaining is not None and remaining > self._remaining:
            self._restarts += 1
        self._remaining = remaining
        if self._restarts > _RESTARTS:
            message = (
                "The backup found no quiet moment between the commits: try again"
                " when the bench rests."
            )
            raise JournalBusyError(message)
