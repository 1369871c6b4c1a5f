"""The ends of the tack window, and the draws that give them their band."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from benchassist.physics import spectra
from benchassist.physics.coat import COARSE, Exposure, NewCoat, simulate
from benchassist.physics.coat_grid import lowest_um
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.coat_resin import Film, Initiator, Resin
from benchassist.physics.coat_tack import (
    FIRST_TRIED_S,
    LONGEST_S,
    SHORTEST_S,
    Lamp,
    Tried,
    _between,
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
RESIN = Resin(
    (Initiator(CURVE, 0.7 * CURVE, 1.3 * CURVE, 0.0 * CURVE),),
    0.0 * CURVE,
    RateSet(1800.0, 2e5, name="slow"),
)
LAMP = Lamp(spectra.gaussian_lines([Line(200, 400, 18)], GRID_NM))
BOX = spectra.gaussian_lines([Line(30, 385, 12)], GRID_NM)
LATER = [Exposure(20.0, Film()), Exposure(300.0, Film(), BOX)]


def window(coats_um=(25.0,), *, lamp=LAMP, later=LATER, **how):
    how = {"resolution": COARSE, "grid_nm": GRID_NM, **how}
    return tack_window(RESIN, lamp, list(coats_um), later, **how)


def found(excess, *, last, first_s=FIRST_TRIED_S, rows=1):
    """Return the crossing of an excess, and how many times it was asked for."""
    seconds = np.tile(np.asarray(first_s, dtype=float), (rows, 1))
    while True:
        at, close = _crossing(seconds, excess(seconds), last=last)
        if close.all():
            return at, seconds.shape[1]
        asked = np.where(close, np.nan, at)[:, None]
        seconds = np.concatenate((seconds, asked), axis=1)


@pytest.mark.parametrize("last", [True, False])
@pytest.mark.parametrize("power", [0.5, 1.0, 1.5])
def test_a_crossing_is_found_within_a_hundredth_and_soon(last, power):
    at = np.array([0.2, 3.0, 47.0, 500.0])

    def excess(seconds):
        return np.minimum((seconds / at[:, None]) ** power - 1.0, 1.0)

    crossing, asked = found(excess, last=last, rows=4)

    assert crossing == pytest.approx(at, rel=0.01)
    assert asked <= FIRST_TRIED_S.size + 4


@pytest.mark.parametrize("first_s", [(0.4, 0.6), (5.0, 8.0), (50.0, 80.0), (600.0,)])
def test_a_crossing_is_found_from_either_side(first_s):
    def excess(seconds):
        return np.minimum(seconds / 7.0 - 1.0, 1.0)

    assert found(excess, last=True, first_s=first_s)[0] == pytest.approx(7.0, rel=0.01)
    assert found(excess, last=False, first_s=first_s)[0] == pytest.approx(7.0, rel=0.01)


def test_of_two_crossings_the_first_or_the_last_is_found():
    def excess(seconds):
        # above zero between 1 and 5 s, and again from 60 s
        return np.where((seconds > 1.0) & (seconds < 5.0), 1.0, seconds - 60.0)

    assert found(excess, last=False)[0] == pytest.approx(1.0, rel=0.02)
    assert found(excess, last=True)[0] == pytest.approx(60.0, rel=0.01)


def test_a_crossing_between_two_times_that_were_tried_is_found_by_its_rise():
    """A body that a spent coat below takes back is set for a short while only."""

    def excess(seconds):
        return 0.01 - (seconds / 1.4 - 1.0) ** 2

    assert (excess(FIRST_TRIED_S) < 0.0).all()
    assert found(excess, last=False)[0] == pytest.approx(1.26, rel=0.01)


def test_a_crossing_is_looked_for_in_the_gaps_beside_a_peak():
    """What was tried first leaves out the time in which the body is set."""

    def excess(seconds):
        rise = np.clip(seconds / 25.0 - 1.0, -1.0, 0.5)
        return np.where(seconds < 70.0, rise, -0.5)

    first_s = (7.6, 12.4, 200.0, 325.0)
    assert (excess(np.array(first_s)) < 0.0).all()
    assert found(excess, last=False, first_s=first_s)[0] == pytest.approx(25, rel=0.01)


def test_the_longest_time_is_tried_before_it_is_told():
    """A hundredth short of it is not it: nobody saw what comes of the longest."""
    seconds = np.array([[500.0, 598.0]])
    at, close = _crossing(seconds, seconds / 599.5 - 1.0, last=False)

    assert at == pytest.approx(599.5)
    assert close.all()
    at, close = _crossing(seconds, seconds / 610.0 - 1.0, last=False)
    assert (at == 600.0).all()
    assert not close.any()


def test_more_times_are_tried_evenly_between_what_is_known():
    """By ratios: two between 2 and 16 s are 4 and 8 s; unknown ends, around a guess."""
    known = Tried(np.array([[2.0, 16.0]]), np.array([[-1.0, 1.0]]), *[np.empty(0)] * 3)
    asked = _between(known, np.array([[5.0]]), 3, last=False)

    assert asked == pytest.approx(np.array([[5.0, 4.0, 8.0]]))
    known = known._replace(excess=np.array([[-2.0, -1.0]]))
    asked = _between(known, np.array([[20.0]]), 3, last=False)
    assert asked == pytest.approx(np.array([[20.0, 19.0, 21.2]]))


def test_a_peak_below_the_limit_is_no_crossing():
    at, asked = found(lambda s: -0.3 - (s / 1.4 - 1.0) ** 2, last=False)

    assert at == np.inf
    assert asked <= FIRST_TRIED_S.size + 3


def test_no_crossing_is_endless_or_at_once():
    for last in (True, False):
        assert found(lambda s: -1.0 + 0.0 * s, last=last)[0] == np.inf
        assert found(lambda s: 1.0 + 0.0 * s, last=last)[0] == 0.0


def test_a_body_is_as_set_as_its_least_set_cell_below_the_peak():
    (shot,) = simulate(
        RESIN,
        [NewCoat(25.0), Exposure(2.0, "air", LAMP.irradiance_mw_cm2_nm)],
        grid_nm=GRID_NM,
    )
    peak = shot.conversion[0].argmax()

    assert 0 < peak < shot.depth_um.size - 1
    assert _body_conversion(shot, 25.0)[0] == shot.conversion[0, peak:].min()
    for cells in (peak + 1, peak + 5):  # as if the rest were an earlier coat
        upper = _body_conversion(shot, float(shot.widths_um[:cells].sum()))[0]
        assert upper == shot.conversion[0, peak:cells].min()


def test_the_window_keeps_what_it_promises():
    """Two routes: the coats themselves at both ends."""
    ends = window((25.0, 25.0))
    least_s, most_s = ends.least_s[0], ends.most_s[0]

    def shots(seconds):
        steps = []
        for _ in range(2):
            steps += [NewCoat(25.0), Exposure(seconds, "air", LAMP[0]), Exposure(30.0)]
        return simulate(RESIN, [*steps, *LATER], grid_nm=GRID_NM, resolution=COARSE)

    before, after = shots(0.97 * least_s), shots(1.03 * least_s)
    slowest = 2 * int(ends.slowest_coat[0])
    assert _body_conversion(before[slowest], 25.0)[0] < 0.2
    assert all(_body_conversion(after[n], 25.0)[0] > 0.2 for n in (0, 2))
    assert shots(0.9 * most_s)[-1].soft_um()[0] <= 1.0
    assert shots(1.1 * most_s)[-1].soft_um()[0] > 1.0
    assert ends.skin_um[0] == after[-1].soft_um()[0] == 0.0
    assert ends.buried_um[0] == 0.0


def test_circles_that_overlap_divide_the_longest_tack():
    """Dose adds whatever the pause: most(k) is most(1) / k within 6 %."""
    for pause_s in (10.0, 60.0):
        lamp = Lamp(LAMP.irradiance_mw_cm2_nm, pause_s)
        once = window((25.0, 25.0), lamp=lamp)
        for circles in (2, 3):
            found = window((25.0, 25.0), lamp=lamp._replace(circles=circles))

            assert found.least_s == pytest.approx(once.least_s, rel=0.01)
            assert found.most_s == pytest.approx(once.most_s / circles, rel=0.06)


def test_the_weakest_point_sets_the_least_and_the_strongest_the_most():
    plain = window()
    uneven = window(lamp=Lamp(LAMP.irradiance_mw_cm2_nm, weakest=0.5, strongest=1.3))
    weak = window(lamp=Lamp(0.5 * LAMP.irradiance_mw_cm2_nm))
    strong = window(lamp=Lamp(1.3 * LAMP.irradiance_mw_cm2_nm))

    assert uneven.least_s == pytest.approx(weak.least_s, rel=1e-9)
    assert uneven.most_s == pytest.approx(strong.most_s, rel=1e-9)
    assert uneven.least_s[0] > 1.3 * plain.least_s[0]


def test_all_that_is_soft_counts_wherever_it_lies():
    """Identity with the skin where there is no other, and with both where two are."""
    steps = [NewCoat(25.0), Exposure(np.geomspace(0.3, 20.0, 12), "air", LAMP[0])]
    rows = nominal_sample(initiators=1, rows=12)
    one, *_, two = simulate(
        RESIN, [*steps, Exposure(30.0), *steps], sample=rows, grid_nm=GRID_NM
    )
    skin_um = one.soft_top_um()
    bottom_um = np.where(skin_um < 24.9, one.soft_bottom_um(), 0.0)

    assert one.soft_um() == pytest.approx(skin_um + bottom_um, abs=1e-9)
    both_um = two.soft_um()
    assert both_um[-1] > two.soft_top_um()[-1] + 3.0
    assert (both_um >= two.soft_top_um() - 1e-9).all()
    assert both_um.max() <= 50.0 + 1e-9


@pytest.mark.parametrize("limit_um", [0.3, 1.0, 6.0, 30.0])
def test_what_may_stay_soft_is_as_deep_as_allowed_where_its_conversion_is(limit_um):
    """Identity of the two depths: just so much lies below the conversion found."""
    steps = [NewCoat(25.0), Exposure(np.geomspace(0.5, 30.0, 8), "air", LAMP[0])]
    rows = nominal_sample(initiators=1, rows=8)
    (*_, shot) = simulate(RESIN, [*steps, *steps], sample=rows, grid_nm=GRID_NM)
    found = lowest_um(shot.conversion, shot.widths_um, depth_um=limit_um)

    for row, threshold in enumerate(found):
        below = shot.conversion[row] < threshold
        assert shot.widths_um[below].sum() == pytest.approx(limit_um, abs=0.5)
    assert (lowest_um(shot.conversion, shot.widths_um, depth_um=60.0) == 1.0).all()


def test_all_but_half_a_cell_lies_below_the_best_of_them():
    """By hand: cells of 1 um, of which half lies below the conversion of each."""
    conversion, widths_um = np.array([[0.8, 0.2, 0.5]]), np.ones(3)

    for depth_um, expected in ((0.3, 0.2), (1.0, 0.35), (2.5, 0.8), (2.7, 0.8)):
        found = lowest_um(conversion, widths_um, depth_um=depth_um)
        assert found == pytest.approx(expected)


def straightforward(resin, lamp, coats_um, later, sample):
    """Return both ends by trying many times and halving between two of them."""

    def flags(rows, seconds):
        steps = []
        for coat_um in coats_um:
            steps += [NewCoat(coat_um), Exposure(seconds, "air", lamp[0])]
            steps += [Exposure(lamp.pause_s)]
        shots = simulate(
            resin,
            [*steps, *later],
            sample=sample.take(rows),
            grid_nm=GRID_NM,
            resolution=COARSE,
        )
        lit = zip(shots[: 2 * len(coats_um) : 2], coats_um, strict=True)
        body = np.min([_body_conversion(*each) for each in lit], axis=0)
        return np.array([body >= 0.2, shots[-1].soft_um() > 1.0])

    tried = np.geomspace(SHORTEST_S, LONGEST_S, 40)
    rows = np.repeat(np.arange(sample.rows), tried.size)
    whole = flags(rows, np.tile(tried, sample.rows))
    ends = []
    for end, told in enumerate(whole.reshape(2, sample.rows, tried.size)):
        # The body's first, the skin's last.
        first = told.argmax(axis=1), tried.size - (~told)[:, ::-1].argmax(axis=1)
        high_at = np.clip(first[end], 1, tried.size - 1)
        low, high = tried[high_at - 1], tried[high_at]
        for _ in range(7):
            middle = np.sqrt(low * high)
            past = flags(np.arange(sample.rows), middle)[end]
            low, high = np.where(past, low, middle), np.where(past, middle, high)
        never = ~told.any(axis=1) if end == 0 else ~told[:, -1]
        ends.append(np.where(never, np.inf, np.sqrt(low * high)))
    return ends


WEAK = Lamp(0.2 * LAMP.irradiance_mw_cm2_nm)
SLOW = replace(
    RESIN, initiators=(replace(RESIN.initiators[0], quantum_yield=0.1, mol_l=0.04),)
)
LEAN = replace(RESIN, initiators=(replace(RESIN.initiators[0], mol_l=0.012),))


@pytest.mark.parametrize(
    ("resin", "lamp", "coats_um"),
    [
        pytest.param(RESIN, LAMP, (25.0, 25.0), id="two coats"),
        pytest.param(RESIN, WEAK, (40.0,), id="weak lamp"),
        pytest.param(SLOW, LAMP, (25.0,), id="slow to be spent"),
        pytest.param(LEAN, LAMP, (20.0, 20.0), id="hardly any window"),
    ],
)
def test_both_ends_are_those_of_a_straightforward_search(resin, lamp, coats_um):
    """Second route: forty times each, then halving; 1 % and what the model jitters."""
    sample = draw_sample(4, initiators=1, seed=3)
    how = {"resolution": COARSE, "grid_nm": GRID_NM}
    nominal = tack_window(resin, lamp, coats_um, LATER, **how)
    near = [(float(nominal.least_s[0]), float(nominal.most_s[0]))]

    least_s, most_s = straightforward(resin, lamp, coats_um, LATER, sample)

    for close_by in ((), near):
        ours = tack_window(
            resin, lamp, coats_um, LATER, sample=sample, near=close_by, **how
        )
        assert ours.least_s == pytest.approx(least_s, rel=0.02)
        assert ours.most_s == pytest.approx(most_s, rel=0.02)


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
    ends = window(later=[Exposure(60.0, Film())])

    assert ends.most_s[0] == 0.0


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
