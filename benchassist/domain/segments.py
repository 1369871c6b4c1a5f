"""Lay the tack spots of a coat into segments that fit its wet limit.

Plain arithmetic for the bench; whether the circles of light cover the surface is a
question for physics.
"""

from math import ceil, floor
from typing import NamedTuple

# [-] guards a ceiling against the last bit of a division that comes out whole.
_WHOLE = 1e-9


class SpotCount(NamedTuple):
    """Columns of spots along the arc, and how many spots that makes in all."""

    columns: int
    faces: int

    @property
    def spots(self) -> int:
        """Spots of one coat."""
        return self.columns * self.faces


def spot_count(
    arc_mm: float, useful_mm: float, *, overlap: float, faces: int
) -> SpotCount:
    r"""Return the bench count of tack spots along an arc.

    .. math:: N = \lceil L / (d (1 - o)) \rceil \times faces

    Common practice, no source. It is not a proof of cover: circles on a square
    lattice leave holes below 29.3 % overlap.

    Parameters
    ----------
    arc_mm
        Coated length along the arc.
    useful_mm
        Useful diameter of the beam, smaller than the tip's.
    overlap
        Overlap of neighbours as a fraction of the diameter, in [0, 1).
    faces
        Rows of spots, one for each face that is coated.

    Raises
    ------
    ValueError
        If a length or count is not positive or the overlap is out of range.
    """
    if not (arc_mm > 0.0 and useful_mm > 0.0):
        raise ValueError("The arc and the useful beam must be longer than 0 mm.")
    if not 0.0 <= overlap < 1.0:
        raise ValueError("The overlap must be at least 0 and below 1.")
    if faces < 1:
        raise ValueError("At least one face must be coated.")
    columns = ceil(arc_mm / (useful_mm * (1.0 - overlap)) - _WHOLE)
    return SpotCount(columns=max(1, columns), faces=faces)


def spots_per_segment(
    *, wet_limit_s: float, brush_s: float, spot_s: float, move_s: float
) -> int:
    """Return how many spots can be tacked before the brushed resin is wet too long.

    0 means that not even one spot fits: the wet limit, the brushing or the tack has
    to change. The move after the last spot is counted, as on the bench.

    Raises
    ------
    ValueError
        If a time is negative or a spot takes no time.
    """
    if min(wet_limit_s, brush_s, move_s) < 0.0 or spot_s <= 0.0:
        raise ValueError("Times cannot be negative, and a tack must take some time.")
    return max(0, floor((wet_limit_s - brush_s) / (spot_s + move_s) + _WHOLE))


def segments(count: int, per_segment: int) -> tuple[int, ...]:
    """Return the sizes of the segments: full ones, and the rest in the last.

    Raises
    ------
    ValueError
        If the count is negative or a segment holds no spot.
    """
    if count < 0:
        raise ValueError("The number of spots cannot be negative.")
    if per_segment < 1:
        raise ValueError("Not even one spot fits the wet limit.")
    full, rest = divmod(count, per_segment)
    return (per_segment,) * full + ((rest,) if rest else ())


def coat_s(
    sizes: tuple[int, ...], *, brush_s: float, spot_s: float, move_s: float
) -> float:
    """Return the hand time of one coat in s, all segments one after another."""
    return len(sizes) * brush_s + sum(sizes) * (spot_s + move_s)
