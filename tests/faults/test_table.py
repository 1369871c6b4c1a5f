"""Every fault is said, or changed nothing: the table, a few of each."""

import pytest

from tests.faults import at_rest, deaths, row, table

pytestmark = pytest.mark.faults
OFTEN = dict.fromkeys(at_rest.ROWS, 2)  # a second look at what is chosen at random


@pytest.mark.parametrize("name", table.ROWS)
def test_a_fault_is_said_or_changed_nothing(name):
    found = table.ROWS[name](OFTEN.get(name, 1))

    assert not found.bad, found
    assert sum(found.outcomes.values()) == found.times > 0
    assert found.sentence or set(found.outcomes) <= {*row.QUIET}
    assert "Traceback" not in found.sentence


def test_a_fault_that_nobody_says_would_be_seen(monkeypatch):
    """The table itself can fail: without walks and guards an edit is silent."""
    monkeypatch.setattr(at_rest, "in_words", lambda folder: ("", True))
    monkeypatch.setattr(at_rest, "_exported", lambda folder: ([], ""))
    monkeypatch.setattr(at_rest, "_opened", lambda folder: ("", None))

    found = at_rest.tried("an edit", at_rest.edit_payload, 1)

    assert found.outcomes == {"SILENT": 1}
    assert found.lost == 1
    assert found.bad


def test_nothing_said_is_silent():
    found = row.injected("a fault", lambda chance, made: row.Found("said at once"), 1)

    assert found.outcomes == {"SILENT": 1}


def test_the_table_is_one_row_a_fault():
    rows = [row.Row("a fault", 3, sentence="It is said in /tmp/x/store.")]

    told = row.printed(rows).splitlines()

    assert len(told) == 2
    assert "FOLDER" in told[1]


def test_kills_are_rows_as_well():
    found = deaths.killed(20)

    assert not found.bad
    assert found.outcomes.total() == found.times == 20


def test_every_fault_that_the_table_owes_has_its_row():
    names = " | ".join((*table.ROWS, *deaths.ROWS))

    for fault in (
        "flipped", "cut short", "zeroed", "older copy", "another store", "witness",
        "kept state", "guards restored", "hash made to fit", "index", "second window",
        "stale lock", "full file system", "mounted read-only", "folder deleted",
        "replaced at work", "clock set", "in every stage", "stall of a minute",
        "pedal stuck", "audio", "slot", "a pipe", "device", "NUL", "deep", "24 levels",
        "million letters", "odd names", "~/x", "another owner", "stick pulled out",
        "no screen", "exports at once", "killed", "power gone",
    ):  # fmt: skip
        assert fault in names.replace("of another owner", "another owner"), fault
