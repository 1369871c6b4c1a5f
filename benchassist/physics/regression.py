"""A straight line through measurements, and how sure it is."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import stdtrit

CONFIDENCE = 0.95  # [-] of every interval


@dataclass(frozen=True, slots=True)
class StraightLine:
    """A weighted least-squares line, in terms of the weighted centre of its points.

    ``residual_sd`` is that of a point of weight 1, ``spread`` the weighted sum of
    squares of x about ``mean_x``, ``student_t`` the quantile of a 95 % interval.
    With two points nothing is left to judge scatter by: ``freedom``, ``residual_sd``
    and ``student_t`` are then 0 and no interval has a meaning.
    """

    slope: float
    mean_x: float
    mean_y: float
    residual_sd: float
    total_weight: float
    spread: float
    freedom: int
    student_t: float

    def at(self, x: float) -> float:
        """Return the line's y at x."""
        return self.mean_y + self.slope * (x - self.mean_x)

    def prediction_half_width(self, x: float, *, new_weight: float = 1.0) -> float:
        r"""Return half the 95 % prediction interval of one new point at x.

        .. math:: t_{0.975, n-2} \, s \sqrt{1/w_{new} + 1/W + (x - x_w)^2/S_{xx}}
        """
        variance = 1.0 / new_weight + 1.0 / self.total_weight
        variance += (x - self.mean_x) ** 2 / self.spread
        return self.student_t * self.residual_sd * sqrt(variance)


def fit_line(
    x: Sequence[float], y: Sequence[float], weights: Sequence[float] | None = None
) -> StraightLine:
    r"""Fit a straight line by weighted least squares (textbook regression).

    .. math:: s^2 = \sum w r^2 / (n - 2)

    Weights are inverse variances relative to each other, all 1 if not given.

    Raises
    ------
    ValueError
        If there are fewer than two points, lists differ in length, or every x is
        the same.
    """
    weights = weights if weights is not None else [1.0] * len(x)
    if not len(x) == len(y) == len(weights):
        raise ValueError("The lists must be equally long.")
    xs, ys, ws = (np.asarray(v, dtype=float) for v in (x, y, weights))
    if xs.size < 2 or np.ptp(xs) == 0.0:  # noqa: PLR2004 - a line needs two points
        raise ValueError("At least two different points are needed for a line.")
    total = float(ws.sum())
    mean_x, mean_y = float(ws @ xs) / total, float(ws @ ys) / total
    spread = float(ws @ (xs - mean_x) ** 2)
    slope = float(ws @ ((xs - mean_x) * (ys - mean_y))) / spread
    residuals = ys - mean_y - slope * (xs - mean_x)
    freedom = xs.size - 2
    return StraightLine(
        slope=slope,
        mean_x=mean_x,
        mean_y=mean_y,
        residual_sd=sqrt(float(ws @ residuals**2) / freedom) if freedom else 0.0,
        total_weight=total,
        spread=spread,
        freedom=freedom,
        student_t=float(stdtrit(freedom, (1 + CONFIDENCE) / 2)) if freedom else 0.0,
    )
