"""Lay the tack spots of a coat into segments that fit its wet limit.

Plain arithmetic for the bench; whether the circles of light cover the surface is a
question for physics.
"""

from math import floor

# [-] guards a floor against the last bit of a division that comes out whole.
_WHOLE = 1e-9


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
