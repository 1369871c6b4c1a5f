"""The tables that exports and recall ask say what the entries say, and no more."""

import sqlite3
from contextlib import closing

import pytest

from benchassist.domain.events import PartReleased, PartTaken
from benchassist.journal.errors import DamagedJournalError
from benchassist.journal.files import DATABASE
from benchassist.journal.index_walk import index_faults
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from tests.journals.make import filled as every_field


@pytest.fixture
def store(filled, draft):
    """A closed journal in which two parts were worked on and one was released."""
    with Journal.open(filled) as journal:
        journal.append([draft(every_field(PartTaken), at_s=100_000)])
        journal.append([draft(PartReleased("EX-K-01", "EX-R r1"), at_s=100_001)])
    return filled


def faults(folder):
    with ReadOnlyJournal.open(folder) as reader:
        return [each for each in reader.index_faults(reader.head.seq) if each]


def test_an_index_made_by_the_program_has_no_faults(store):
    assert faults(store) == []


def test_what_came_after_the_walk_began_is_no_fault(store, spot):
    with Journal.open(store) as journal, ReadOnlyJournal.open(store) as reader:
        upto = reader.head.seq
        walk = reader.index_faults(upto)
        assert next(walk) == ""
        journal.append([spot(200)])
        journal.append([spot(201, part="EX-NEW")])
        assert list(walk) == []


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("DELETE FROM touches WHERE seq = 9", "Entry 9 is missing from the index."),
        ("INSERT INTO touches VALUES ('part', 'EX-K-02', 9, 'part')", "The index has"),
        ("DELETE FROM parts WHERE part = 'EX-K-01'", "Part EX-K-01 is missing"),
        ("UPDATE parts SET closed_day = NULL", "another state of part EX-K-01"),
        ("UPDATE parts SET state = 'in work'", "another state of part EX-K-01"),
        ("INSERT INTO parts VALUES ('EX-Z', 'released', 3, 3, NULL)", "a part EX-Z"),
        ("DELETE FROM part_days WHERE part = 'EX-K-01'", "The index of the day"),
        ("INSERT INTO part_days VALUES ('2026-03-02', 'EX-Z', 4)", "The index of the"),
        ("UPDATE part_days SET first_seq = 9 WHERE first_seq = 2", "The index of the"),
    ],
)
def test_rows_that_a_hand_took_or_put_there_are_found_and_mended(
    store, statement, said
):
    with closing(sqlite3.connect(store / DATABASE, isolation_level=None)) as db:
        db.execute(statement)

    found = faults(store)

    assert any(said in each for each in found)
    assert all(each.endswith("--rebuild-index”.") for each in found)
    with Journal.open(store) as journal:
        journal.rebuild_projections()
    assert faults(store) == []


def test_entries_that_cannot_be_read_are_told_by_the_walk_of_the_chain_alone(tmp_path):
    def unreadable(after, upto):
        raise DamagedJournalError(tmp_path, (f"Entry {after + 1} is gone.",), upto)
        yield

    with closing(sqlite3.connect(":memory:")) as db:
        assert list(index_faults(db, 10, unreadable, lambda *_: ())) == []
        assert len(list(index_faults(db, 10, unreadable, lambda *_: ("Amiss.",)))) == 1
