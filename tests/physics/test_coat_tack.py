"""The ends of the tack window, and the draws that give them their band."""

import numpy as np
import pytest
from scipy import stats

from benchassist.physics import spectra
from benchassist.physics.coat import COARSE, Exposure, NewCoat, simulate
from benchassist.physics.coat_resin import Film, Initiator, Resin
from benchassist.physics.coat_tack import (
    LONGEST_S,
    SHORTEST_S,
    Lamp,
    _body_conversion,
    _crossing,
    tack_window,
)
from benchassist.physics.coat_uncertainty import draw_sample, nominal_sample, triangle
from benchassist.physics.spectra import Gaussian, Line

GRID_NM = spectra.wavelength_grid(step_nm=2.0)
CURVE = spectra.gaussian_bands(
    [Gaussian(500, 379, 14.5), Gaussian(110, 396, 8)], GRID_NM
)
RESIN = Resin((Initiator(CURVE, 0.7 * CURVE, 1.3 * CURVE, 0.0 * CURVE),), 0.0 * CURVE)
LAMP = Lamp(spectra.gaussian_lines([Line(200, 400, 18)], GRID_NM))
BOX = spectra.gaussian_lines([Line(30, 385, 12)], GRID_NM)
LATER = [Exposure(20.0, Film()), Exposure(300.0, Film(), BOX)]


def window(coats_um=(25.0,), *, lamp=LAMP, later=LATER, **how):
    how = {"resolution": COARSE, "grid_nm": GRID_NM, **how}
    return tack_window(RESIN, lamp, list(coats_um), later, **how)


@pytest.mark.parametrize("last", [True, False])
def test_a_crossing_is_found_within_a_hundredth(last):
    at = np.array([0.2, 3.0, 47.0, 500.0])

    def excess(seconds):
        tried = seconds.reshape(at.size, -1)
        return (tried / at[:, None] - 1.0).ravel()

    assert _crossing(excess, 4, last=last) == pytest.approx(at, rel=0.01)


def test_of_two_crossings_the_first_or_the_last_is_found():
    def excess(seconds):
        # above zero between 1 and 5 s, and again from 60 s
        return np.where((seconds > 1.0) & (seconds < 5.0), 1.0, seconds - 60.0)

    assert _crossing(excess, 1, last=False)[0] == pytest.approx(1.0, rel=0.05)
    assert _crossing(excess, 1, last=True)[0] == pytest.approx(60.0, rel=0.05)


def test_no_crossing_is_endless_or_at_once():
    below = _crossing(lambda seconds: -1.0 + 0.0 * seconds, 2, last=True)
    above = _crossing(lambda seconds: 1.0 + 0.0 * seconds, 2, last=False)

    assert (below == np.inf).all()
    assert (above == 0.0).all()


def test_a_body_is_as_set_as_its_least_set_cell_below_the_peak():
    (shot,) = simulate(
        RESIN,
        [NewCoat(25.0), Exposure(2.0, "air", LAMP.irradiance_mw_cm2_nm)],
        grid_nm=GRID_NM,
    )
    peak = shot.conversion[0].argmax()

    assert 0 < peak < shot.depth_um.size - 1
    assert _body_conversion(shot, 25.0)[0] == shot.conversion[0, peak:].min()
    upper = _body_conversion(shot, 12.0)[0]
    assert upper == shot.conversion[0, peak : shot.depth_um.searchsorted(12.0)].min()


def test_the_window_keeps_what_it_promises():
    """Two routes: the coats themselves at both ends."""
    found = window((25.0, 25.0))
    least_s, most_s = found.least_s[0], found.most_s[0]

    def shots(seconds):
        steps = []
        for _ in range(2):
            steps += [NewCoat(25.0), Exposure(seconds, "air", LAMP[0]), Exposure(30.0)]
        return simulate(RESIN, [*steps, *LATER], grid_nm=GRID_NM, resolution=COARSE)

    before, after = shots(0.97 * least_s), shots(1.03 * least_s)
    slowest = 2 * int(found.slowest_coat[0])
    assert _body_conversion(before[slowest], 25.0)[0] < 0.2
    assert all(_body_conversion(after[n], 25.0)[0] > 0.2 for n in (0, 2))
    assert shots(0.9 * most_s)[-1].soft_top_um()[0] <= 1.0
    assert shots(1.1 * most_s)[-1].soft_top_um()[0] > 1.0
    assert found.skin_um[0] == after[-1].soft_top_um()[0] == 0.0


def test_a_weaker_lamp_needs_longer_and_may_longer():
    strong = window()
    weak = window(lamp=Lamp(0.25 * LAMP.irradiance_mw_cm2_nm))

    assert weak.least_s[0] > 1.5 * strong.least_s[0]
    assert weak.most_s[0] > 1.5 * strong.most_s[0]


def test_no_light_has_no_window():
    dark = window(lamp=Lamp(0.0 * BOX))

    assert dark.least_s[0] == np.inf
    assert dark.most_s[0] == np.inf


def test_an_ending_without_light_leaves_no_window():
    found = window(later=[Exposure(60.0, Film())])

    assert found.most_s[0] == 0.0


def test_rows_have_windows_of_their_own():
    sample = draw_sample(4, initiators=1, seed=2)
    both = window(sample=sample)
    nominal = window(sample=nominal_sample(initiators=1, rows=2))

    assert np.unique(both.least_s).size == 4
    assert ((both.least_s > SHORTEST_S) & (both.least_s < LONGEST_S)).all()
    assert nominal.least_s == pytest.approx(window().least_s[0], rel=0.02)


@pytest.mark.parametrize("mode", [-1.0, 0.3, 2.0])
def test_the_triangle_is_that_of_a_reference_library(mode):
    """Identity: scipy.stats.triang."""
    position = np.linspace(0.0, 1.0, 21)
    ours = triangle(
        position, low=np.float64(-1.0), mode=np.float64(mode), high=np.float64(2.0)
    )
    theirs = stats.triang.ppf(position, (mode + 1.0) / 3.0, loc=-1.0, scale=3.0)

    assert ours == pytest.approx(theirs, abs=1e-12)


def test_a_range_without_width_gives_its_value():
    one = np.float64(1.0)

    assert (triangle(np.linspace(0, 1, 5), low=one, mode=one, high=one) == 1.0).all()
