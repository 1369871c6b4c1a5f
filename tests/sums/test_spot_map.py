"""The map of the tack spots: sizes that are common practice, overlaps by geometry."""

import pytest

from benchassist.domain import commands as cm
from benchassist.sums.spot_map import (
    FACES_MEET,
    Geometry,
    faces_of,
    lattices_of,
    overlap_of,
    usual,
)
from benchassist.sums.subject import subject
from benchassist.value import replace
from tests.sums.demo import demo_desk


@pytest.fixture
def desk():
    return demo_desk()


@pytest.mark.parametrize(
    ("item", "shape", "most"),
    [
        ("Night splint", "arch", 3),
        ("full denture", "arch", 3),
        ("crown", "crown", 5),
        ("veneer", "rectangle", 6),
    ],
)
def test_a_geometry_to_begin_with_goes_by_what_is_made(desk, item, shape, most):
    found = subject(desk.bench, desk.now)
    about = replace(found, recipe=replace(found.recipe, item_class=item))
    geometry = usual(desk.bench, about)

    assert geometry.shape == shape
    assert 1 <= geometry.faces <= most
    assert len(faces_of(geometry)) == geometry.faces


def test_an_arch_of_118_mm_takes_20_spots_on_each_of_three_faces(desk):
    """118 mm by a beam of 8 mm with a quarter of overlap: 118 / 6 = 19.7."""
    desk.must(cm.ChoosePart("EX-21"))
    geometry = usual(desk.bench, subject(desk.bench, desk.now))
    lattices = lattices_of(geometry, faces_of(geometry))

    assert [lattice.spots for lattice in lattices] == [20, 20, 20]


def plane(faces=1, **changes):
    whole = Geometry("rectangle", 24.0, 8.0, 0.0, faces, 8.0, 0.25)
    return replace(whole, **changes)


def test_faces_of_a_solid_meet_at_edges_and_planes_apart_do_not():
    """One spot on each of two planes: no point has two circles; a crown's edge has."""
    one = {"length_mm": 4.0, "width_mm": 4.0}
    assert overlap_of(plane(2, **one)).circles == 1
    assert overlap_of(plane(5, shape="crown", height_mm=4.0, **one)).circles == (
        FACES_MEET
    )


def test_spots_that_are_walked_otherwise_than_counted_lie_in_one_row():
    counted = overlap_of(plane())
    (lattice,) = lattices_of(plane(), faces_of(plane()))

    assert overlap_of(plane(), (lattice.spots,)) == counted
    one = overlap_of(plane(), (1,))
    # A circle of 8 mm on 24 by 8 mm: pi 16 / 192 is lit, nothing twice.
    assert one.holes == pytest.approx(1 - 3.14159 * 16 / 192, abs=0.01)
    assert one.lit_twice == 0.0
    # Another number of faces says nothing of these.
    assert overlap_of(plane(), (1, 1)) == counted
