import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain.segments import (
    SpotCount,
    coat_s,
    segments,
    spot_count,
    spots_per_segment,
)


@pytest.mark.parametrize(
    ("useful_mm", "faces", "expected"),
    [(8, 3, (20, 60)), (10, 3, (16, 48)), (8, 2, (20, 40))],
)
def test_a_full_arch_takes_dozens_of_spots(useful_mm, faces, expected):
    count = spot_count(118, useful_mm, overlap=0.25, faces=faces)

    assert (count.columns, count.spots) == expected


def test_a_whole_number_of_pitches_is_not_rounded_up():
    # 56 / (8 * 0.7) is 10 on paper and 10.000000000000002 in binary.
    assert spot_count(56, 8, overlap=0.3, faces=1) == SpotCount(columns=10, faces=1)


def test_an_arch_is_walked_in_eight_segments_and_a_quarter_of_an_hour():
    per_segment = spots_per_segment(wet_limit_s=120, brush_s=15, spot_s=10, move_s=3)
    sizes = segments(60, per_segment)

    assert per_segment == 8
    assert sizes == (8, 8, 8, 8, 8, 8, 8, 4)
    assert coat_s(sizes, brush_s=15, spot_s=10, move_s=3) == 900


def test_a_biting_face_alone_takes_three_segments():
    sizes = segments(20, 8)

    assert coat_s(sizes, brush_s=15, spot_s=10, move_s=3) == 305


def test_a_tack_longer_than_the_wet_limit_fits_no_segment():
    assert spots_per_segment(wet_limit_s=20, brush_s=15, spot_s=10, move_s=3) == 0
    with pytest.raises(ValueError, match="wet limit"):
        segments(5, 0)


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: spot_count(0, 8, overlap=0.2, faces=1), "longer than 0"),
        (lambda: spot_count(float("nan"), 8, overlap=0.2, faces=1), "longer than 0"),
        (lambda: spot_count(10, 8, overlap=1.0, faces=1), "overlap"),
        (lambda: spot_count(10, 8, overlap=0.2, faces=0), "face"),
        (lambda: segments(-1, 8), "negative"),
        (
            lambda: spots_per_segment(wet_limit_s=-1, brush_s=1, spot_s=1, move_s=1),
            "negative",
        ),
    ],
)
def test_impossible_input_is_said(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()


@given(count=st.integers(0, 500), per_segment=st.integers(1, 40))
def test_segments_hold_every_spot_once(count, per_segment):
    sizes = segments(count, per_segment)

    assert sum(sizes) == count
    assert all(0 < size <= per_segment for size in sizes)
    assert len(sizes) == -(-count // per_segment)
