"""The whole table of faults of the record: a thousand flips, a hundred of each other."""

import pytest

from tests.faults import table

pytestmark = pytest.mark.benchmark
FLIPS, TIMES = 1000, 100


def test_no_fault_of_a_thousand_flips_and_a_hundred_others_is_silent(capsys):
    rows = [
        table.tried(name, inject, FLIPS if inject is table.flip else TIMES)
        for name, inject in table.FAULTS.items()
    ]
    rows += [table.tried_at_work(*each, 10) for each in table.AT_WORK.items()]

    with capsys.disabled():
        print(f"\n{table.printed(rows)}")
    assert not any(row.outcomes["SILENT"] for row in rows)
    assert not any(row.lost or row.credited or row.altered for row in rows)
