import sqlite3
from contextlib import closing

import pytest

from benchassist.journal import Journal, ReadOnlyJournal
from benchassist.journal.files import DATABASE


def test_without_a_snapshot_there_is_none(journal):
    assert journal.snapshot() is None


def test_the_newest_snapshot_is_given(filled):
    with Journal.open(filled) as journal:
        journal.save_snapshot(10, "state at ten ✓")
        journal.save_snapshot(41, "state at the end")
        journal.save_snapshot(20, "late")

        assert journal.snapshot() == (41, "state at the end")
    with ReadOnlyJournal.open(filled) as reader:
        assert reader.snapshot() == (41, "state at the end")


def test_a_snapshot_can_be_saved_again(journal):
    journal.save_snapshot(1, "first")
    journal.save_snapshot(1, "second")

    assert journal.snapshot() == (1, "second")


def test_two_are_kept(filled):
    with Journal.open(filled) as journal:
        for seq in range(5, 10):
            journal.save_snapshot(seq, str(seq))
        (count,) = journal._db.execute("SELECT count(*) FROM snapshots").fetchone()

    assert count == 2


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE snapshots SET text = 'changed' WHERE seq = 20",
        "UPDATE snapshots SET digest = x'00' WHERE seq = 20",
        "UPDATE snapshots SET hash = x'00' WHERE seq = 20",
        "UPDATE snapshots SET format = 99 WHERE seq = 20",
    ],
)
def test_one_that_does_not_fit_is_passed_over(filled, statement):
    with Journal.open(filled) as journal:
        journal.save_snapshot(10, "state at ten")
        journal.save_snapshot(20, "state at twenty")
    with closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as db:
        db.execute(statement)

    with Journal.open(filled) as journal:
        assert journal.snapshot() == (10, "state at ten")


def test_a_snapshot_of_an_entry_that_is_not_there_is_not_kept(filled):
    with Journal.open(filled) as journal:
        journal.save_snapshot(99, "the future")

        assert journal.snapshot() is None
