import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain.segments import (
    coat_s,
    segments,
    spots_per_segment,
)


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
