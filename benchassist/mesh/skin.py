"""The skin of a part as points, looked at from six sides and marked by hand.

A print file has some hundred thousand triangles of any size; points spread evenly over
the skin, each standing for the same area, are as many whatever the file, and a stroke
of a brush is a question of distance.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from benchassist.value import value

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from benchassist.mesh.reading import Unit

POINTS = 160_000  # some 2.5 a pixel of a view, so that few holes show
PIXELS = 180  # of a side of a view
FACING = 0.2  # [-] cosine: what lies flatter to the eye is seen better from elsewhere
SEED = 1  # the same file is the same points
LEAST_CELL = 0.05  # of a spot's cell: less skin in it asks for no spot of its own

# From where: what points right, up, and to the eye, in the printer's axes.
VIEWS: Mapping[str, tuple[tuple[int, int, int], ...]] = {
    "top": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "front": ((1, 0, 0), (0, 0, 1), (0, -1, 0)),
    "right": ((0, 1, 0), (0, 0, 1), (1, 0, 0)),
    "back": ((-1, 0, 0), (0, 0, 1), (0, 1, 0)),
    "left": ((0, -1, 0), (0, 0, 1), (-1, 0, 0)),
    "bottom": ((1, 0, 0), (0, -1, 0), (0, 0, -1)),
}


@value
class Skin:
    """Points in mm about the part's middle, with outward normals.

    ``points`` and ``normals`` are arrays of n × 3; each point stands for ``each_mm2``.
    ``reach_mm`` is half the largest side of the part. ``digest`` is the file's.
    """

    points: Any
    normals: Any
    each_mm2: float
    reach_mm: float
    digest: str


@value
class Seen:
    """A skin from one side.

    ``shade`` is an image of bytes, 0 where nothing is; ``nearest`` the point that each
    pixel shows (-1: none); ``x_mm`` and ``y_mm`` of all points in the picture's plane,
    ``visible`` whether a point is seen from here. ``mm_per_px`` is the scale.
    """

    shade: Any
    nearest: Any
    x_mm: Any
    y_mm: Any
    visible: Any
    mm_per_px: float


def read_skin(path: Path, unit: Unit) -> Skin:
    """Return the skin in a print file, of which ``read_shape`` says the same.

    Raises
    ------
    MeshError
        As ``read_shape``.
    """
    from benchassist.mesh.reading import read_mesh  # noqa: PLC0415 - trimesh

    mesh, scale, shape = read_mesh(path, unit)
    return spread(mesh.triangles * scale, shape.digest)


def spread(triangles: Any, digest: str, count: int = POINTS) -> Skin:  # noqa: ANN401 - an array
    """Return points spread evenly over triangles, given as n × 3 × 3 in mm."""
    import numpy as np  # noqa: PLC0415 - only who marks faces waits for it

    corners = np.asarray(triangles, dtype=float)
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    corners = corners - (low + high) / 2
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice = np.linalg.norm(across, axis=1)
    ends = np.cumsum(twice)
    at = np.searchsorted(ends, (np.arange(count) + 0.5) / count * ends[-1])
    first, second = np.random.default_rng(SEED).random((2, count, 1))
    root = np.sqrt(first)
    picked = corners[at]
    points = (
        (1 - root) * picked[:, 0]
        + root * (1 - second) * picked[:, 1]
        + root * second * picked[:, 2]
    )
    normals = across[at] / np.maximum(twice[at], 1e-12)[:, None]
    each = float(ends[-1]) / 2 / count
    return Skin(points, normals, each, float((high - low).max()) / 2, digest)


def seen(skin: Skin, side: str) -> Seen:
    """Return a skin as it looks from one of ``VIEWS``."""
    import numpy as np  # noqa: PLC0415
    from scipy.ndimage import maximum_filter  # noqa: PLC0415

    right, up, eye = (np.array(each, dtype=float) for each in VIEWS[side])
    x, y, z = skin.points @ right, skin.points @ up, skin.points @ eye
    facing = skin.normals @ eye
    mm = 2 * skin.reach_mm * 1.04 / PIXELS
    column = np.clip((x / mm + PIXELS / 2).astype(int), 0, PIXELS - 1)
    row = np.clip((PIXELS / 2 - y / mm).astype(int), 0, PIXELS - 1)
    pixel = row * PIXELS + column
    ahead = np.flatnonzero(facing > FACING)
    depth = np.full(PIXELS * PIXELS, -np.inf)
    np.maximum.at(depth, pixel[ahead], z[ahead])
    # Between the points one looks through the skin: what is far behind is not seen.
    near = maximum_filter(depth.reshape(PIXELS, PIXELS), size=3).ravel()
    visible = np.zeros(len(x), dtype=bool)
    slope = 3 * mm / FACING
    visible[ahead] = z[ahead] >= near[pixel[ahead]] - slope
    shown = np.flatnonzero(visible)
    nearest = np.full(PIXELS * PIXELS, -1)
    order = shown[np.argsort(z[shown])]
    nearest[pixel[order]] = order
    nearest = _closed(nearest.reshape(PIXELS, PIXELS))
    shade = np.where(nearest >= 0, 70 + 185 * facing[nearest], 0).astype(np.uint8)
    return Seen(shade, nearest, x, y, visible, mm)


def _closed(nearest: Any) -> Any:  # noqa: ANN401 - an array
    """Return a picture whose single holes show what lies beside them."""
    import numpy as np  # noqa: PLC0415

    filled = nearest.copy()
    for axis, by in ((0, 1), (0, -1), (1, 1), (1, -1)):
        beside = np.roll(nearest, by, axis=axis)
        across = np.roll(nearest, -by, axis=axis)
        hole = (filled < 0) & (beside >= 0) & (across >= 0)
        filled[hole] = beside[hole]
    return filled


def stroke(view: Seen, x_mm: float, y_mm: float, radius_mm: float) -> Any:  # noqa: ANN401
    """Return which points a round brush touches at a place of a view."""
    away = (view.x_mm - x_mm) ** 2 + (view.y_mm - y_mm) ** 2
    return view.visible & (away <= radius_mm**2)


def area_mm2(skin: Skin, marked: Any) -> float:  # noqa: ANN401 - an array
    """Return the area of the marked skin."""
    return float(marked.sum()) * skin.each_mm2


def spots(skin: Skin, marked: Any, pitch_mm: float) -> dict[str, int]:  # noqa: ANN401
    """Return the tack spots that the marked skin takes, by the side it looks to.

    The skin that looks to a side is laid over with cells of one pitch (a useful beam
    less its overlap); each cell with skin in it takes a spot, as a strip does whose
    length is cut into pitches.
    """
    import numpy as np  # noqa: PLC0415

    eyes = np.array([view[2] for view in VIEWS.values()], dtype=float)
    looks = np.argmax(skin.normals @ eyes.T, axis=1)
    least = LEAST_CELL * pitch_mm**2 / skin.each_mm2
    found = {}
    for n, (side, view) in enumerate(VIEWS.items()):
        chosen = np.flatnonzero(marked & (looks == n))
        if not len(chosen):
            continue
        flat = skin.points[chosen] @ np.array(view[:2], dtype=float).T
        cells = np.floor((flat - flat.min(axis=0)) / pitch_mm).astype(int)
        _, held = np.unique(cells, axis=0, return_counts=True)
        count = int((held >= least).sum())
        if count:
            found[side] = count
    return found
