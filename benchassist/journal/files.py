"""The files of a journal's folder, and what the witness beside it says."""

from __future__ import annotations

import shutil
import sqlite3
from itertools import count
from pathlib import Path

from benchassist.journal.chain import Head

DATABASE = "journal.sqlite"
ROLLBACK = "journal.sqlite-journal"  # SQLite's own; never to be deleted by hand
WITNESS = "witness"
HEARTBEAT = "heartbeat"
LOCK = "lock"
KEPT_STATES = "state-*"


def first_hash(db: sqlite3.Connection) -> str:
    """Return the hash of the first entry, by which a store is known; or ``""``."""
    row = db.execute("SELECT hash FROM events WHERE seq = 1").fetchone()
    return row[0].hex() if row else ""


def witness_record(head: Head, first: str) -> dict[str, str | int]:
    """Return what the witness file says: the last entry, and of which store."""
    return {"seq": head.seq, "hash": head.hash.hex(), "store": first}


def copy_aside(folder: Path) -> Path:
    """Copy a damaged journal, byte by byte, into a new folder within its own.

    Call it under the lock, with no transaction open.
    """
    aside = _new_aside(folder)
    for name in (DATABASE, ROLLBACK, WITNESS, HEARTBEAT):
        if (folder / name).exists():
            shutil.copy2(folder / name, aside / name)
    return aside


def move_aside(folder: Path) -> Path:
    """Move a journal with all that belongs to it into a new folder within its own.

    Call it under the lock, with the journal closed. The lock stays.
    """
    aside = _new_aside(folder)
    for path in _of_journal(folder):
        path.replace(aside / path.name)
    return aside


def move_back(aside: Path) -> None:
    """Undo ``move_aside``: what was begun in the journal's place is gone."""
    folder = aside.parent
    for path in _of_journal(folder):
        path.unlink()
    for path in list(aside.iterdir()):
        path.replace(folder / path.name)
    aside.rmdir()


def _of_journal(folder: Path) -> list[Path]:
    names = (DATABASE, ROLLBACK, WITNESS, HEARTBEAT)
    found = [folder / name for name in names if (folder / name).exists()]
    return [*found, *folder.glob(KEPT_STATES)]


def _new_aside(folder: Path) -> Path:
    aside = next(
        path
        for number in count(1)
        if not (path := folder / f"set-aside-{number}").exists()
    )
    aside.mkdir()
    return aside
