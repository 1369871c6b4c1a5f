import os
import uuid
from contextlib import suppress
from itertools import pairwise
from pathlib import Path

import pytest

from benchassist.domain.events import (
    KINDS,
    LampReadingTaken,
    PartChosen,
    PartScrapped,
    StoreCreated,
)
from benchassist.journal.chain import GENESIS
from benchassist.journal.errors import (
    JournalError,
    JournalWriteError,
    UnwritableEventError,
)
from benchassist.journal.files import DATABASE, WITNESS
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.rehearsal.memory import MemoryJournal
from tests.journal.conftest import STORE


def test_a_new_journal_is_empty(folder):
    with Journal.open(folder) as journal:
        assert (journal.head.seq, journal.head.hash) == (0, GENESIS)
        assert journal.store is None
        assert list(journal.entries()) == []


def test_entries_come_back_as_they_were_written(journal, folder, draft, spot):
    written = journal.append([spot(1), draft(PartScrapped("EX-K-01", "cracked"), 2)])
    journal.close()

    with ReadOnlyJournal.open(folder) as reader:
        assert tuple(reader.entries(after=1)) == written
        assert [entry.seq for entry in written] == [2, 3]
        assert all(uuid.UUID(entry.id).version == 4 for entry in written)


def test_every_kind_of_event_comes_back(journal, draft, sample):
    kinds = [kind for kind in KINDS.values() if kind is not StoreCreated]
    drafts = [draft(sample(kind)) for kind in kinds if kind.__name__ != "TextBlanked"]
    written = journal.append(drafts)

    assert tuple(journal.entries(after=1)) == written


def test_nothing_to_write_is_no_transaction(journal):
    before = journal.head

    assert journal.append([]) == ()
    assert journal.head == before


def test_the_head_follows_each_append(journal, folder, spot):
    for n in range(1, 4):
        journal.append([spot(n)])
        with ReadOnlyJournal.open(folder) as reader:
            assert reader.head == journal.head
            assert reader.head.seq == n + 1


def test_the_first_event_says_which_store_and_no_other_does(folder, draft):
    store = draft(StoreCreated("demo", "id", "EX-bench", "Europe/Berlin"))
    with Journal.open(folder) as journal:
        with pytest.raises(UnwritableEventError, match="first entry"):
            journal.append([draft(PartChosen("EX-K-01"))])
        journal.append([store])
        with pytest.raises(UnwritableEventError, match="first entry"):
            journal.append([store])

        assert journal.store == store.event
        assert journal.head.seq == 1


@pytest.mark.parametrize("position", [0, 1, 2])
def test_one_bad_event_keeps_the_whole_command_out(journal, draft, spot, position):
    drafts = [spot(1), spot(2)]
    drafts.insert(position, draft(LampReadingTaken("EX-LM-A", float("nan"))))
    before = journal.head

    with pytest.raises(UnwritableEventError):
        journal.append(drafts)

    assert journal.head == before
    assert [entry.seq for entry in journal.append([spot(1)])] == [2]


@pytest.mark.parametrize("operator", ["\ud800", "x"])
def test_a_header_that_cannot_be_stored_keeps_the_command_out(journal, draft, operator):
    bad = draft(PartChosen("EX-K-01"), operator=operator, at_s=2**70)

    with pytest.raises(UnwritableEventError, match="cannot be recorded"):
        journal.append([bad])

    assert journal.head.seq == 1
    assert journal.walk(1, 10).faults == ()


def test_reading_stops_at_the_entry_that_was_last_when_it_began(journal, spot):
    journal.append([spot(1)])
    reading = journal.entries()
    next(reading)
    journal.append([spot(2)])

    assert [entry.seq for entry in reading] == [2]


@pytest.mark.parametrize(("after", "upto"), [(0, 3), (3, 3), (2, 7), (5, 1), (0, 99)])
def test_a_stretch_of_entries(journal, spot, after, upto):
    journal.append([spot(n) for n in range(1, 8)])

    seqs = [entry.seq for entry in journal.entries(after, upto)]

    assert seqs == list(range(after + 1, min(upto, 8) + 1))


def test_long_readings_come_in_statements_of_at_most_500_rows(journal, spot):
    journal.append([spot(n) for n in range(1, 1300)])
    statements = []
    journal._db.set_trace_callback(statements.append)

    whole = list(journal.entries())
    part = list(journal.entries_of("part", "EX-K-01"))

    assert [entry.seq for entry in whole] == list(range(1, 1301))
    assert [entry.seq for entry in part] == list(range(2, 1301))
    assert len(statements) >= 6
    assert all("LIMIT" in statement for statement in statements)
    assert all(b.at.wall_ms > a.at.wall_ms for a, b in pairwise(part))


def test_it_is_written_through_to_the_disk(journal):
    (mode,) = journal._db.execute("PRAGMA journal_mode").fetchone()
    (level,) = journal._db.execute("PRAGMA synchronous").fetchone()

    assert (mode, level) == ("truncate", 3)


def test_a_journal_that_is_not_written_through_is_refused(folder, monkeypatch):
    monkeypatch.setattr("benchassist.journal.writing._EXTRA", 99)

    with pytest.raises(JournalWriteError, match="written through"):
        Journal.open(folder)


# --- a disk that fails in the middle ------------------------------------------------


def failing(folder, name):
    """Let every write to an open file of a journal meet a full disk from now on."""
    path = str(folder / name)
    for descriptor in Path("/proc/self/fd").iterdir():
        with suppress(OSError):
            if str(descriptor.readlink()) == path:
                full = os.open("/dev/full", os.O_RDWR)
                os.dup2(full, int(descriptor.name))
                os.close(full)


def test_a_witness_that_cannot_follow_closes_the_journal_to_writing(
    journal, folder, spot
):
    """Two entries behind, it could not tell a journal that was cut from its own."""
    failing(folder, WITNESS)
    (written,) = journal.append([spot(1)])  # the commit stands

    with pytest.raises(JournalWriteError, match="witness file in"):
        journal.append([spot(2)])
    assert journal.head.seq == written.seq


def test_a_disk_that_does_not_say_what_it_holds_takes_nothing_more(
    journal, folder, spot
):
    failing(folder, DATABASE)
    with pytest.raises(JournalError):
        journal.append([spot(1)])

    with pytest.raises(JournalWriteError, match="does not say what it holds"):
        journal.append([spot(2)])


def test_in_memory_a_command_that_is_refused_leaves_nothing_either(draft, all_kinds):
    """A rehearsal is the same record: half a command would be another one on disk."""
    book = MemoryJournal()
    book.append([draft(STORE), draft(PartScrapped("EX-K-01", "cracked"))])
    nothing = draft(all_kinds["TextBlanked"]((1,), "there is no text in it"))

    with pytest.raises(UnwritableEventError, match="has no text to remove"):
        book.blank_text(nothing)
    assert book.head.seq == 2
    assert len(list(book.entries())) == 2
    assert book.append([draft(PartScrapped("EX-K-02", "lost"))])[0].seq == 3
