"""The list keeps the part in front in sight and gives way on a small screen."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from benchassist.ui.row import LOW_MM, TALL_MM
from benchassist.ui.rows import ROW_ROLE, RowList, RowsModel, part_of


@pytest.fixture
def rows(qtbot, themes):
    made = RowList(themes())
    qtbot.addWidget(made)
    made.resize(640, 460)
    made.show()
    return made


def test_the_model_keeps_qts_rules(samples, qtmodeltester):
    model = RowsModel()
    model.show_rows(samples.ROWS)

    qtmodeltester.check(model)


def test_only_rows_that_changed_are_announced(samples):
    model, told = RowsModel(), []
    model.show_rows(samples.ROWS)
    model.dataChanged.connect(
        lambda first, last, _roles: told.append((first.row(), last.row()))
    )

    changed = list(samples.ROWS)
    changed[3] = replace(changed[3], right="3:40")
    model.show_rows(tuple(changed))

    assert told == [(3, 3)]
    assert model.index(3).data(ROW_ROLE).right == "3:40"


def test_a_row_says_its_state_in_words(samples):
    model = RowsModel()
    model.show_rows(samples.MANY_ROWS)

    said = model.index(0).data(Qt.ItemDataRole.AccessibleTextRole)

    assert said == "WAIT EX-20, crown, basket of 3, wash 2, +0:42 late"


def test_few_parts_get_two_lines_and_many_one(samples, rows, themes):
    theme = themes()
    rows.show_view(samples.ROWS)
    tall = rows.sizeHintForRow(0)
    rows.show_view(samples.MANY_ROWS)

    assert tall == theme.px(TALL_MM)
    assert rows.sizeHintForRow(0) == theme.px(LOW_MM)


def test_the_height_given_holds_whole_rows_only(samples, rows, themes):
    rows.show_view(samples.MANY_ROWS)

    assert rows.height_for(460) % themes().px(LOW_MM) == 0
    assert rows.height_for(460) <= 460


def test_the_part_in_front_is_the_last_in_sight_where_it_stands_lower(samples, rows):
    many = tuple(
        replace(row, focused=number == len(samples.MANY_ROWS) - 1)
        for number, row in enumerate(samples.MANY_ROWS)
    )
    rows.show_view(many)

    seen = [layout.row.code for layout in rows.layouts()]

    assert seen == [*(row.code for row in many[: len(seen) - 1]), many[-1].code]
    assert len(seen) < len(many)


def test_a_basket_is_one_row_that_its_key_goes_through(samples, rows):
    front = replace(samples.ROWS[0], key="F1", others=("EX-92", "EX-93"))
    behind = replace(samples.ROWS[1], key="F2", others=("EX-94",))
    rows.show_view((front, behind))

    assert part_of((front, behind), "F1") == "EX-92"
    assert part_of((front, behind), "F2") == behind.code
    assert "+2" in [run.text for run in rows.runs()]
    assert rows.parts_seen() == (5, 5)


def test_the_list_is_turned_by_whole_rows(samples, rows):
    rows.resize(640, 200)
    rows.show_view(samples.MANY_ROWS)
    before = [layout.row.code for layout in rows.layouts()]

    rows.turn(1)
    after = [layout.row.code for layout in rows.layouts()]

    assert len(after) == len(before) == rows.whole_rows()
    assert not set(before) & set(after)


def test_late_is_shown_by_inversion_and_not_by_colour_alone(samples, rows, themes):
    palette = themes().palette
    rows.show_view(samples.MANY_ROWS[:2])
    times = [layout.runs()[0] for layout in rows.layouts()]

    assert [run.ground for run in times] == [palette.attention, palette.card]
    assert times[0].text.startswith("+")
