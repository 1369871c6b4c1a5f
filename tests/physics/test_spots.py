from math import hypot, pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchassist.physics import spots
from benchassist.physics.spots import Beam, Face, Lattice

BEAM = Beam(8.0)


def holes(face, beam, lattice, step_mm=0.2):
    """Share of the face that no circle reaches, by a fine raster."""
    along = np.linspace(0, face.length_mm, int(face.length_mm / step_mm) + 2)
    across = np.linspace(-0.5, 0.5, int(face.width_mm / step_mm) + 2) * face.width_mm
    a, b = (m.ravel() for m in np.meshgrid(along, across))
    points = face.surface(a, b)
    centres = face.surface(*spots.centres_mm(face, lattice))
    nearest = np.full(len(points), np.inf)
    for x, y in centres:
        nearest = np.minimum(nearest, np.hypot(points[:, 0] - x, points[:, 1] - y))
    return float((nearest > beam.diameter_mm / 2 * (1 + 1e-6)).mean())


def test_the_bench_count_along_an_arch():
    for face in spots.arch(arc_mm=118, radius_mm=23, band_mm=8, faces=3):
        assert spots.bench_lattice(face, BEAM, overlap=0.25) == Lattice(20, 1)


@pytest.mark.parametrize(
    ("length", "width", "expected"),
    [
        (20.0, 14.0, Lattice(4, 3)),  # a pitch of 6 mm
        (20.0, 5.0, Lattice(4, 1)),
        (24.0, 6.0, Lattice(4, 1)),  # whole on paper
        (6.4, 4.8, Lattice(1, 1)),  # 8 mm from corner to corner: one circle
        (6.5, 4.8, Lattice(2, 1)),
    ],
)
def test_the_bench_count_of_a_flat_face(length, width, expected):
    assert spots.bench_lattice(Face(length, width), BEAM, overlap=0.25) == expected


def test_a_circle_that_just_meets_the_corners_covers():
    """Identity: a box of 8 by 6 has a diagonal of 10."""
    assert spots.cover(Face(8.0, 6.0), Beam(10.0), Lattice(1, 1)).covers
    assert not spots.cover(Face(8.0, 6.0), Beam(10.0 - 1e-6), Lattice(1, 1)).covers


def test_the_worst_point_of_a_wall_that_is_longer_outside_is_found():
    """Two routes: a fine raster. Round the bend the cells are longer, and between two
    corners under two circles each lies an edge under one."""
    _, outer, _ = spots.arch(arc_mm=57.7, radius_mm=12.0, band_mm=14.0, faces=3)
    lattice, beam = Lattice(29, 1), Beam(15.3)
    centres = outer.surface(*spots.centres_mm(outer, lattice))
    raster = np.meshgrid(np.linspace(0, 57.7, 2001), np.linspace(-7, 7, 29))
    points = outer.surface(*(each.ravel() for each in raster))
    away = np.hypot(*(points[:, None, :] - centres[None, :, :]).transpose(2, 0, 1))
    dose = beam.relative_dose(away).sum(axis=1)

    assert spots.cover(outer, beam, lattice).least_relative_dose == dose.min() == 1.0


def test_a_square_lattice_leaves_holes_below_29_3_percent_overlap():
    # Identity: the diagonal of a pitch of d / sqrt 2 is just the diameter.
    exact = 1 - 1 / sqrt(2)
    for overlap, covered in ((exact - 1e-3, False), (exact + 1e-6, True)):
        pitch = 8.0 * (1 - overlap)
        face = Face(5 * pitch, 5 * pitch)
        cover = spots.cover(face, BEAM, Lattice(5, 5))

        assert cover.covers is covered
        assert (cover.least_relative_dose > 0) is covered


@settings(deadline=None, max_examples=40)
@given(
    length=st.floats(2, 60),
    width=st.floats(2, 25),
    overlap=st.floats(0, 0.6),
)
def test_a_covering_lattice_covers_and_is_the_smallest(length, width, overlap):
    face = Face(length, width)
    lattice = spots.covering_lattice(face, BEAM, overlap=overlap)

    assert spots.cover(face, BEAM, lattice).covers
    assert holes(face, BEAM, lattice) == 0.0

    def allowed(columns, rows):
        pitch = 8.0 * (1 - overlap) * (1 + 1e-9)
        return (
            (columns == 1 or length / columns <= pitch)
            and (rows == 1 or width / rows <= pitch)
            and hypot(length / columns, width / rows) <= 8.0 * (1 + 1e-9)
        )

    smallest = min(
        columns * rows
        for columns in range(1, 60)
        for rows in range(1, 30)
        if allowed(columns, rows)
    )
    assert lattice.spots == smallest


@settings(deadline=None, max_examples=15)
@given(
    radius=st.floats(12, 25),
    band=st.floats(3, 12),
    faces=st.integers(1, 3),
)
def test_an_arch_is_covered_on_every_face(radius, band, faces):
    for face in spots.arch(
        arc_mm=pi * radius + 30, radius_mm=radius, band_mm=band, faces=faces
    ):
        lattice = spots.covering_lattice(face, BEAM, overlap=0.25)

        assert spots.cover(face, BEAM, lattice).covers
        assert holes(face, BEAM, lattice, step_mm=0.5) == 0.0


def test_the_bench_count_of_an_arch_leaves_holes_on_wide_faces():
    face = spots.arch(arc_mm=118, radius_mm=23, band_mm=8, faces=1)[0]
    cover = spots.cover(face, BEAM, Lattice(20, 1))

    assert not cover.covers
    assert cover.least_relative_dose == 0.0
    assert holes(face, BEAM, Lattice(20, 1)) > 0


def test_a_small_crown_takes_one_spot_a_face():
    faces = spots.crown(length_mm=5.5, width_mm=5.5, height_mm=5.5, faces=5)

    assert [spots.bench_lattice(f, BEAM, overlap=0.25).spots for f in faces] == [1] * 5
    assert spots.covering_lattice(faces[0], BEAM, overlap=0.25) == Lattice(1, 1)


def test_a_crown_is_a_box_with_two_long_and_two_short_sides():
    top, *sides = spots.crown(length_mm=11.0, width_mm=9.0, height_mm=7.0, faces=5)

    assert (top.length_mm, top.width_mm) == (11.0, 9.0)
    assert sorted((each.length_mm, each.width_mm) for each in sides) == [
        (9.0, 7.0),
        (9.0, 7.0),
        (11.0, 7.0),
        (11.0, 7.0),
    ]
    assert spots.crown(length_mm=11, width_mm=9, height_mm=7, faces=1) == (top,)


def test_a_gaussian_beam_carries_the_power_of_a_top_hat():
    # Identity: integral of 2 exp(-2 r^2/w^2) over the plane is the circle's area.
    r = np.linspace(0, 40, 400_001)
    dose = Beam(8.0, "gaussian").relative_dose(r)

    assert dose[0] == 2.0
    assert np.trapezoid(dose * 2 * pi * r, r) == pytest.approx(pi * 16, rel=1e-6)


def test_the_worst_point_of_a_gaussian_lattice_is_found():
    face, lattice = Face(30.0, 20.0), Lattice(5, 4)
    beam = Beam(8.0, "gaussian")
    centres = face.surface(*spots.centres_mm(face, lattice))
    x, y = np.meshgrid(np.linspace(0, 30, 301), np.linspace(-10, 10, 201))
    dose = sum(beam.relative_dose(np.hypot(x - cx, y - cy)) for cx, cy in centres)

    found = spots.cover(face, beam, lattice).least_relative_dose
    assert found == pytest.approx(dose.min(), rel=1e-9)


def test_the_map_of_an_arch_is_a_horseshoe():
    face = spots.arch(arc_mm=118, radius_mm=23, band_mm=8, faces=1)[0]
    ends = face.plan(np.array([0.0, 59.0, 118.0]), np.zeros(3))
    leg = (118 - pi * 23) / 2

    assert ends == pytest.approx(np.array([[-23, -leg], [0, 23], [23, -leg]]), abs=1e-9)
    steps = np.diff(face.plan(np.linspace(0, 118, 1181), np.zeros(1181)), axis=0)
    assert np.hypot(*steps.T).sum() == pytest.approx(118, rel=1e-4)


def test_walls_stand_over_the_edges_of_the_flat_face():
    _, outer, inner = spots.arch(arc_mm=118, radius_mm=23, band_mm=8, faces=3)
    middle = np.array([59.0])

    assert outer.plan(middle, np.zeros(1))[0] == pytest.approx([0, 27], abs=1e-9)
    assert inner.plan(middle, np.zeros(1))[0] == pytest.approx([0, 19], abs=1e-9)
    # Unrolled, the outer wall is longer by half a band times pi.
    assert outer.surface(np.array([118.0]), np.zeros(1))[0][0] == pytest.approx(
        118 + 4 * pi
    )


def test_an_arch_that_cannot_be_is_refused():
    with pytest.raises(ValueError, match="longer than the whole arc"):
        spots.arch(arc_mm=50, radius_mm=23, band_mm=8, faces=1)
    with pytest.raises(ValueError, match="too wide"):
        spots.arch(arc_mm=118, radius_mm=4, band_mm=8, faces=1)


@pytest.mark.parametrize(("length", "width"), [(1000.0, 1000.0), (900.0, 60.0)])
def test_a_cover_beyond_the_hand_is_refused(length, width):
    with pytest.raises(ValueError, match="More than 2000 spots"):
        spots.covering_lattice(Face(length, width), Beam(6.0), overlap=0.25)


def test_two_thousand_spots_are_placed_and_one_more_is_not():
    face = Face(2000 * 6.0, 0.5)
    assert spots.covering_lattice(face, BEAM, overlap=0.25) == Lattice(2000, 1)

    with pytest.raises(ValueError, match="More than 2000 spots"):
        spots.covering_lattice(Face(2001 * 6.0, 0.5), BEAM, overlap=0.25)


def test_of_two_lattices_with_as_many_spots_the_one_with_fewer_rows_is_taken():
    assert spots.covering_lattice(Face(13.0, 13.0), BEAM, overlap=0.0) == Lattice(3, 2)


def test_a_rectangle_has_equal_faces():
    assert spots.rectangle(length_mm=3, width_mm=2, faces=2) == (Face(3, 2),) * 2
