"""Where the circles of a hand lamp fall on a coat, and what they leave out.

A coat is a set of faces; each face is a strip, laid out along its middle line, on
which the spots stand in a rectangular lattice. The strip is flat (rectangle, the
faces of a crown) or follows an arch: a half circle with two straight legs, whose
middle face is flat and whose outer and inner faces are walls standing on its edges.
"""

from dataclasses import dataclass
from math import ceil, cos, hypot, pi, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from benchassist.physics.spectra import FloatArray

Profile = Literal["top-hat", "gaussian"]

MOST_SPOTS = 2000
FINE, MOST_POINTS = 40, 2e7  # points to a cell's side, and points times circles
# [-] a circle that meets a corner to this share of its radius still covers it.
_TOUCH = 1e-9


@dataclass(frozen=True, slots=True)
class Beam:
    """A useful beam, its diameter smaller than the tip's.

    A Gaussian beam falls to 1/e2 at the diameter and, at equal power, is twice as
    strong in its middle as a top-hat of that diameter.
    """

    diameter_mm: float
    profile: Profile = "top-hat"

    def relative_dose(self, distance_mm: FloatArray) -> FloatArray:
        """Return the dose at distances from the middle, 1 being a top-hat's."""
        radius_mm = self.diameter_mm / 2.0
        if self.profile == "gaussian":
            return 2.0 * np.exp(-2.0 * (distance_mm / radius_mm) ** 2)
        return np.where(distance_mm <= radius_mm * (1.0 + _TOUCH), 1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Face:
    """A strip to be coated: length along its middle line and width across it.

    ``radius_mm`` is that of the half circle in the middle of the strip's length, 0
    for a straight strip. ``wall_offset_mm`` is how far outside (or, negative,
    inside) the middle line a standing wall lies, None for a flat face.
    """

    length_mm: float
    width_mm: float
    radius_mm: float = 0.0
    wall_offset_mm: float | None = None

    @property
    def leg_mm(self) -> float:
        """Length of each straight leg."""
        return (self.length_mm - pi * self.radius_mm) / 2.0

    def surface(self, along_mm: FloatArray, across_mm: FloatArray) -> FloatArray:
        """Return points of the face as plane coordinates in which distances hold.

        ``along_mm`` runs along the arch's middle line, ``across_mm`` from the middle
        of the strip. A wall is unrolled; its curved part is longer than the middle
        line outside it and shorter inside.
        """
        if self.wall_offset_mm is None:
            return self._plan(along_mm, across_mm)
        stretch = 1.0 + self.wall_offset_mm / self.radius_mm if self.radius_mm else 1.0
        bend = np.clip(along_mm - self.leg_mm, 0.0, pi * self.radius_mm)
        return np.stack((along_mm + bend * (stretch - 1.0), across_mm), axis=-1)

    def plan(self, along_mm: FloatArray, across_mm: FloatArray) -> FloatArray:
        """Return points of the face as seen from above, for drawing."""
        if self.wall_offset_mm is None:
            return self._plan(along_mm, across_mm)
        return self._plan(along_mm, np.full(along_mm.shape, self.wall_offset_mm))

    def _plan(self, along_mm: FloatArray, across_mm: FloatArray) -> FloatArray:
        if not self.radius_mm:
            return np.stack((along_mm, across_mm), axis=-1)
        bend = np.clip(along_mm - self.leg_mm, 0.0, pi * self.radius_mm)
        angle = bend / self.radius_mm
        reach = self.radius_mm + across_mm
        # Along the legs the angle stands still and the rest runs straight on.
        before = np.minimum(along_mm - self.leg_mm, 0.0)
        after = np.maximum(along_mm - self.leg_mm - pi * self.radius_mm, 0.0)
        return np.stack(
            (-reach * np.cos(angle), reach * np.sin(angle) + before - after), axis=-1
        )

    def cell_reach_mm(self, columns: int, rows: int) -> float:
        """Return the distance from a lattice point to its cell's farthest corner."""
        half_along = self.length_mm / columns / 2.0
        half_across = self.width_mm / rows / 2.0
        reach = hypot(half_along, half_across)
        if not self.radius_mm:
            return reach
        if self.wall_offset_mm is not None:
            stretch = 1.0 + self.wall_offset_mm / self.radius_mm
            return max(reach, hypot(half_along * stretch, half_across))
        cosine = cos(half_along / self.radius_mm)
        for row in _middles(self.width_mm, rows):
            middle = self.radius_mm + row
            for corner in (middle - half_across, middle + half_across):
                square = middle**2 + corner**2 - 2.0 * middle * corner * cosine
                reach = max(reach, sqrt(max(0.0, square)))
        return reach


@dataclass(frozen=True, slots=True)
class Lattice:
    """Columns and rows of spots on one face."""

    columns: int
    rows: int

    @property
    def spots(self) -> int:
        """How many spots that is."""
        return self.columns * self.rows


@dataclass(frozen=True, slots=True)
class Cover:
    """What a lattice of circles does to a face.

    ``least_relative_dose`` is the dose at the worst point, 1 being that of a single
    top-hat spot. ``most_circles`` lie over one point; ``lit_twice`` and ``holes`` are
    the shares of the face under more than one and under none.
    """

    covers: bool
    least_relative_dose: float
    most_circles: int
    lit_twice: float
    holes: float


def rectangle(*, length_mm: float, width_mm: float, faces: int) -> tuple[Face, ...]:
    """Return equal flat faces."""
    return (Face(length_mm, width_mm),) * faces


def arch(
    *, arc_mm: float, radius_mm: float, band_mm: float, faces: int
) -> tuple[Face, ...]:
    """Return the faces of an arch: its flat face, then its outer and inner wall.

    Two faces are the two walls, one is the flat face.

    Parameters
    ----------
    arc_mm
        Length of the middle line.
    radius_mm
        Radius of the half circle in it.
    band_mm
        Width of the flat face and height of the walls.
    faces
        1 to 3.

    Raises
    ------
    ValueError
        If the half circle is longer than the arc or the strip wider than it is
        round.
    """
    if pi * radius_mm > arc_mm:
        message = (
            f"A half circle of {radius_mm:g} mm radius is longer than the whole arc of "
            f"{arc_mm:g} mm."
        )
        raise ValueError(message)
    if band_mm / 2.0 >= radius_mm:
        raise ValueError("The coated band is too wide for the arch's radius.")
    flat = Face(arc_mm, band_mm, radius_mm)
    walls = tuple(
        Face(arc_mm, band_mm, radius_mm, offset)
        for offset in (band_mm / 2.0, -band_mm / 2.0)
    )
    return {1: (flat,), 2: walls, 3: (flat, *walls)}[faces]


def crown(
    *, length_mm: float, width_mm: float, height_mm: float, faces: int
) -> tuple[Face, ...]:
    """Return the faces of a crown as a box: top, then its four sides.

    ``faces`` counts from the top: 1 is the biting face alone, 5 all.
    """
    along, across = Face(length_mm, height_mm), Face(width_mm, height_mm)
    return (Face(length_mm, width_mm), along, along, across, across)[:faces]


def bench_lattice(face: Face, beam: Beam, *, overlap: float) -> Lattice:
    r"""Return the lattice of the bench count, by pitch alone.

    .. math:: n = \lceil L / (d (1 - o)) \rceil

    along and, on a straight face, across; an arch has one row per face. One spot
    where its circle covers the face. Common practice, no source.
    """
    if face.cell_reach_mm(1, 1) <= beam.diameter_mm / 2.0:
        return Lattice(1, 1)
    pitch_mm = beam.diameter_mm * (1.0 - overlap)
    rows = 1 if face.radius_mm else _ceil(face.width_mm / pitch_mm)
    return Lattice(_ceil(face.length_mm / pitch_mm), rows)


def covering_lattice(face: Face, beam: Beam, *, overlap: float) -> Lattice:
    """Return the fewest spots that leave no hole, at least at the given overlap.

    A lattice covers if every cell's farthest corner lies within the circle round its
    middle: a square lattice needs 29.3 % overlap for that. Fewest among aligned
    rectangular lattices, not among all arrangements. One row or column needs no
    overlap.

    Raises
    ------
    ValueError
        If more spots are needed than can sensibly be placed by hand.
    """
    pitch_mm = beam.diameter_mm * (1.0 - overlap)
    radius_mm = beam.diameter_mm / 2.0 * (1.0 + _TOUCH)
    best, below = None, MOST_SPOTS + 1
    rows, fewest = 1, _ceil(face.length_mm / beam.diameter_mm)
    while rows * fewest < below:
        columns = _least_columns(face, rows, radius_mm=radius_mm, pitch_mm=pitch_mm)
        if columns and columns * rows < below:
            best, below = Lattice(columns, rows), columns * rows
        # The next number of rows that the overlap allows.
        rows = max(rows + 1, _ceil(face.width_mm / pitch_mm))
    if best is None:
        message = f"More than {MOST_SPOTS} spots would be needed to cover a face."
        raise ValueError(message)
    return best


def _least_columns(
    face: Face, rows: int, *, radius_mm: float, pitch_mm: float
) -> int | None:
    half_across = face.width_mm / rows / 2.0
    if half_across >= radius_mm:
        return None
    if face.cell_reach_mm(1, rows) <= radius_mm:
        return 1
    # Enough for a straight strip; the outside of a bend may need a few more.
    half_along = sqrt(radius_mm**2 - half_across**2)
    columns = max(
        _ceil(face.length_mm / pitch_mm), int(face.length_mm / 2 / half_along)
    )
    while columns * rows <= MOST_SPOTS:
        if face.cell_reach_mm(columns, rows) <= radius_mm:
            return columns
        columns += 1
    return None


def centres_mm(face: Face, lattice: Lattice) -> tuple[FloatArray, FloatArray]:
    """Return the lattice points as along and across, column by column."""
    along = _middles(face.length_mm, lattice.columns) + face.length_mm / 2.0
    across = _middles(face.width_mm, lattice.rows)
    return np.repeat(along, lattice.rows), np.tile(across, lattice.columns)


def cover(face: Face, beam: Beam, lattice: Lattice) -> Cover:
    """Return whether the circles cover a face, and the dose at its worst point.

    Looked at in the corners, edge middles and centres of all cells, among which the
    worst point of a lattice lies.
    """
    spots = face.surface(*centres_mm(face, lattice))
    along = np.linspace(0.0, face.length_mm, 2 * lattice.columns + 1)
    across = np.linspace(-0.5, 0.5, 2 * lattice.rows + 1) * face.width_mm
    least = np.inf
    # Column of points by column, so that a large lattice takes little memory.
    for position in along:
        points = face.surface(np.full(across.shape, position), across)
        distance = np.hypot(
            points[:, None, 0] - spots[None, :, 0],
            points[:, None, 1] - spots[None, :, 1],
        )
        least = min(least, float(beam.relative_dose(distance).sum(axis=1).min()))
    counts = _circles_over(face, beam, spots, lattice)
    reach_mm = face.cell_reach_mm(lattice.columns, lattice.rows)
    return Cover(
        covers=reach_mm <= beam.diameter_mm / 2.0 * (1.0 + _TOUCH),
        least_relative_dose=least,
        most_circles=int(counts.max()),
        lit_twice=float((counts > 1).mean()),
        holes=float((counts == 0).mean()),
    )


def circles_over(
    points_mm: FloatArray, centres: FloatArray, *, diameter_mm: float
) -> NDArray[np.intp]:
    """Return how many circles lie over each point, both (…, 2) in mm."""
    off = points_mm[:, None, :] - centres[None, :, :]
    inside = np.hypot(off[..., 0], off[..., 1]) < diameter_mm / 2.0
    counts: NDArray[np.intp] = inside.sum(axis=1)
    return counts


def _circles_over(
    face: Face, beam: Beam, spots: FloatArray, lattice: Lattice
) -> NDArray[np.intp]:
    """Return how many circles lie over points that are even over a face."""
    fine = max(4, min(FINE, int(sqrt(MOST_POINTS) / lattice.spots)))
    along = _middles(face.length_mm, lattice.columns * fine) + face.length_mm / 2
    across = _middles(face.width_mm, lattice.rows * fine)
    counts = []
    for position in along:
        points = face.surface(np.full(across.shape, position), across)
        counts.append(circles_over(points, spots, diameter_mm=beam.diameter_mm))
    return np.array(counts)


def _middles(length_mm: float, count: int) -> FloatArray:
    indices = np.arange(count, dtype=np.float64)
    return (indices + 0.5) * (length_mm / count) - length_mm / 2.0


def _ceil(quotient: float) -> int:
    # A quotient that is whole on paper must not be rounded up by its last bit.
    return ceil(quotient / (1.0 + _TOUCH))
