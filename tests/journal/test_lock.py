import os
import subprocess
import sys
from pathlib import PosixPath

import pytest

from benchassist.journal.errors import JournalLockedError
from benchassist.journal.lock import FileLock
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal


class Lockless(PosixPath):
    """A file on a disk that takes no locks: a descriptor that is no more than a name."""

    def open(self, *_args, **_more):
        return os.fdopen(os.open(self, os.O_PATH), "rb", buffering=0)


def test_a_disk_that_knows_no_locks_is_not_taken_for_another_window(tmp_path):
    """Who is told to close another window that is none looks for it in vain."""
    (tmp_path / "lock").touch()
    with pytest.raises(OSError) as refused:  # noqa: PT011 - which one is asked below
        FileLock(Lockless(tmp_path / "lock"))
    assert not isinstance(refused.value, BlockingIOError)

    held = FileLock(tmp_path / "lock")
    with pytest.raises(BlockingIOError, match="held by another process"):
        FileLock(tmp_path / "lock")
    held.release()


def test_a_second_writer_is_refused_with_one_sentence(journal, folder):
    with pytest.raises(JournalLockedError) as refused:
        Journal.open(folder)

    assert str(refused.value) == (
        f"The journal in {folder} is open in another window: use that one, or close"
        " it first."
    )


def test_a_second_program_is_refused(journal, folder):
    code = (
        "import sys, pathlib\n"
        "from benchassist.journal.errors import JournalLockedError\n"
        "from benchassist.journal.writing import Journal\n"
        "try: Journal.open(pathlib.Path(sys.argv[1]))\n"
        "except JournalLockedError: sys.exit(7)\n"
    )

    done = subprocess.run([sys.executable, "-c", code, folder], check=False)

    assert done.returncode == 7


def test_closing_gives_the_lock_back(journal, folder):
    journal.close()

    with Journal.open(folder) as again:
        assert again.head.seq == 1


def test_a_failed_opening_gives_the_lock_back(filled):
    (filled / "witness").unlink()
    for _ in range(2):
        with pytest.raises(Exception, match="witness"):
            Journal.open(filled)


def test_readers_need_no_lock(journal, folder):
    with ReadOnlyJournal.open(folder) as reader:
        assert reader.head == journal.head
