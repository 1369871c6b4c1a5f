"""NOW and LATER: one clock each, the front in sight, rows that stand still."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt

from benchassist.ui.row import LOW_MM, TALL_MM
from benchassist.ui.rows import RowList, part_of


@pytest.fixture
def rows(qtbot, themes):
    made = RowList(themes())
    qtbot.addWidget(made)
    made.resize(640, 440)
    made.show()
    return made


def words(rows):
    return [run.text for run in rows.runs()]


def test_now_and_later_say_what_their_one_column_means(samples, rows):
    rows.show_view(samples.ROWS)

    told = words(rows)

    assert told[:3] == ["NOW", "2", "may wait"]
    assert told[3:6] == ["LATER", "3", "due in"]


def test_a_row_says_its_state_in_words(samples, rows):
    rows.show_view(samples.MANY_ROWS)

    said = rows.accessibleName()

    assert said.startswith(
        "NOW: DO EX-20, 3 crowns, wash 2, lift out, may wait late 0:42"
    )
    assert "LATER: WAIT EX-23, 3 crowns, wash 2, due in 1:14" in said


def test_few_parts_get_high_rows_and_many_low_ones(samples, rows, themes):
    theme = themes()
    rows.show_view(samples.ROWS)
    tall = rows.layouts()[0].box.height()
    rows.show_view(samples.MANY_ROWS)
    low = rows.layouts()[0].box.height()

    gap = theme.px(1.0)
    assert tall == theme.px(TALL_MM) - gap
    assert low == theme.px(LOW_MM) - gap


def test_later_folds_from_its_far_end_and_says_how_many(samples, rows):
    rows.show_view(samples.MANY_ROWS)

    seen = [row.code for row in rows.seen()]
    needed = [row.code for row in samples.MANY_ROWS if row.now]
    folded = len(samples.MANY_ROWS) - len(seen)

    assert seen[: len(needed)] == needed
    assert folded > 0
    assert any(text.startswith(f"{folded} more, first in ") for text in words(rows))


def test_the_part_in_front_is_in_sight_where_it_would_be_folded(samples, rows):
    last = len(samples.MANY_ROWS) - 1
    many = tuple(
        replace(row, focused=number == last)
        for number, row in enumerate(samples.MANY_ROWS)
    )
    rows.show_view(many)

    seen = [row.code for row in rows.seen()]

    assert seen[-1] == many[-1].code
    assert len(seen) < len(many)


def test_every_row_comes_in_sight_by_turning(samples, rows):
    rows.show_view(samples.MANY_ROWS)
    seen = {row.code for row in rows.seen()}
    for _ in range(4):
        rows.turn(1)
        seen |= {row.code for row in rows.seen()}

    assert seen == {row.code for row in samples.MANY_ROWS}


def test_a_basket_is_one_row_that_its_key_goes_through(samples):
    front = replace(samples.ROWS[0], key="F1", others=("EX-92", "EX-93"))
    behind = replace(samples.ROWS[1], key="F2", others=("EX-94",))

    assert part_of((front, behind), "F1") == "EX-92"
    assert part_of((front, behind), "F2") == behind.code


def test_a_tray_whose_basket_has_parted_is_gone_through_by_its_key(samples):
    one, other, third = (replace(row, key="F1") for row in samples.ROWS[:3])

    lying = sorted(row.code for row in (one, other, third))
    met = []
    for code in lying:
        front = tuple(
            replace(each, focused=each.code == code) for each in (one, other, third)
        )
        met.append(part_of(front, "F1"))

    assert met == [*lying[1:], lying[0]]


def test_a_late_row_is_filled_whole(samples, rows, themes):
    palette = themes().palette
    rows.show_view(samples.MANY_ROWS)
    late, other = rows.layouts()[:2]

    assert {run.ground for run in late.runs} == {palette.attention}
    assert {run.ground for run in other.runs} == {palette.raised}


def test_the_row_that_next_says_has_a_straw_edge(samples, rows, themes):
    rows.show_view(samples.ROWS)
    straw = themes().palette.attention
    picture = rows.grab().toImage()

    def edge(layout):
        x = round(layout.box.left()) - 5
        return picture.pixelColor(x, round(layout.box.center().y())).name()

    marked = [each.row.code for each in rows.layouts() if edge(each) == straw]

    assert marked == [row.code for row in samples.ROWS if row.next]


def test_a_tap_on_a_row_picks_its_part(samples, rows, qtbot):
    rows.show_view(samples.ROWS)
    picked = []
    rows.picked.connect(picked.append)

    for layout in rows.layouts():
        at = layout.box.center().toPoint()
        qtbot.mouseClick(rows, Qt.MouseButton.LeftButton, pos=QPoint(at))

    assert picked == [row.code for row in samples.ROWS]


def test_rows_keep_their_place_while_a_hand_is_on_them(samples, rows):
    rows.show_view(samples.ROWS)
    rows.frozen = True
    turned = tuple(reversed(samples.ROWS))
    rows.show_view(tuple(replace(row, right="0:01") for row in turned))
    held = [(row.code, row.right) for row in rows.seen()]
    rows.frozen = False
    rows.show_view(turned)

    assert held == [(row.code, "0:01") for row in samples.ROWS]
    assert [row.code for row in rows.seen()] != [row.code for row in samples.ROWS]


def test_only_a_row_whose_words_changed_is_laid_out_again(samples, rows):
    rows.show_view(samples.ROWS)
    before = rows.layouts()

    changed = list(samples.ROWS)
    changed[3] = replace(changed[3], right="3:40")
    changed[2] = replace(changed[2], fill=0.9)
    rows.show_view(tuple(changed))
    same = [one is other for one, other in zip(before, rows.layouts(), strict=True)]

    assert same == [True, True, True, False, True]
    assert rows.layouts()[3].row.right == "3:40"


def test_no_row_at_all_says_what_to_do(rows):
    rows.show_view(())

    assert "key N" in " ".join(words(rows))


def test_what_a_part_is_at_is_cut_by_nothing_that_can_give_way(samples, rows):
    row = replace(
        samples.ROWS[0],
        line="start wash 1",
        right="no hurry",
        chip="for 19:04",
        chip_short="19:04",
    )
    rows.resize(760, 440)
    rows.show_view((row,))
    wide = words(rows)
    rows.resize(540, 440)
    narrow = words(rows)

    assert "start wash 1" in wide
    assert "for 19:04" in wide
    assert "start wash 1" in narrow
    assert "19:04" in narrow


@pytest.mark.parametrize("height", [300, 345, 388, 420, 440])
def test_with_both_lists_folded_nothing_is_cut_at_the_foot(samples, rows, height):
    first = samples.ROWS[0]
    many = tuple(
        replace(first, code=f"EX-{n}", now=n < 9, focused=n == 8, next=False)
        for n in range(12)
    )
    rows.resize(640, height)
    rows.show_view(many)

    assert max(run.rect.bottom() for run in rows.runs()) <= height


def test_a_list_is_read_in_one_size_of_letters(samples, rows):
    short = tuple(replace(row, line="dry", chip="") for row in samples.ROWS)
    long = replace(short[0], line="swab coat 2 again off with alcohol, then look")
    rows.resize(700, 700)
    rows.show_view(short)
    (large,) = {each.cap_mm for each in rows.layouts()}
    rows.show_view((long, *short[1:]))
    (small,) = {each.cap_mm for each in rows.layouts()}
    rows.show_view(short)

    assert small < large
    assert {each.cap_mm for each in rows.layouts()} == {large}
