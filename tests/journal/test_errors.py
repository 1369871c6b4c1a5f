"""What SQLite and the file system say, in a sentence that says what to do.

The codes are SQLite's own result codes (sqlite.org, "Result and Error Codes") and
POSIX errno names; where a real file can be brought to say one it is.
"""

import errno
import os
import sqlite3
from contextlib import closing

import pytest

from benchassist.journal.errors import (
    DamagedJournalError,
    JournalBusyError,
    JournalError,
    JournalFullError,
    JournalReadOnlyError,
    JournalWriteError,
    from_os,
    from_sqlite,
    translated,
)


@pytest.fixture
def database(tmp_path):
    path = tmp_path / "a.sqlite"
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("CREATE TABLE a (b)")
    return path


def said(work):
    with pytest.raises(sqlite3.Error) as refused:
        work()
    return refused.value


def full(path):
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA max_page_count = 2")
        db.execute("INSERT INTO a VALUES (zeroblob(100000))")


def read_only(path):
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as db:
        db.execute("INSERT INTO a VALUES (1)")


def busy(path):
    with (
        closing(sqlite3.connect(path, isolation_level=None)) as one,
        closing(sqlite3.connect(path, isolation_level=None, timeout=0)) as two,
    ):
        one.execute("BEGIN IMMEDIATE")
        two.execute("BEGIN IMMEDIATE")


def no_database(path):
    path.write_bytes(b"x" * 4096)
    with closing(sqlite3.connect(path)) as db:
        db.execute("SELECT * FROM a")


@pytest.mark.parametrize(
    ("work", "kind", "words"),
    [
        (full, JournalFullError, "is full: nothing was recorded; free some space"),
        (read_only, JournalReadOnlyError, "cannot be written"),
        (busy, JournalBusyError, "close it and try again"),
        (no_database, DamagedJournalError, "file is not a database"),
    ],
)
def test_what_sqlite_says_is_told_with_what_to_do(database, work, kind, words):
    found = from_sqlite(said(lambda: work(database)), database.parent)

    assert type(found) is kind
    assert words in str(found)
    assert str(database.parent) in str(found)


def test_a_disk_that_fails_is_not_taken_for_a_damaged_record():
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorcode = sqlite3.SQLITE_IOERR_FSYNC

    found = from_sqlite(error, os.curdir)

    assert type(found) is JournalWriteError
    assert "look after the disk" in str(found)


@pytest.mark.parametrize(
    ("number", "kind", "words"),
    [
        (errno.ENOSPC, JournalFullError, "free some space"),
        (errno.EDQUOT, JournalFullError, "free some space"),
        (errno.EACCES, JournalReadOnlyError, "cannot be written"),
        (errno.EROFS, JournalReadOnlyError, "cannot be written"),
        (errno.ENOTDIR, JournalWriteError, "(Not a directory): choose another one"),
    ],
)
def test_what_the_system_says_is_told_with_what_to_do(tmp_path, number, kind, words):
    found = from_os(OSError(number, os.strerror(number)), tmp_path)

    assert type(found) is kind
    assert words in str(found)


@pytest.mark.parametrize(
    ("error", "becomes"),
    [
        (OSError(errno.ENOSPC, "no space"), JournalFullError),
        (UnicodeDecodeError("utf-8", b"\xff", 0, 1, "no"), DamagedJournalError),
        # A statement that is wrong is a fault of the program, and no damage.
        (sqlite3.ProgrammingError("closed database"), sqlite3.ProgrammingError),
    ],
)
def test_only_what_the_file_did_becomes_an_error_of_the_journal(
    tmp_path, error, becomes
):
    with pytest.raises(becomes), translated(tmp_path):
        raise error
    assert issubclass(becomes, JournalError) != isinstance(
        error, sqlite3.ProgrammingError
    )


@pytest.mark.parametrize(
    ("readable_to", "words"),
    [
        (None, "is not known yet"),
        (0, "Nothing in it can be read"),
        (12, "Entries up to 12 can still be read"),
    ],
)
def test_damage_says_how_much_can_be_read(tmp_path, readable_to, words):
    assert words in str(DamagedJournalError(tmp_path, ("It is cut.",), readable_to))
