"""How the bench says times, counts and lists."""

import pytest

from benchassist.domain.words import (
    ago,
    clock,
    late,
    layer_words,
    listed,
    minutes,
    sentences,
    span,
    spare,
    unit_word,
)


@pytest.mark.parametrize(
    ("ms", "told"),
    [
        (0, "0:00"),
        (-5000, "0:00"),
        (1, "0:01"),
        (1000, "0:01"),
        (1001, "0:02"),
        (74_000, "1:14"),
        (599_001, "10:00"),
        (3_600_000, "1:00:00"),
        (7_400_000, "2:03:20"),
    ],
)
def test_a_started_second_counts_as_a_whole_one(ms, told):
    assert clock(ms) == told


@pytest.mark.parametrize(
    ("ms", "told"),
    [
        (540_000, "9 min"),
        (90_001, "2 min"),
        (90_000, "90 s"),
        (61_000, "61 s"),
        (500, "1 s"),
        (-1, "0 s"),
    ],
)
def test_what_is_left_is_told_in_minutes_or_in_seconds(ms, told):
    assert minutes(ms) == told


@pytest.mark.parametrize(
    ("ms", "told"), [(0, "+0:00 late"), (42_999, "+0:42 late"), (-1, "+0:00 late")]
)
def test_being_late_counts_only_whole_seconds(ms, told):
    assert late(ms) == told


@pytest.mark.parametrize(
    ("unit", "count", "told"),
    [
        ("flash", 1, "flash"),
        ("flash", 2, "flashes"),
        ("flash", 0, "flashes"),
        ("s", 1, "s"),
    ],
)
def test_the_unit_of_a_box_goes_with_its_count(unit, count, told):
    assert unit_word(unit, count) == told


@pytest.mark.parametrize(
    ("codes", "told"),
    [
        ((), ""),
        (("EX-1",), "EX-1"),
        (("EX-1", "EX-2"), "EX-1 and EX-2"),
        (("EX-1", "EX-2", "EX-3"), "EX-1, EX-2 and EX-3"),
    ],
)
def test_parts_are_named_in_a_row(codes, told):
    assert listed(codes) == told


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ((), ""),
        (("", "  "), ""),
        (("dry 9 min more", "Wait."), "Dry 9 min more. Wait."),
        (("really?", "", " yes! "), "Really? Yes!"),
    ],
)
def test_sentences_in_a_row_begin_large_and_end_once(parts, told):
    assert sentences(*parts) == told


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        ((7,), "spot 7"),
        ((23, 24), "spots 23 and 24"),
        ((17, 18, 19), "spots 17 to 19"),
        ((17, 19, 20), "spots 17, 19 and 20"),
    ],
)
def test_spots_are_named_by_their_span_where_they_have_one(numbers, told):
    assert span(numbers) == told


@pytest.mark.parametrize(
    ("layer", "told"),
    [
        ("body", "body"),
        ("stain-1", "stain 1"),
        ("coat-2", "coat 2"),
        ("coat-2-again-1", "coat 2 again"),
        ("coat-2-again-2", "coat 2 again"),
    ],
)
def test_a_layer_is_called_by_what_it_is_and_not_by_how_often(layer, told):
    assert layer_words(layer) == told


@pytest.mark.parametrize(
    ("ms", "told"),
    [
        (5_400_001, "1 h 31 min"),
        (5_400_000, "90 min"),
        (7_500_000, "2 h 05 min"),
        (86_520_000, "24 h 02 min"),
    ],
)
def test_many_minutes_are_said_in_hours(ms, told):
    assert minutes(ms) == told


@pytest.mark.parametrize(
    ("ms", "told"),
    [
        (14_470_000, "4 h 01 min"),
        (119_000, "60 s"),
        (90_000, "90 s"),
        (59_001, "60 s"),
        (0, "0 s"),
    ],
)
def test_what_there_is_to_spare_is_never_said_to_be_a_minute_more(ms, told):
    assert spare(ms) == told


def test_how_long_ago_a_lamp_was_read_is_said_to_the_minute():
    assert [ago(hours) for hours in (0.0, 0.5, 3.25)] == [
        "0 s ago", "30 min ago", "3 h 15 min ago",
    ]  # fmt: skip
