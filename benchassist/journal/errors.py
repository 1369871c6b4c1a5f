"""What can go wrong with a journal, each error one plain sentence.

::

    JournalError
    ├─ JournalMissingError       there is none here to read
    ├─ JournalLockedError        another window writes it
    ├─ JournalBusyError          somebody reads it longer than a commit may wait
    ├─ JournalWriteError         the disk refused; nothing was recorded
    │  ├─ JournalFullError       ... because it is full
    │  └─ JournalReadOnlyError   ... because the folder is read-only
    ├─ JournalLostError          the file is no longer the one that was opened
    ├─ NewerJournalError         a later version of the program wrote it
    ├─ UnwritableEventError      an event that could not be read back
    └─ DamagedJournalError       what is on disk is not what was written

It knows sqlite3's and the system's error codes, and no journal.
"""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from benchassist.plain import PlainError

_PRIMARY = 0xFF  # the low byte of an extended SQLite result code is the primary one


class JournalError(PlainError):
    """The journal cannot do what was asked; the message is for the operator."""


class JournalMissingError(JournalError):
    """There is no journal in this folder."""


class JournalLockedError(JournalError):
    """Another window has this journal open for writing."""


class JournalBusyError(JournalError):
    """Another reader or writer kept the file longer than a commit may wait."""


class JournalWriteError(JournalError):
    """The disk refused to write; nothing of the command was recorded."""


class JournalFullError(JournalWriteError):
    """The disk is full; nothing of the command was recorded."""


class JournalReadOnlyError(JournalWriteError):
    """The folder or its disk is read-only."""


class JournalLostError(JournalError):
    """The journal's file was deleted or replaced while the program ran."""


class NewerJournalError(JournalError):
    """The journal was written by a later version of the program."""


class UnwritableEventError(JournalError):
    """An event was refused because it could not be read back as it is."""


class DamagedJournalError(JournalError):
    """What is on disk is not what was written.

    Attributes
    ----------
    findings
        One plain sentence for each thing found.
    readable_to
        The last entry before the damage, 0 for none, or ``None`` where only a
        walk over the whole chain can say.
    """

    def __init__(
        self, folder: Path, findings: tuple[str, ...], readable_to: int | None = None
    ) -> None:
        self.findings = findings
        self.readable_to = readable_to
        what = " ".join(findings)
        super().__init__(
            f"The journal in {folder} is damaged: {what} {_readable(readable_to)}"
            " Put a backup in its place, or go on with a copy set aside."
        )


def _readable(readable_to: int | None) -> str:
    match readable_to:
        case None:
            return "How much can still be read is not known yet."
        case 0:
            return "Nothing in it can be read."
        case _:
            return f"Entries up to {readable_to} can still be read."


@contextmanager
def translated(folder: Path) -> Iterator[None]:
    """Turn errors of SQLite and of the file system into the journal's own."""
    try:
        yield
    except sqlite3.ProgrammingError:
        raise  # ours, not the file's: it belongs to the fault handler
    except sqlite3.Error as error:
        raise from_sqlite(error, folder) from error
    except UnicodeDecodeError as error:
        # Python cannot even spell SQLite's complaint about a damaged table.
        raise DamagedJournalError(folder, ("Its tables cannot be read.",)) from error
    except OSError as error:
        raise from_os(error, folder) from error


def from_sqlite(error: sqlite3.Error, folder: Path) -> JournalError:
    """Return what an SQLite error means for the operator."""
    code = getattr(error, "sqlite_errorcode", None)
    match code & _PRIMARY if code is not None else None:
        case sqlite3.SQLITE_FULL:
            return JournalFullError(_full(folder))
        case sqlite3.SQLITE_IOERR:
            return JournalWriteError(
                f"The disk refused the journal in {folder} ({error}): nothing was"
                " recorded; look after the disk and its free space."
            )
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM | sqlite3.SQLITE_CANTOPEN:
            return JournalReadOnlyError(_read_only(folder))
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return JournalBusyError(
                f"Another program is using the journal in {folder}: nothing was"
                " recorded; close it and try again."
            )
        case _:
            return DamagedJournalError(folder, (f"SQLite says: {error}.",))


def from_os(error: OSError, folder: Path) -> JournalError:
    """Return what an error of the file system means for the operator."""
    match error.errno:
        case errno.ENOSPC | errno.EDQUOT:
            return JournalFullError(_full(folder))
        case errno.EACCES | errno.EPERM | errno.EROFS:
            return JournalReadOnlyError(_read_only(folder))
        case _:
            return JournalWriteError(
                f"The folder {folder} cannot hold a journal"
                f" ({error.strerror or error}): choose another one."
            )


def _full(folder: Path) -> str:
    return (
        f"The disk of {folder} is full: nothing was recorded; free some space and"
        " try again."
    )


def _read_only(folder: Path) -> str:
    return (
        f"The folder {folder} cannot be written to: give the program the right to"
        " write there, or choose another folder."
    )
