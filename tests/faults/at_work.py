"""Faults of disk, folder and clock that meet a bench while somebody works at it."""

import resource
import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing, suppress
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from subprocess import run

from benchassist import session as session_words
from benchassist.clock import SimulatedClock
from benchassist.domain import commands as cm
from benchassist.journal.errors import JournalError, JournalLockedError
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.session import Session
from tests.faults.row import Row, can_mount, original, small_disk

OTHER = cm.ClaimStation("EX-OP8")
NO_MOUNT = "by a limit on the size of files: nothing may be mounted here"


def refused(session):
    """Return what an entry that cannot be written leads to."""
    refusal = session.handle(OTHER).refusal
    return refusal.message if refusal else ""


def two_windows(folder, session):
    del session
    try:
        Journal.open(folder)
    except JournalLockedError as error:
        return str(error)
    return ""


def a_readers_transaction(folder, session):
    """Keep a transaction open for longer than a press may wait."""
    told = []
    session.subscribe(told.append)
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        db.execute("BEGIN")
        db.execute("SELECT count(*) FROM events").fetchone()
        session.handle(OTHER)
        for _ in range(4):
            session._clock.advance(700)
            session.tick()
        db.execute("COMMIT")
    codes = [each.refusal.code for each in told if each.refusal]
    return session_words.DROPPED.message if "journal-dropped" in codes else ""


def no_more_bytes(folder, session):
    """Let every write fail, as on a disk that is full or at its limit."""
    del folder
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        return refused(session)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def full_file_system(folder, session):
    """Fill the file system that the store lies on; free it, and go on."""
    if not can_mount():
        return no_more_bytes(folder, session)
    with suppress(OSError), (folder / "junk").open("wb", buffering=0) as junk:
        while True:
            junk.write(bytes(4096))
    said = refused(session)
    (folder / "junk").unlink()
    session.journal.beat(session._clock.now())  # the disk takes bytes again
    return said


def read_only_mount(folder, session):
    """Mount the store's file system read-only under the program."""
    if not can_mount():
        return no_more_bytes(folder, session)
    disk = str(folder.parent)
    # Files that are open for writing forbid it, so it is bound to its place anew.
    session.journal.close()
    run(["mount", "-o", "remount,ro", disk], check=True)
    try:
        with ReadOnlyJournal.open(folder) as journal:
            assert journal.head.seq == session.bench.seq
        Journal.open(folder)
    except JournalError as error:
        return str(error)
    finally:
        run(["mount", "-o", "remount,rw", disk], check=True)
    return ""


def deleted_at_work(folder, session):
    (folder / DATABASE).unlink()
    return refused(session)


def folder_deleted(folder, session):
    shutil.rmtree(folder)
    return refused(session)


def replaced_at_work(folder, session):
    shutil.copy(folder / DATABASE, folder / "other")
    (folder / "other").replace(folder / DATABASE)
    return refused(session)


def a_heartbeat_that_fails(folder, session):
    """Let the heartbeat fail while entries can be written."""
    del folder
    told = []
    session.subscribe(told.append)
    session.journal._heartbeat.close()
    with Path("/dev/full").open("r+b", buffering=0) as full:
        session.journal._heartbeat._file = full
        session._clock.advance(9000)
        session.tick()
    said = [each.refusal.message for each in told if each.refusal]
    return said[0] if said else ""


AT_WORK: dict[str, Callable[[Path, Session], str]] = {
    "a second window": two_windows,
    "a reader that does not let go": a_readers_transaction,
    "a limit on the size of files": no_more_bytes,
    "a full file system": full_file_system,
    "a file system mounted read-only": read_only_mount,
    "the journal deleted at work": deleted_at_work,
    "its folder deleted at work": folder_deleted,
    "the journal replaced at work": replaced_at_work,
    "a heartbeat that cannot be written": a_heartbeat_that_fails,
}
ON_A_DISK = (full_file_system, read_only_mount)


def tried_at_work(name, happens, times):
    """Let something happen to a bench at work; return its row."""
    row = Row(name, times)
    if happens in ON_A_DISK and not can_mount():
        row.name = f"{name} ({NO_MOUNT})"
    for _ in range(times):
        with (
            tempfile.TemporaryDirectory() as made,
            small_disk(Path(made) / "disk", 8) as disk,
        ):
            folder = shutil.copytree(original(), (disk or Path(made)) / "store")
            sentence = _once(row, happens, folder)
        row.outcomes["said at once" if sentence else "SILENT"] += 1
        row.sentence = row.sentence or sentence
    return row


def _once(row, happens, folder):
    clock = SimulatedClock(datetime(2026, 6, 1, 9, 0, tzinfo=UTC))
    session = Session(Journal.open(folder), clock)
    bench = session.bench
    sentence = happens(folder, session)
    row.lost += not sentence or session.bench.operator != bench.operator
    session.journal.close()
    if (folder / DATABASE).exists():
        with Journal.open(folder) as journal:
            row.lost += journal.head.seq != session.bench.seq
            row.lost += bool(journal.walk(1, journal.head.seq).faults)
    return sentence


ROWS = {
    name: partial(tried_at_work, name, happens) for name, happens in AT_WORK.items()
}
