from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.physics import vessel

indices = st.lists(st.floats(1, 2.5), min_size=2, max_size=6)


def traced(n, tau, rays=4000):
    """Follow light up and down through the stack, the slow and obvious way."""
    reflect = [vessel.fresnel(a, b).s for a, b in pairwise(n)]
    layers = len(tau)
    down, up = np.zeros(layers), np.zeros(layers)
    passed, entering = 0.0, 1.0 - reflect[0]
    if not layers:
        return entering
    down[0] = entering
    for _ in range(rays):
        arrived_down, arrived_up = down * tau, up * tau
        down, up = np.zeros(layers), np.zeros(layers)
        for k in range(layers):
            below, above = reflect[k + 1], reflect[k]
            through = arrived_down[k] * (1 - below)
            if k + 1 == layers:
                passed += through
            else:
                down[k + 1] += through
            up[k] += arrived_down[k] * below
            down[k] += arrived_up[k] * above
            if k:
                up[k - 1] += arrived_up[k] * (1 - above)
    return passed


@given(data=st.data(), n=indices)
def test_adding_layers_agrees_with_following_the_light(data, n):
    tau = data.draw(
        st.lists(st.floats(0, 0.98), min_size=len(n) - 2, max_size=len(n) - 2)
    )
    passed = vessel.stack_transmission(n, tau)

    assert passed.with_reflections == pytest.approx(
        traced(n, np.array(tau), rays=300), rel=1e-6, abs=1e-12
    )
    assert passed.single_pass <= passed.with_reflections + 1e-15
    assert 0 <= passed.with_reflections <= 1


@given(n=indices)
def test_a_clear_stack_passes_light_both_ways_alike(n):
    clear = [1.0] * (len(n) - 2)

    assert vessel.stack_transmission(n, clear).with_reflections == pytest.approx(
        vessel.stack_transmission(n[::-1], clear).with_reflections
    )


def test_a_stack_with_the_wrong_number_of_layers_is_refused():
    with pytest.raises(ValueError, match="enclose 1 layers, but 0"):
        vessel.stack_transmission([1, 1.5, 1.5], [])
    with pytest.raises(ValueError, match="at least two"):
        vessel.stack_transmission([1], [])


@pytest.mark.parametrize(
    ("transmittance", "count"),
    [(0.95, 2400), (0.90, 2500), (0.82, 2700), (0.70, 3200), (0.88, 2500), (1.0, 2200)],
)
def test_the_count_behind_a_vessel(transmittance, count):
    assert vessel.raised_count(2200, transmittance=transmittance, step=100) == count


def test_a_part_that_fits():
    fit = vessel.fit(
        vessel_mm=60,
        floor_mm=3,
        part_mm=20,
        chamber_mm=80,
        vessel_area_cm2=80,
        part_cm3=12,
    )

    assert fit.fits_vessel
    assert fit.fits_chamber
    assert fit.needed_mm == 3 + 3 + 20 + 5 + 5
    assert fit.level_rise_mm == pytest.approx(1.5)
    assert fit.fill_before_mm == pytest.approx(28 - 1.5)


def test_a_part_too_high_and_a_vessel_too_high():
    fit = vessel.fit(
        vessel_mm=76,
        floor_mm=3,
        part_mm=61,
        chamber_mm=80,
        vessel_area_cm2=0.1,
        part_cm3=12,
    )

    assert not fit.fits_vessel
    assert not fit.fits_chamber
    assert fit.fill_before_mm == 0.0
