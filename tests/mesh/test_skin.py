"""A skin marked by hand: areas against closed forms, spots against the bench's count."""

import math

import numpy as np
import pytest
import trimesh

from benchassist.mesh.skin import (
    VIEWS,
    area_mm2,
    read_skin,
    seen,
    spots,
    spread,
    stroke,
)

PITCH = 6.0  # a useful beam of 8 mm less a quarter


def box(*sides):
    return spread(trimesh.creation.box(sides).triangles, "ab" * 32)


def everything(view):
    return view.visible


@pytest.mark.parametrize(
    ("side", "area"),
    [("top", 600), ("bottom", 600), ("front", 300), ("back", 300), ("right", 200)],
)
def test_what_is_seen_of_a_block_from_one_side_is_that_side(side, area):
    """30 x 20 x 10 mm: closed form."""
    block = box(30, 20, 10)

    marked = everything(seen(block, side))

    assert area_mm2(block, marked) == pytest.approx(area, rel=0.01)


def test_the_six_sides_together_are_the_whole_skin():
    block = box(30, 20, 10)
    marked = np.any([seen(block, side).visible for side in VIEWS], axis=0)

    assert area_mm2(block, marked) == pytest.approx(2200, rel=0.01)


def test_half_a_sphere_is_seen_but_for_its_rim():
    """A cap above cos 0.2 of a sphere of radius r has 2 π r² (1 - 0.2)."""
    ball = spread(trimesh.creation.icosphere(subdivisions=4, radius=8).triangles, "")

    marked = seen(ball, "top").visible

    assert area_mm2(ball, marked) == pytest.approx(2 * math.pi * 64 * 0.8, rel=0.02)


def test_a_stroke_is_a_disc_and_touches_nothing_behind():
    """Radius 3 mm on a flat side: π 9 mm²; the far side stays clean."""
    block = box(30, 20, 10)

    marked = stroke(seen(block, "top"), 2.0, 1.0, 3.0)

    assert area_mm2(block, marked) == pytest.approx(math.pi * 9, rel=0.03)
    assert set(np.sign(block.points[marked][:, 2])) == {1.0}


def test_a_wall_in_front_hides_what_is_behind_it():
    """Two plates, one behind the other: the one behind is not marked through it."""
    front = trimesh.creation.box((20, 2, 20))
    behind = trimesh.creation.box((20, 2, 20))
    behind.apply_translation((0, 10, 0))
    both = trimesh.util.concatenate([front, behind])
    skin = spread(both.triangles, "")

    marked = seen(skin, "front").visible

    assert area_mm2(skin, marked) == pytest.approx(400, rel=0.02)


@pytest.mark.parametrize(
    ("sides", "count"), [((30, 20), 5 * 4), ((6, 6), 1), ((13, 5), 3), ((2, 29), 5)]
)
def test_a_flat_side_takes_the_bench_s_count(sides, count):
    """Rows and columns of one pitch, each begun one a spot: by hand."""
    block = box(*sides, 10)

    found = spots(block, seen(block, "top").visible, PITCH)

    assert found == {"top": count}


def test_spots_are_counted_by_the_side_the_skin_looks_to():
    block = box(30, 20, 10)
    marked = seen(block, "top").visible | seen(block, "left").visible

    assert spots(block, marked, PITCH) == {"top": 20, "left": 4 * 2}


def test_nothing_marked_takes_no_spot():
    block = box(30, 20, 10)

    assert spots(block, np.zeros(len(block.points), dtype=bool), PITCH) == {}


def test_a_picture_is_shaded_where_there_is_a_part():
    view = seen(box(30, 20, 10), "top")

    filled = float((view.shade > 0).mean())

    assert filled == pytest.approx(30 * 20 / (30 * 1.04) ** 2, rel=0.03)
    assert view.shade.dtype == np.uint8


def test_a_skin_is_that_of_the_file(tmp_path):
    trimesh.creation.cylinder(radius=4, height=9, sections=256).export(
        tmp_path / "part.stl"
    )

    skin = read_skin(tmp_path / "part.stl", "mm")

    whole = 2 * math.pi * 16 + 2 * math.pi * 4 * 9
    assert len(skin.points) * skin.each_mm2 == pytest.approx(whole, rel=1e-3)
    assert len(skin.digest) == 64
