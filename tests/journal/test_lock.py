import subprocess
import sys

import pytest

from benchassist.journal import Journal, JournalLockedError, ReadOnlyJournal


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
        "from benchassist.journal import Journal, JournalLockedError\n"
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
