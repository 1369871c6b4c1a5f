"""The whole table of faults in one go, and a month at the bench."""

import pytest

from tests.faults import deaths, soak, table
from tests.faults.row import printed

pytestmark = pytest.mark.benchmark
FLIPS, TIMES = 1000, 40
DAYS, SEED = 22, 2026  # the working days of a month
FLAT = 1.15  # what the second half of the month may need of memory, of the first


def test_no_fault_of_the_whole_table_is_silent(capsys):
    assert deaths.KILLS >= 500
    assert deaths.CUTS >= 200
    rows = []
    for row in table.whole(TIMES, FLIPS):
        rows.append(row)
        with capsys.disabled():
            print(printed([row]).splitlines()[-1], flush=True)

    assert not [row for row in rows if row.bad]


def test_a_month_at_the_bench_holds_and_needs_no_more_memory(capsys):
    found = soak.soak(DAYS, SEED)
    with capsys.disabled():
        print(f"\n{soak.printed(found)}")
    first, last = found.rows[DAYS // 2 - 1], found.rows[-1]

    assert last.taken == last.released + last.scrapped + last.in_flight
    assert last.rss_kb <= FLAT * first.rss_kb
    assert last.state_kb <= 2 * max(row.state_kb for row in found.rows[: DAYS // 2])
