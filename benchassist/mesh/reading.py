"""A print file read within bounds: what it says, or one sentence why it does not."""

from __future__ import annotations

from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any, Literal

from benchassist.files import quiet, read_whole
from benchassist.value import value

Unit = Literal["mm", "cm", "m", "inch"]
UNITS: dict[Unit, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4}
# The words of the 3MF core specification for its unit attribute.
SAID = {
    "micron": 0.001,
    "millimeter": 1.0,
    "centimeter": 10.0,
    "inch": 25.4,
    "foot": 304.8,
    "meter": 1000.0,
}
KINDS = ("stl", "3mf", "obj")
MOST_BYTES = 256 * 2**20  # a full-arch print file is some 10 to 50 MiB
MOST_TRIANGLES = 5_000_000
# Between a chip of a veneer and a printer's build plate: beyond is a wrong unit.
LEAST_MM, MOST_MM = 1.0, 400.0


class MeshError(ValueError):
    """A print file that is not taken; its text is the sentence for the screen."""


@value
class Shape:
    """What a print file says of a part.

    Lengths in mm, ``area_mm2`` of the whole skin, ``volume_mm3`` only where the skin
    is closed (``watertight``), else the volume of the convex hull, which is more.
    ``height_mm`` is along the printer's z. ``outline_mm`` is the convex outline seen
    from above, counter-clockwise. ``digest`` is the SHA-256 of the file.
    """

    area_mm2: float
    volume_mm3: float
    watertight: bool
    width_mm: float
    depth_mm: float
    height_mm: float
    outline_mm: tuple[tuple[float, float], ...]
    triangles: int
    digest: str


def read_shape(path: Path, unit: Unit) -> Shape:
    """Return the shape in a print file.

    Parameters
    ----------
    path
        An STL, 3MF or OBJ file; which, its ending says.
    unit
        What one unit of the file is: STL and OBJ do not say, so a hand does. A 3MF
        file that says it is believed before the hand.

    Raises
    ------
    MeshError
        If it cannot be read, is too large, holds no surface, or cannot be a part in
        that unit.
    """
    return read_mesh(path, unit)[2]


def read_mesh(path: Path, unit: Unit) -> tuple[Any, float, Shape]:
    """Return a print file's mesh in its own unit, that unit in mm, and its shape.

    Raises
    ------
    MeshError
        As ``read_shape``.
    """
    kind = path.suffix.lower().removeprefix(".")
    if kind not in KINDS:
        msg = f"{path.name} is no print file: choose one that ends in .stl, .3mf, .obj."
        raise MeshError(msg)
    data = _bytes(path)
    import numpy as np  # noqa: PLC0415 - only who has a print file waits for these
    import trimesh  # noqa: PLC0415

    with quiet("trimesh"), np.errstate(all="ignore"):
        try:
            scene = trimesh.load_scene(BytesIO(data), file_type=kind, process=False)
            mesh = scene.to_mesh()
            mesh.merge_vertices()
        except Exception as error:  # noqa: BLE001 - a parser fails in as many ways as files do
            msg = (
                f"{path.name} cannot be read as a {kind.upper()} file"
                f" ({type(error).__name__}): export it again."
            )
            raise MeshError(msg) from None
        scale = SAID.get(str(scene.units), UNITS[unit])
        return mesh, scale, _shape(mesh, scale, path.name, sha256(data).hexdigest())


def _bytes(path: Path) -> bytes:
    try:
        return read_whole(path, MOST_BYTES)
    except OSError as error:
        msg = f"{path.name!r} cannot be opened ({error.strerror}): choose a print file."
        raise MeshError(msg) from None


def _shape(mesh: Any, scale: float, name: str, digest: str) -> Shape:  # noqa: ANN401 - untyped library
    import numpy as np  # noqa: PLC0415
    from scipy.spatial import ConvexHull, QhullError  # noqa: PLC0415

    triangles, vertices = len(mesh.faces), np.asarray(mesh.vertices)
    whole = vertices.ndim == 2 and vertices.shape[1] == 3  # noqa: PLR2004 - x, y, z
    if (
        not (triangles and whole and np.isfinite(vertices).all())
        or np.max(mesh.faces) >= len(vertices)
        or np.min(mesh.faces) < 0
    ):
        msg = f"{name} holds no surface: export it again."
        raise MeshError(msg)
    if triangles > MOST_TRIANGLES:
        msg = f"{name} has {triangles} triangles: choose the file of one part."
        raise MeshError(msg)
    points = vertices[np.unique(mesh.faces)] * scale
    size = points.max(axis=0) - points.min(axis=0)
    if not LEAST_MM <= size.max() <= MOST_MM:
        msg = (
            f"{name} would be {size.max():.3g} mm long: check the unit, a part is"
            f" {LEAST_MM:g} to {MOST_MM:g} mm."
        )
        raise MeshError(msg)
    try:
        hull = ConvexHull(points)
        flat = ConvexHull(points[:, :2])
    except (QhullError, ValueError):
        msg = f"{name} is flat: that is no part."
        raise MeshError(msg) from None
    closed = bool(mesh.is_watertight and mesh.is_winding_consistent)
    volume = abs(float(mesh.volume)) * scale**3 if closed else float(hull.volume)
    return Shape(
        area_mm2=float(mesh.area) * scale**2,
        volume_mm3=volume,
        watertight=closed,
        width_mm=float(size[0]),
        depth_mm=float(size[1]),
        height_mm=float(size[2]),
        outline_mm=tuple((float(x), float(y)) for x, y in points[flat.vertices, :2]),
        triangles=triangles,
        digest=digest,
    )
