"""Every fault of the record is said, or changed nothing: the table, a few of each."""

import pytest

from tests.faults import table

pytestmark = pytest.mark.faults
TIMES = 2


@pytest.mark.parametrize("name", table.FAULTS)
def test_a_fault_is_said_or_changed_nothing(name):
    row = table.tried(name, table.FAULTS[name], TIMES)

    assert sum(row.outcomes.values()) == TIMES
    assert row.outcomes["SILENT"] == 0, row
    assert (row.lost, row.credited, row.altered) == (0, 0, 0), row
    assert row.sentence or row.outcomes["unchanged"] == TIMES
    assert "Traceback" not in row.sentence


@pytest.mark.parametrize("name", table.AT_WORK)
def test_what_happens_to_a_bench_at_work_is_said_at_once(name):
    row = table.tried_at_work(name, table.AT_WORK[name], 1)

    assert row.outcomes == {"said at once": 1}
    assert row.lost == 0, row


def test_a_fault_that_nobody_says_would_be_seen(monkeypatch):
    """The table itself can fail: without walks and guards an edit is silent."""
    monkeypatch.setattr(table, "in_words", lambda folder: ("", True))
    monkeypatch.setattr(table, "_exported", lambda folder: ([], ""))
    monkeypatch.setattr(table, "_opened", lambda folder: ("", None))

    row = table.tried("an edit", table.edit_payload, 1)

    assert row.outcomes == {"SILENT": 1}
    assert row.lost == 1


def test_the_table_is_one_row_a_fault():
    rows = [table.Row("a fault", 3, sentence="It is said in /tmp/x/store.")]

    told = table.printed(rows).splitlines()

    assert len(told) == 2
    assert "FOLDER" in told[1]
