"""A journal's files set aside: whole, byte by byte, and put back as they were."""

import pytest

from benchassist.journal.files import (
    DATABASE,
    HEARTBEAT,
    LOCK,
    ROLLBACK,
    WITNESS,
    copy_aside,
    move_aside,
    move_back,
)
from benchassist.journal.writing import Journal


@pytest.fixture
def store(filled):
    (filled / ROLLBACK).write_bytes(b"half a transaction")
    (filled / HEARTBEAT).write_bytes(b"a beat")
    (filled / "state-40").write_bytes(b"kept")
    (filled / "photos").mkdir()
    return filled


def contents(folder):
    return {each.name: each.read_bytes() for each in folder.iterdir() if each.is_file()}


def test_a_copy_set_aside_has_all_that_a_repair_could_want(store):
    """SQLite's own half of a transaction is part of the database (its manual says)."""
    before = contents(store)
    aside = copy_aside(store)

    assert contents(store) == before
    assert aside.name == "set-aside-1"
    wanted = (DATABASE, ROLLBACK, WITNESS, HEARTBEAT)
    assert contents(aside) == {name: before[name] for name in wanted}
    assert copy_aside(store).name == "set-aside-2"  # no copy is written over


def test_what_is_moved_aside_leaves_the_place_free_and_comes_back_whole(store):
    before = contents(store)
    aside = move_aside(store)

    assert set(contents(store)) <= {LOCK}
    assert (store / "photos").is_dir()  # not the journal's
    with Journal.open(store) as begun:
        assert begun.head.seq == 0
    move_back(aside)

    assert contents(store) == before
    assert not aside.exists()
