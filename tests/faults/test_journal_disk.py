"""The disk fails in the ways that it can be made to: said in one sentence each."""

import errno
import fcntl
import os
import resource
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from benchassist.clock import Instant
from benchassist.domain.events import SpotTacked, StoreCreated
from benchassist.journal.drafts import Draft
from benchassist.journal.errors import (
    JournalBusyError,
    JournalFullError,
    JournalLostError,
    JournalReadOnlyError,
    JournalWriteError,
    from_os,
)
from benchassist.journal.files import DATABASE, WITNESS
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal

pytestmark = pytest.mark.faults
START = Instant(1_772_438_400_000, 60, 5_000, "boot-1")


def spots(first, count=1):
    return [
        Draft(
            START.plus(n), "EX-OP1", "pedal",
            SpotTacked("EX-K-01", "coat-1", n, "EX-LM-A", 10_000, START.plus(n)),
        )
        for n in range(first, first + count)
    ]  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "bench"


@pytest.fixture
def journal(folder):
    store = StoreCreated("rehearsal", "store-1", "EX-bench", "Europe/Berlin")
    with Journal.open(folder) as opened:
        opened.append([Draft(START, "EX-OP1", "tool", store)])
        yield opened


def fill_up(journal, error):
    """Append 50 spots at a time until ``error``; return how many entries stand."""
    for n in range(10_000):
        try:
            journal.append(spots(n * 50, 50))
        except error as refused:
            return 1 + n * 50, str(refused)
    pytest.fail("never full")


def test_a_full_disk_is_said_and_costs_only_the_command_that_met_it(journal, folder):
    (pages,) = journal._db.execute("PRAGMA page_count").fetchone()
    journal._db.execute(f"PRAGMA max_page_count = {pages + 40}")

    head, sentence = fill_up(journal, JournalFullError)

    assert sentence == (
        f"The disk of {folder} is full: nothing was recorded; free some space and try"
        " again."
    )
    assert journal.head.seq == head
    assert [entry.seq for entry in journal.entries()] == list(range(1, head + 1))
    journal._db.execute(f"PRAGMA max_page_count = {pages + 4000}")
    journal.append(spots(90_000, 50))
    assert journal.head.seq == head + 50
    journal.close()
    with Journal.open(folder) as again:
        assert again.opening.damage == ()
        assert again.walk(1, head + 50).faults == ()


def test_a_limit_on_the_size_of_files_is_said(journal, folder):
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    limit = (folder / DATABASE).stat().st_size + 100_000
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, hard))
    try:
        head, sentence = fill_up(journal, JournalWriteError)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    assert "nothing was recorded" in sentence
    journal.append(spots(90_000, 50))
    journal.close()
    with Journal.open(folder) as again:
        assert again.head.seq == head + 50
        assert again.walk(1, head + 50).faults == ()


@pytest.mark.parametrize("existing", [False, True], ids=["new", "existing"])
def test_a_read_only_folder_is_said_and_can_be_read(existing):
    # Root may write anywhere, so the attempt is made as nobody where needed.
    folder = Path(tempfile.mkdtemp())
    store = StoreCreated("real", "store-1", "EX-bench", "Europe/Berlin")
    if existing:
        with Journal.open(folder) as journal:
            journal.append([Draft(START, "EX-OP1", "tool", store), *spots(1, 5)])
    for path in (*folder.iterdir(), folder):
        path.chmod(0o555 if path.is_dir() else 0o444)
    code = (
        "import os, sys, pathlib\n"
        "from benchassist.journal.errors import *\n"
        "from benchassist.journal.reading import ReadOnlyJournal\n"
        "from benchassist.journal.writing import Journal\n"
        "folder = pathlib.Path(sys.argv[1])\n"
        "if os.geteuid() == 0: os.seteuid(65534)\n"
        "try: Journal.open(folder)\n"
        "except JournalReadOnlyError as error: print(error)\n"
        "try: print(ReadOnlyJournal.open(folder).head.seq)\n"
        "except JournalMissingError as error: print(error)\n"
    )

    done = subprocess.run(
        [sys.executable, "-c", code, folder], capture_output=True, text=True, check=True
    )

    folder.chmod(0o755)
    shutil.rmtree(folder)
    refused, read = done.stdout.splitlines()
    assert refused == (
        f"The folder {folder} cannot be written to: give the program the right to"
        " write there, or choose another folder."
    )
    missing = f"There is no journal in {folder}: choose another folder."
    assert read == ("6" if existing else missing)


def test_a_read_only_file_is_said_at_opening_and_not_at_the_first_press():
    folder = Path(tempfile.mkdtemp())
    Journal.open(folder).close()
    for path in (*folder.iterdir(), folder):
        path.chmod(0o777)
    (folder / DATABASE).chmod(0o444)
    code = (
        "import os, sys, pathlib\n"
        "from benchassist.journal.errors import *\n"
        "from benchassist.journal.reading import ReadOnlyJournal\n"
        "from benchassist.journal.writing import Journal\n"
        "if os.geteuid() == 0: os.seteuid(65534)\n"
        "try: Journal.open(pathlib.Path(sys.argv[1]))\n"
        "except JournalReadOnlyError: sys.exit(7)\n"
    )

    done = subprocess.run([sys.executable, "-c", code, folder], check=False)

    shutil.rmtree(folder)
    assert done.returncode == 7


def test_a_disk_without_locks_is_not_taken_for_another_window(folder, monkeypatch):
    def no_locks(*_):
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", no_locks)
    with pytest.raises(JournalWriteError, match="No locks available"):
        Journal.open(folder)


@pytest.mark.parametrize("gone", ["folder", "database", "witness", "replaced"])
def test_a_journal_deleted_under_the_program_is_noticed(journal, folder, gone):
    journal.append(spots(1))
    match gone:
        case "folder":
            shutil.rmtree(folder)
        case "database":
            (folder / DATABASE).unlink()
        case "witness":
            (folder / WITNESS).unlink()
        case "replaced":
            shutil.copy(folder / DATABASE, folder / "copy")
            (folder / "copy").replace(folder / DATABASE)

    with pytest.raises(JournalLostError, match="note by hand what runs"):
        journal.append(spots(2))
    with pytest.raises(JournalWriteError, match="deleted or replaced"):
        journal.append(spots(3))


def test_a_witness_that_cannot_follow_stops_the_next_command(journal, folder):
    journal._witness.close()
    journal._witness._file = (folder / WITNESS).open("rb")  # refuses to be written

    (written,) = journal.append(spots(1))
    with pytest.raises(JournalWriteError, match="witness file"):
        journal.append(spots(2))

    assert journal.head.seq == written.seq
    journal.close()
    with Journal.open(folder) as again:
        assert again.opening.witness == "one behind"
        assert again.head.seq == written.seq


def test_a_reader_in_the_middle_of_a_statement_holds_up_no_more_than_the_wait(
    journal, folder
):
    journal.append(spots(1, 3000))
    journal._db.execute("PRAGMA busy_timeout = 50")
    with ReadOnlyJournal.open(folder) as reader:
        unfinished = reader._db.execute("SELECT payload FROM events")
        unfinished.fetchone()
        with pytest.raises(JournalBusyError, match="try again"):
            journal.append(spots(5000))
        unfinished.close()
        journal.append(spots(5000))

    assert journal.head.seq == 3002


def test_a_failure_within_a_command_undoes_it(journal, monkeypatch):
    def fail(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("benchassist.journal.projections.project", fail)
        with pytest.raises(KeyboardInterrupt):
            journal.append(spots(1))

    assert journal.head.seq == 1
    journal.append(spots(2))
    assert [entry.seq for entry in journal.entries()] == [1, 2]


def test_a_disk_that_does_not_say_what_it_holds_closes_the_journal(
    journal, monkeypatch
):
    def vanish(*_):
        # The connection is gone, and with it the means to undo.
        journal._db.close()
        raise KeyboardInterrupt

    monkeypatch.setattr("benchassist.journal.projections.project", vanish)
    with pytest.raises(KeyboardInterrupt):
        journal.append(spots(1))
    with pytest.raises(JournalWriteError, match="does not say what it holds"):
        journal.append(spots(2))


def test_a_use_after_closing_is_our_mistake_and_no_damage(journal):
    journal.close()

    with pytest.raises(Exception, match="closed"):
        list(journal.entries())


@pytest.mark.parametrize(
    ("number", "kind"),
    [(28, JournalFullError), (13, JournalReadOnlyError), (5, JournalWriteError)],
)
def test_an_error_of_the_system_is_one_sentence(tmp_path, number, kind):
    error = from_os(OSError(number, os.strerror(number)), tmp_path)

    assert type(error) is kind
    assert str(error).endswith(".")
