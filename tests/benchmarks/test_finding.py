"""A recall's question behind years of entries: under a second, whatever is asked.

The years are one rehearsed crown written again and again under other codes and on
other days, as ``test_opening`` makes them: each of them has the lots, the lamp, the
box, the vessel and the operator that are asked for, which is the worst there is.
"""

from timeit import default_timer

import pytest

from benchassist.domain.recall import Sought
from benchassist.journal.finding import find
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from tests.benchmarks.test_opening import years

pytestmark = pytest.mark.benchmark

ENTRIES = 100_000
GOAL_S = 1.0  # [s] for the first answer, on two cores with others at work


@pytest.fixture(scope="module")
def years_on_disk(tmp_path_factory):
    folder = tmp_path_factory.mktemp("years")
    journal = Journal.open(folder)
    years(journal, ENTRIES)
    journal.close()
    return folder


@pytest.mark.parametrize(
    "sought",
    [
        Sought("lot", "EX-LT-C1"),
        Sought("lot", "EX-LT-C2"),
        Sought("lamp", "EX-LM-A"),
        Sought("box", "EX-BX-1"),
        Sought("vessel", "EX-GV-01"),
        Sought("bath", "Wash 1"),
        Sought("operator", "OP-1"),
        Sought("day", "", "2026-03-02", "2026-06-01"),
        Sought("lamp", "EX-LM-A", "2026-03-05", "2026-03-06"),
    ],
    ids=str,
)
def test_a_recall_is_answered_in_a_second(years_on_disk, sought, record_property):
    with ReadOnlyJournal.open(years_on_disk) as journal:
        start = default_timer()
        answer = find(journal, sought)
        took = default_timer() - start
    record_property("seconds", took)
    record_property("parts", len(answer.known))

    assert answer.known
    assert took < GOAL_S
