"""What was told and what is true of a part, found by the index and nothing else."""

import pytest

from benchassist.domain import events as ev
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal


@pytest.fixture(scope="module")
def told_wrong(tmp_path_factory):
    """The journal of two crowns, one of them put right; on disk and in memory."""
    book = MemoryJournal()
    player = Player(load_script("told_wrong_box"), lambda: book)
    for _ in player.moments():
        pass
    folder = tmp_path_factory.mktemp("told")
    book.write(folder).close()
    with ReadOnlyJournal.open(folder) as journal:
        yield journal, book


def plan(journal, sql, *values):
    """Return how SQLite would find it."""
    rows = journal._db.execute(f"EXPLAIN QUERY PLAN {sql}", values)
    return [row[3] for row in rows]


def test_an_entry_is_found_by_its_number_alone(told_wrong):
    journal, _ = told_wrong
    asked = []
    journal._db.set_trace_callback(asked.append)
    found = journal.entry(120)
    journal._db.set_trace_callback(None)

    assert found.seq == 120
    (sql,) = [each for each in asked if "FROM events" in each]
    steps = plan(journal, sql)
    assert all("PRIMARY KEY" in step for step in steps if "events" in step), steps
    assert not any(step.startswith("SCAN") for step in steps), steps
    with pytest.raises(LookupError):
        journal.entry(10**6)


def test_a_part_is_found_by_the_index_of_its_code(told_wrong):
    journal, _ = told_wrong
    asked = []
    journal._db.set_trace_callback(asked.append)
    lines = journal.history("EX-25")
    journal._db.set_trace_callback(None)

    assert lines
    for sql in asked:
        steps = plan(journal, sql)
        assert not any(
            step.startswith("SCAN") and ("touches" in step or "events" in step)
            for step in steps
            if "COVERING INDEX" not in step and "LIMIT 1" not in sql
        ), (sql, steps)


def test_a_history_up_to_an_entry_is_the_same_for_ever(told_wrong):
    journal, _ = told_wrong
    first = next(
        each.seq for each in journal.entries() if isinstance(each.event, ev.Corrected)
    )
    before = journal.history("EX-25", first - 1)
    after = journal.history("EX-25", first)

    assert all(not line.by for line in before)
    assert {line.by for line in after} == {(), (first,)}
    told = [line.told for line in after]
    assert [each.event for each in told] == [
        each.event for each in journal.told("EX-25", first)
    ]


def test_on_disk_and_in_memory_tell_the_same(told_wrong):
    journal, book = told_wrong
    for part in ("EX-24", "EX-25", "EX-26"):
        on_disk = [
            (line.told.seq, line.gone, line.by) for line in journal.history(part)
        ]
        held = [(line.told.seq, line.gone, line.by) for line in book.history(part)]
        assert on_disk == held


def test_the_last_of_a_kind_is_found_backwards(told_wrong):
    journal, book = told_wrong
    for source in (journal, book):
        last = source.last_of("LoadConfirmed", "part", "EX-25")
        earlier = source.last_of("LoadConfirmed", "part", "EX-25", last.seq)
        assert isinstance(last.event, ev.LoadConfirmed)
        assert earlier.seq < last.seq
        assert source.last_of("FlipConfirmed", "part", "EX-25") is None


def test_nothing_that_was_written_is_changed(told_wrong, tmp_path):
    journal, _ = told_wrong
    assert journal.walk(1, journal.head.seq).faults == ()
    copy = tmp_path / "copy"
    journal.backup(copy)
    with Journal.open(copy) as opened:
        assert opened.opening.damage == ()
        assert opened.history("EX-25") == journal.history("EX-25")
