"""How the bench says times, counts and lists."""

import pytest

from benchassist.domain.words import (
    clock,
    late,
    layer_words,
    listed,
    minutes,
    sentences,
    span,
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
