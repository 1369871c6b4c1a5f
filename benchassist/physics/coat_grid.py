"""Cells through a coat and through the liquid over it; widths in um, top first."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from benchassist.physics.spectra import FloatArray

IndexArray: TypeAlias = NDArray[np.intp]
BoolArray: TypeAlias = NDArray[np.bool_]


def coat_widths_um(
    thickness_um: float, *, finest_um: float, growth: float, coarsest_um: float
) -> FloatArray:
    """Return cell widths that grow from the fresh surface down to a largest width.

    Parameters
    ----------
    thickness_um
        Sum of the widths.
    finest_um, coarsest_um
        Width at the surface, and the width that is not passed.
    growth
        Ratio of neighbours until then.
    """
    # A cell for every width, so that a thin coat still has three.
    finest_um = min(finest_um, thickness_um / 3.0)
    widths = [finest_um]
    depth = finest_um
    while depth < thickness_um * (1.0 - 1e-9):
        widths.append(min(widths[-1] * growth, coarsest_um, thickness_um / 3.0))
        depth += widths[-1]
    return np.array(widths) * (thickness_um / depth)


def film_widths_um(
    thickness_um: float, *, finest_um: float, growth: float
) -> FloatArray:
    """Return cell widths of a film, finest at the coat, that is at the bottom."""
    return coat_widths_um(
        thickness_um, finest_um=finest_um, growth=growth, coarsest_um=thickness_um / 4.0
    )[::-1]


def centres_um(widths_um: FloatArray) -> FloatArray:
    """Return the depths of the cell centres."""
    return np.cumsum(widths_um) - 0.5 * widths_um


def soft_everywhere_um(
    conversion: FloatArray, widths_um: FloatArray, *, threshold: float
) -> FloatArray:
    """Return the depth of all that stays below a threshold, wherever it lies.

    Linear between cell centres, as in soft_depth_um; a skin that a later coat has
    buried counts as much as the one on top.

    Parameters
    ----------
    conversion
        Shape (rows, cells), top first.
    widths_um
        Shape (cells,).
    threshold
        Conversion from which the resin counts as set.

    Returns
    -------
    FloatArray
        Shape (rows,).
    """
    low = np.minimum(conversion[:, :-1], conversion[:, 1:])
    high = np.maximum(conversion[:, :-1], conversion[:, 1:])
    rise = np.maximum(high - low, 1e-300)
    share = np.clip((threshold - low) / rise, 0.0, 1.0)
    share = np.where(low >= threshold, 0.0, share)
    between_um: FloatArray = share @ np.diff(centres_um(widths_um))
    ends_um = 0.5 * widths_um[[0, -1]]
    return between_um + (conversion[:, [0, -1]] < threshold) @ ends_um


def lowest_um(
    conversion: FloatArray, widths_um: FloatArray, *, depth_um: float
) -> FloatArray:
    """Return the conversion below which just so much depth lies, wherever it lies.

    It is at a threshold where that much is soft, by whole cells. All of it where the
    coats are no deeper.

    Parameters
    ----------
    conversion
        Shape (rows, cells).
    widths_um
        Shape (cells,).
    depth_um
        Depth that may stay below.

    Returns
    -------
    FloatArray
        Shape (rows,).
    """
    if depth_um >= widths_um.sum():
        return np.ones(conversion.shape[0])
    order = np.argsort(conversion, axis=1)
    ordered = np.take_along_axis(conversion, order, axis=1)
    below_um = np.cumsum(widths_um[order], axis=1)
    # Half of a cell lies below its own conversion.
    middle_um = below_um - 0.5 * widths_um[order]
    after = np.argmax(middle_um >= depth_um, axis=1)
    after = np.where(middle_um[:, -1] < depth_um, ordered.shape[1] - 1, after)
    before = np.maximum(after - 1, 0)
    rows = np.arange(after.size)
    run = middle_um[rows, after] - middle_um[rows, before]
    share = (depth_um - middle_um[rows, before]) / np.where(run > 0.0, run, 1.0)
    share = np.clip(share, 0.0, 1.0)
    low, high = ordered[rows, before], ordered[rows, after]
    found: FloatArray = low + share * (high - low)
    return found


def soft_depth_um(
    conversion: FloatArray, widths_um: FloatArray, *, threshold: float
) -> FloatArray:
    """Return how far down from the top the conversion stays below a threshold.

    Linear between cell centres; the whole depth where no cell reaches it, 0 where
    the first one does. For the soft depth at the bottom pass both reversed.

    Parameters
    ----------
    conversion
        Shape (rows, cells), top first.
    widths_um
        Shape (cells,).
    threshold
        Conversion from which the resin counts as set.

    Returns
    -------
    FloatArray
        Shape (rows,).
    """
    set_cells = conversion >= threshold
    first = np.argmax(set_cells, axis=-1)
    above = np.maximum(first - 1, 0)
    rows = np.arange(conversion.shape[0])
    centres = centres_um(widths_um)
    low, high = conversion[rows, above], conversion[rows, first]
    share = (threshold - low) / np.where(first > 0, high - low, 1.0)
    depth = centres[above] + share * (centres[first] - centres[above])
    depth = np.where(first > 0, depth, 0.0)
    return np.where(set_cells.any(axis=-1), depth, widths_um.sum())
