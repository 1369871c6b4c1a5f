"""The row over a page: its quiet words stand beside the title, whole."""

import pytest

from benchassist.ui.title import Title, TitleRow
from tests.ui.measures import ink_of

LONG = (
    "It is offered to no part any more; what was laid stays on record, and a recall "
    "finds it by its lot"
)


@pytest.fixture
def row(themes, qtbot):
    made = TitleRow(themes("small"))
    qtbot.addWidget(made)
    made.resize(1336, made.height())
    return made


def test_all_words_of_a_row_stand_on_one_line(row):
    row.show_view(Title("A bottle", "a few words", "nothing is changed yet"))

    assert len({run.baseline for run in row.runs()}) == 1


def test_words_too_long_for_one_line_take_two_and_none_is_cut(row):
    row.show_view(Title("How long an open bottle keeps, by its papers", LONG))
    title, *quiet = row.runs()

    assert len(quiet) == 2
    assert " ".join(run.text for run in quiet) == LONG
    assert quiet[1].baseline > title.baseline > quiet[0].baseline
    room = row.rect().toRectF().adjusted(-1, -1, 1, 1)
    assert all(room.contains(ink_of(run)) for run in quiet)


def test_words_at_the_right_take_two_lines_before_the_quiet_words_are_cut(row):
    right = "nothing is changed yet, and nothing is written down"
    row.show_view(Title("Fix a record", LONG, right))
    told = [run.text for run in row.runs()]

    assert " ".join(told[-2:]) == right
    assert " ".join(told[1:-2]) == LONG


def test_a_row_is_as_high_as_the_longest_words_that_may_come(row):
    row.show_view(Title("How long an open bottle keeps", "by its papers"))
    low = row.height()
    row.others = (f"{LONG}. {LONG}. {LONG}",)
    high = row.grow(row.width())
    row.show_view(Title("How long an open bottle keeps", row.others[0]))

    assert high > low
    assert row.height() == high
    assert " ".join(run.text for run in row.runs()[1:]) == row.others[0]
    room = row.rect().toRectF().adjusted(-1, -1, 1, 1)
    assert all(room.contains(ink_of(run)) for run in row.runs())
