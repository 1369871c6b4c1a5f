"""Print files against closed forms and against a second library (scipy's Qhull)."""

import math
import random
import zipfile

import numpy as np
import pytest
import trimesh
from scipy.spatial import ConvexHull

from benchassist.mesh import MeshError, read_shape


def written(mesh, tmp_path, kind="stl", **more):
    path = tmp_path / f"part.{kind}"
    mesh.export(path, **more)
    return path


@pytest.mark.parametrize("kind", ["stl", "obj", "3mf"])
def test_a_box_is_its_closed_form(tmp_path, kind):
    path = written(trimesh.creation.box((8.0, 10.0, 12.0)), tmp_path, kind)
    shape = read_shape(path, "mm")
    assert shape.volume_mm3 == pytest.approx(960, rel=1e-6)
    assert shape.area_mm2 == pytest.approx(2 * (80 + 96 + 120), rel=1e-6)
    assert (shape.width_mm, shape.depth_mm, shape.height_mm) == pytest.approx(
        (8, 10, 12), rel=1e-6
    )
    assert shape.watertight
    assert len(shape.outline_mm) == 4


def test_a_fine_ball_nears_its_closed_form(tmp_path):
    shape = read_shape(written(trimesh.creation.icosphere(5, radius=6), tmp_path), "mm")
    assert shape.volume_mm3 == pytest.approx(4 / 3 * math.pi * 216, rel=2e-3)
    assert shape.area_mm2 == pytest.approx(4 * math.pi * 36, rel=2e-3)


def test_a_convex_part_agrees_with_another_library(tmp_path):
    # scipy.spatial.ConvexHull (Qhull): area and volume of the same random points.
    points = np.random.default_rng(5).normal(size=(80, 3)) * 7
    hull = ConvexHull(points)
    shape = read_shape(written(trimesh.convex.convex_hull(points), tmp_path), "mm")
    assert shape.volume_mm3 == pytest.approx(hull.volume, rel=1e-5)
    assert shape.area_mm2 == pytest.approx(hull.area, rel=1e-5)
    seen = ConvexHull(points[:, :2])  # in the plane its volume is the area
    xs, ys = np.array(shape.outline_mm).T
    area = 0.5 * abs(np.dot(xs, np.roll(ys, 1)) - np.dot(ys, np.roll(xs, 1)))
    assert area == pytest.approx(seen.volume, rel=1e-5)


def test_a_unit_that_the_file_says_is_believed_before_the_hand(tmp_path):
    # 3MF core specification: the unit attribute of the model; here 0.4 inch wide.
    path = written(trimesh.creation.box((0.4, 0.5, 0.6)), tmp_path, "3mf")
    inches = tmp_path / "inches.3mf"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(inches, "w") as new:
        for name in old.namelist():
            text = old.read(name).replace(b'unit="millimeter"', b'unit="inch"')
            new.writestr(name, text)
    assert read_shape(inches, "mm").width_mm == pytest.approx(0.4 * 25.4)


def test_an_open_skin_says_so_and_errs_to_more(tmp_path):
    ball = trimesh.creation.icosphere(3, radius=6)
    ball.faces = ball.faces[10:]
    shape = read_shape(written(ball, tmp_path), "mm")
    assert not shape.watertight
    assert shape.volume_mm3 >= ball.volume


def test_the_unit_is_asked_and_a_wrong_one_is_said(tmp_path):
    box = written(trimesh.creation.box((0.8, 1.0, 1.2)), tmp_path)
    assert read_shape(box, "cm").volume_mm3 == pytest.approx(960, rel=1e-6)
    with pytest.raises(MeshError, match="check the unit"):
        read_shape(written(trimesh.creation.box((80, 90, 99)), tmp_path), "inch")


@pytest.mark.parametrize("kind", ["stl", "obj", "3mf"])
def test_three_hundred_broken_files_give_a_shape_or_one_sentence(tmp_path, kind):
    source = written(trimesh.creation.icosphere(1, radius=6), tmp_path, kind)
    good, chance = source.read_bytes(), random.Random(11)
    sentences = 0
    for _ in range(100):
        broken = bytearray(good)
        for _ in range(chance.choice((1, 3, 30))):
            broken[chance.randrange(len(broken))] = chance.randrange(256)
        if chance.random() < 0.3:
            del broken[chance.randrange(len(broken)) :]
        path = tmp_path / f"broken.{kind}"
        path.write_bytes(broken)
        try:
            shape = read_shape(path, "mm")
        except MeshError as error:
            sentences += 1
            said = str(error)
            assert said.isprintable(), said
        else:
            assert math.isfinite(shape.volume_mm3)
            assert math.isfinite(shape.area_mm2)
    assert sentences > 10


@pytest.mark.parametrize("name", ["part.exe", "part", "missing.stl", "nul\0.stl"])
def test_what_is_no_print_file(tmp_path, name):
    with pytest.raises(MeshError):
        read_shape(tmp_path / name, "mm")
