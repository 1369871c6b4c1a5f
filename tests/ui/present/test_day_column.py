"""The day beside the bench on a wide screen: each part's way on, as bars."""

from benchassist.domain.plan import steps_ahead
from benchassist.domain.state import Ready
from benchassist.ui.present.day_column import MOST_MS, day_column
from tests.domain.builders import Desk, desk_at

HOUR_MS = 3600_000


def test_nothing_in_work_is_no_chart():
    desk = Desk()
    assert day_column(desk.bench, desk.now) is None


def test_the_bars_of_a_part_are_its_steps_one_after_the_other():
    desk = desk_at("half-1", phase=Ready)
    steps = steps_ahead(desk.bench, desk.part(), desk.now, judged=False)
    (row,) = day_column(desk.bench, desk.now).rows

    assert row.bars[0].start_ms == 0
    assert [bar.end_ms for bar in row.bars[:-1]] == [
        bar.start_ms for bar in row.bars[1:]
    ]
    assert row.bars[-1].end_ms == row.done_ms == sum(step.takes_ms for step in steps)
    assert {bar.kind for bar in row.bars} == {"hands", "alone", "place"}
    assert row.bars[0].kind == "place"


def test_who_was_promised_first_stands_first_and_who_is_late_is_straw():
    desk = Desk()
    for code, hours in (("EX-1", 5), ("EX-2", 0.5), ("EX-3", None)):
        due = None if hours is None else desk.now.plus(int(hours * HOUR_MS))
        desk.take(code, due=due)
    view = day_column(desk.bench, desk.now)

    assert [row.code for row in view.rows] == ["EX-2", "EX-1", "EX-3"]
    assert [row.tone for row in view.rows] == ["attention", "quiet", "quiet"]
    assert max(row.done_ms for row in view.rows) <= view.until_ms <= MOST_MS
    assert view.rows[0].right == f"{desk.now.plus(view.rows[0].done_ms).local():%H:%M}"
