"""The row over a page: its quiet words stand beside the title, whole."""

import pytest

from benchassist.ui.title import Title, TitleRow
from tests.ui.measures import ink_of

LONG = "It is offered to no part any more; what was laid stays on record, and a recall"


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
