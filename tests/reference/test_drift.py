"""A lamp's or a box's drift against scipy.stats: another's regression, same readings.

Identity: both are least squares; ours is weighted and gives the day a bound is met.
"""

from math import sqrt

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.stats import linregress, t

from benchassist.physics.drift import bound_at_floor_h, line_at_floor_h
from benchassist.physics.regression import fit_line

HOURS = np.array([0.0, 24.0, 48.0, 96.0, 120.0, 168.0, 264.0])
SHARES = np.array([1.0, 0.994, 0.985, 0.972, 0.968, 0.951, 0.921])


def test_line_and_its_errors():
    line, theirs = fit_line(list(HOURS), list(SHARES)), linregress(HOURS, SHARES)

    assert line.slope == pytest.approx(theirs.slope, rel=1e-9)
    assert line.at(0.0) == pytest.approx(theirs.intercept, rel=1e-9)
    assert line.residual_sd / sqrt(line.spread) == pytest.approx(theirs.stderr)


def test_a_new_readings_band():
    line, theirs = fit_line(list(HOURS), list(SHARES)), linregress(HOURS, SHARES)
    left = len(HOURS) - 2
    residuals = SHARES - (theirs.intercept + theirs.slope * HOURS)
    sd = sqrt(float(residuals @ residuals) / left)
    spread = float(((HOURS - HOURS.mean()) ** 2).sum())

    for at in (0.0, 300.0, 900.0):
        far = sqrt(1 + 1 / len(HOURS) + (at - HOURS.mean()) ** 2 / spread)
        assert line.prediction_half_width(at) == pytest.approx(
            t.ppf(0.975, left) * sd * far
        )


def test_weights_are_those_of_scipys_fit():
    weights = np.array([1.0, 2.0, 1.0, 4.0, 1.0, 2.0, 1.0])
    line = fit_line(list(HOURS), list(SHARES), list(weights))
    (slope, at_0), covariance = curve_fit(
        lambda x, b, a: a + b * x, HOURS, SHARES, sigma=1 / np.sqrt(weights)
    )

    assert line.slope == pytest.approx(slope, rel=1e-6)
    assert line.at(0.0) == pytest.approx(at_0, rel=1e-6)
    assert line.residual_sd / sqrt(line.spread) == pytest.approx(
        sqrt(covariance[0, 0]), rel=1e-4
    )


def test_the_floor_is_met_earlier_by_the_bound():
    line, theirs = fit_line(list(HOURS), list(SHARES)), linregress(HOURS, SHARES)
    meets = (0.7 - theirs.intercept) / theirs.slope

    assert line_at_floor_h(line, start_h=264.0, floor=0.7) == pytest.approx(meets)
    sooner = bound_at_floor_h(line, start_h=264.0, floor=0.7)
    assert 264.0 < sooner < meets
