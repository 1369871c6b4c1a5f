from math import inf, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress

from benchassist.physics.working_curve import cure_depth_um, fit_working_curve

EXPOSURES = [10.0, 20.0, 40.0, 80.0, 120.0]


def test_nothing_cures_at_or_below_the_critical_exposure():
    for exposure in (0.0, 4.0, 8.0):
        assert cure_depth_um(exposure_mj_cm2=exposure, ec_mj_cm2=8, dp_um=100) == 0.0


@given(dp=st.floats(20, 400), ec=st.floats(0.5, 9))
def test_a_fit_returns_the_curve_that_made_the_points(dp, ec):
    fit = fit_working_curve(EXPOSURES, [dp * log(e / ec) for e in EXPOSURES])

    assert fit.dp_um == pytest.approx(dp)
    assert fit.ec_mj_cm2 == pytest.approx(ec)
    assert fit.dp_interval_um.low == pytest.approx(dp)
    assert fit.ec_interval_mj_cm2.high == pytest.approx(ec)


def test_intervals_agree_with_scipy_and_with_a_scan():
    """Identity: slope by linregress; Ec by scanning where the line may be zero."""
    depths = [62.0, 118.0, 201.0, 255.0, 310.0]
    fit = fit_working_curve(EXPOSURES, depths)
    x = np.log(EXPOSURES)
    theirs = linregress(x, depths)
    student = 3.1824463  # [-] t at 0.975 for 3 degrees of freedom, any table
    half = student * theirs.stderr
    scan = np.linspace(-2, 4, 600_001)
    residual = np.array(depths) - theirs.intercept - theirs.slope * x
    variance = (residual**2).sum() / 3
    line = theirs.intercept + theirs.slope * scan
    spread = 1 / 5 + (scan - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum()
    may_be_zero = scan[line**2 <= student**2 * variance * spread]

    assert fit.dp_um == pytest.approx(theirs.slope)
    assert fit.dp_interval_um.low == pytest.approx(theirs.slope - half)
    assert fit.dp_interval_um.high == pytest.approx(theirs.slope + half)
    assert log(fit.ec_interval_mj_cm2.low) == pytest.approx(may_be_zero[0], abs=1e-4)
    assert log(fit.ec_interval_mj_cm2.high) == pytest.approx(may_be_zero[-1], abs=1e-4)


def test_the_interval_holds_ec_19_times_in_20():
    """Identity: coverage by simulation, 2000 draws of 10 um scatter."""
    draw = np.random.default_rng(3)
    inside = 0
    for _ in range(2000):
        depths = 100 * np.log(np.array(EXPOSURES) / 5) + draw.normal(0, 10, 5)
        interval = fit_working_curve(EXPOSURES, list(depths)).ec_interval_mj_cm2
        inside += interval.low <= 5.0 <= interval.high

    assert inside / 2000 == pytest.approx(0.95, abs=0.015)


def test_wild_scatter_leaves_ec_unbounded():
    interval = fit_working_curve(EXPOSURES, [200.0, 10.0, 260.0, 40.0, 270.0])

    assert (interval.ec_interval_mj_cm2.low, interval.ec_interval_mj_cm2.high) == (
        0.0,
        inf,
    )


def test_two_points_have_no_intervals():
    fit = fit_working_curve([10.0, 40.0], [50.0, 150.0])

    assert fit.dp_interval_um is None
    assert fit.ec_interval_mj_cm2 is None


@pytest.mark.parametrize(
    ("exposures", "depths", "sentence"),
    [
        ([10.0], [50.0], "two different exposures"),
        ([10.0, 10.0, 10.0], [50.0, 51.0, 52.0], "two different exposures"),
        ([10.0, 20.0, 40.0], [90.0, 60.0, 30.0], "does not grow"),
        ([10.0, 20.0, 40.0], [90.0, 90.0, 90.001], "hardly grows"),
    ],
)
def test_points_without_a_curve_are_refused(exposures, depths, sentence):
    with pytest.raises(ValueError, match=sentence):
        fit_working_curve(exposures, depths)
