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
