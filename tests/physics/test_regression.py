from math import inf

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from benchassist.physics.drift import bound_at_floor_h, line_at_floor_h
from benchassist.physics.regression import fit_line

HOURS = [0.0, 50.0, 120.0, 200.0, 310.0]
READINGS = [1000.0, 992.0, 981.0, 975.0, 952.0]


def test_whole_weights_are_repeated_readings():
    """Identity: the line, not its scatter, of points counted several times."""
    weighted = fit_line([0, 1, 2, 4], [5, 4, 4, 1], [1, 2, 3, 1])
    repeated = fit_line([0, 1, 1, 2, 2, 2, 4], [5, 4, 4, 4, 4, 4, 1])

    assert weighted.slope == pytest.approx(repeated.slope)
    assert weighted.at(3.0) == pytest.approx(repeated.at(3.0))


def test_the_prediction_interval_holds_new_readings_19_times_in_20():
    """Identity: coverage by simulation, 4000 draws of normal scatter."""
    draw = np.random.default_rng(7)
    x = np.array(HOURS)
    inside = 0
    for _ in range(4000):
        line = fit_line(list(x), list(1000 - 0.1 * x + draw.normal(0, 5, x.size)))
        new = 1000 - 0.1 * 500 + draw.normal(0, 5)
        inside += abs(new - line.at(500.0)) <= line.prediction_half_width(500.0)

    assert inside / 4000 == pytest.approx(0.95, abs=0.012)


def test_two_points_leave_no_scatter():
    line = fit_line([0, 1], [3, 5])

    assert (line.slope, line.freedom, line.residual_sd) == (2.0, 0, 0.0)
    assert line.student_t == 0.0


@pytest.mark.parametrize(
    ("x", "y", "weights", "sentence"),
    [
        ([1, 2], [1], None, "equally long"),
        ([1], [1], None, "two different"),
        ([2, 2, 2], [1, 2, 3], None, "two different"),
    ],
)
def test_points_without_a_line_are_refused(x, y, weights, sentence):
    with pytest.raises(ValueError, match=sentence):
        fit_line(x, y, weights)


@given(
    floor=st.floats(500, 940),
    scatter=st.floats(0.1, 3.0),
    new_weight=st.floats(0.2, 5.0),
)
def test_the_floor_is_met_where_the_lower_bound_crosses_it(floor, scatter, new_weight):
    noise = scatter * np.array([1, -1, 1, -1, 1])
    line = fit_line(HOURS, list(1000 - 0.15 * np.array(HOURS) + noise))

    def above(h):
        bound = line.at(h) - line.prediction_half_width(h, new_weight=new_weight)
        return bound - floor

    assume(above(310.0) > 0)
    found = bound_at_floor_h(line, start_h=310.0, floor=floor, new_weight=new_weight)
    assert found == pytest.approx(brentq(above, 310.0, 1e5), rel=1e-9)
    assert found <= line_at_floor_h(line, start_h=310.0, floor=floor)


@given(
    fall=st.floats(1e-4, 10.0),
    apart=st.floats(1.0, 500.0),
    share=st.floats(0.0, 0.99),
    points=st.integers(2, 5),
)
def test_readings_without_scatter_meet_the_floor_where_their_line_does(
    fall, apart, share, points
):
    """Two points say nothing of scatter; nor do more that lie on the line."""
    hours = [apart * n for n in range(points)]
    line = fit_line(hours, [100.0 - fall * each for each in hours])
    floor = share * line.at(hours[-1])

    meets = line_at_floor_h(line, start_h=hours[-1], floor=floor)
    found = bound_at_floor_h(line, start_h=hours[-1], floor=floor)
    assert found == pytest.approx(meets, rel=1e-6, abs=1e-6)


def test_a_lamp_below_the_floor_is_there_already():
    line = fit_line(HOURS, READINGS)

    assert bound_at_floor_h(line, start_h=310.0, floor=990.0) == 310.0
    assert line_at_floor_h(line, start_h=310.0, floor=990.0) == 310.0


def test_an_exact_rise_never_meets_the_floor():
    line = fit_line([0, 1, 2], [10, 11, 12])

    assert bound_at_floor_h(line, start_h=2.0, floor=5.0) == inf
    assert line_at_floor_h(line, start_h=2.0, floor=5.0) == inf


def test_a_level_line_without_scatter_never_meets_the_floor():
    line = fit_line([0, 1, 2], [10, 10, 10])

    assert bound_at_floor_h(line, start_h=2.0, floor=5.0) == inf


def test_a_rising_line_may_still_meet_the_floor_by_its_uncertainty():
    line = fit_line([0, 1, 2, 3], [10, 9.5, 10.5, 10.1])
    found = bound_at_floor_h(line, start_h=3.0, floor=5.0)

    assert line.slope > 0
    assert line_at_floor_h(line, start_h=3.0, floor=5.0) == inf
    assert line.at(found) - line.prediction_half_width(found) == pytest.approx(5.0)


def test_a_steep_sure_rise_has_no_crossing_at_all():
    line = fit_line([0, 1, 2, 3], [0.0, 10.01, 19.99, 30.0])

    assert bound_at_floor_h(line, start_h=3.0, floor=-100.0) == inf
