"""Oxygen and radicals in a column: contacts, series, balances, orders."""

from math import erfc, log, log2, pi, sqrt

import numpy as np
import pytest

from benchassist.physics import coat_march
from benchassist.physics.coat_column import Kinetics, Medium, Segment, State
from benchassist.physics.coat_grid import (
    centres_um,
    coat_widths_um,
    film_widths_um,
    soft_depth_um,
)
from benchassist.physics.coat_light import Initiation
from benchassist.physics.coat_march import Tolerance, _Walk, march
from benchassist.physics.coat_rates import DiffusionLimits
from benchassist.physics.coat_resin import CoatError, Effort

SHARP = Tolerance(1e-6, 1e-7, 1e-8)
LOOSE = Tolerance(np.inf, np.inf, 1e-9)
SATURATION = 1e-3
KP, KT, KO2 = 1800.0, 2e5, 5e8


def medium(widths_um, *, top=1.0, diffusivity=100.0, saturation=SATURATION, ratio=1.0):
    ones = np.ones((1, widths_um.size))
    return Medium(widths_um, diffusivity * ones, saturation * ones, top, ratio)


def kinetics(where, *, kp=KP, kt=KT, ko2=KO2, limits=None, quasi_steady=False):
    ones = np.ones_like(where.saturation_mol_l)
    return Kinetics(
        kp * ones,
        kt * ones,
        ko2 * ones,
        ko2 * where.saturation_mol_l,
        6.0,
        limits,
        quasi_steady,
    )


def steady_light(rate_mol_l_s, cells, seconds):
    """Return an initiation that does not change."""
    pieces = np.zeros((1, 1, 4, cells))
    pieces[:, :, 0] = rate_mol_l_s
    return Initiation(np.array([0.0, seconds]), pieces, np.ones((1, 1, cells)))


def state(cells, *, activity=1.0, radicals=0.0):
    ones = np.ones((1, cells))
    return State(activity * ones, radicals * ones, 0.0 * ones)


def segment(where, seconds, *, light=None, how=None):
    return Segment(np.array([float(seconds)]), where, how or kinetics(where), light)


# Diffusion alone


def air_enters(cells, *, seconds=0.5, thickness_um=20.0, tolerance=SHARP):
    """Return depths and activity of a column without oxygen put under air."""
    widths_um = np.full(cells, thickness_um / cells)
    end = march(
        state(cells, activity=0.0), segment(medium(widths_um), seconds), tolerance
    ).state
    return centres_um(widths_um), end.activity[0]


def slab_series(depth_um, seconds, *, thickness_um=20.0, diffusivity=100.0):
    """Return the textbook series for a slab with one open and one closed face."""
    total = np.ones_like(depth_um)
    for n in range(400):
        root = (n + 0.5) * pi / thickness_um
        total -= (
            2.0
            / (thickness_um * root)
            * np.exp(-diffusivity * root**2 * seconds)
            * np.sin(root * depth_um)
        )
    return total


def test_air_enters_a_dark_coat_as_the_series_says():
    """Identity: Crank, The mathematics of diffusion, plane sheet, from memory."""
    depth_um, activity = air_enters(200)

    assert activity == pytest.approx(slab_series(depth_um, 0.5), abs=2e-4)


def test_diffusion_is_second_order_in_space():
    """Order: half the cell width, a quarter of the error."""
    errors = []
    for cells in (10, 20, 40):
        depth_um, activity = air_enters(cells)
        errors.append(np.abs(activity - slab_series(depth_um, 0.5)).max())

    assert log2(errors[0] / errors[1]) == pytest.approx(2.0, abs=0.3)
    assert log2(errors[1] / errors[2]) == pytest.approx(2.0, abs=0.3)


def test_two_media_in_contact_share_the_activity_of_their_contact():
    """Identity: two half spaces, u = u1 b1/(b1+b2) with b = S sqrt(D); textbook.

    Concentrations jump by S1/S2 at the contact, activities do not.
    """
    above, below = (
        coat_widths_um(300.0, finest_um=0.05, growth=1.05, coarsest_um=10.0)
        for _ in range(2)
    )
    widths_um = np.concatenate((above[::-1], below))
    cells = above.size
    diffusivity = np.where(np.arange(2 * cells) < cells, 10.0, 100.0)[None]
    saturation = np.where(np.arange(2 * cells) < cells, 7e-5, 1e-3)[None]
    where = Medium(widths_um, diffusivity, saturation, None)
    start = state(2 * cells, activity=0.0)
    start.activity[:, :cells] = 1.0
    seconds = 5.0

    end = march(start, segment(where, seconds), SHARP).state.activity[0]

    ability = np.array([7e-5 * sqrt(10.0), 1e-3 * sqrt(100.0)])
    contact = ability[0] / ability.sum()
    depth_um = centres_um(below)
    resin = [contact * erfc(z / (2.0 * sqrt(100.0 * seconds))) for z in depth_um]
    film = [
        1.0 - (1.0 - contact) * erfc(z / (2.0 * sqrt(10.0 * seconds))) for z in depth_um
    ]
    assert end[cells:] == pytest.approx(np.array(resin), abs=2e-4)
    assert end[:cells][::-1] == pytest.approx(np.array(film), abs=1e-3)


def test_a_closed_column_keeps_its_oxygen():
    """Identity: nothing in, nothing out, whatever the media."""
    widths_um = np.concatenate(
        (film_widths_um(100.0, finest_um=0.5, growth=1.5), np.full(40, 0.5))
    )
    saturation = np.where(np.arange(widths_um.size) < widths_um.size - 40, 7e-5, 1e-3)
    where = Medium(
        widths_um, np.full((1, widths_um.size), 50.0), saturation[None], None
    )
    start = state(widths_um.size)
    start.activity[:, -20:] = 0.0
    before = (start.activity[0] * saturation) @ widths_um

    end = march(start, segment(where, 30.0), Tolerance(1e-2, 1e-2, 1e-3)).state

    assert (end.activity[0] * saturation) @ widths_um == pytest.approx(
        before, rel=1e-11
    )


def test_flowing_nitrogen_empties_a_coat_and_a_still_gas_does_not():
    widths_um = np.full(40, 0.5)
    swept, closed = (
        march(state(40), segment(medium(widths_um, top=top), 60.0), SHARP).state
        for top in (0.0, None)
    )

    assert swept.activity.max() < 1e-4
    assert closed.activity == pytest.approx(1.0, rel=1e-12)


def test_a_tighter_cured_resin_slows_oxygen_by_its_ratio():
    """Identity: with X even over the depth, D times ratio**X is just another D."""
    widths_um = np.full(60, 0.5)
    start = state(60, activity=0.0)
    start.exponent += -log(1.0 - 0.5)
    ends = [
        march(start, segment(where, 0.5), SHARP).state.activity
        for where in (
            medium(widths_um, ratio=0.04),
            medium(widths_um, diffusivity=100.0 * 0.04**0.5),
        )
    ]

    assert ends[0] == pytest.approx(ends[1], abs=1e-9)


# Radicals


def forced(steps, seconds, start, what):
    """Carry a state through equal steps, whatever their error."""
    walk = _Walk(np.arange(1), start, what, LOOSE)
    outcome = coat_march.Outcome(start, np.array([np.inf]), None)
    for _ in range(steps):
        walk.step_s = np.array([seconds / steps])
        walk.step(outcome)
    return walk.state


def test_the_error_of_a_step_is_its_difference_to_third_order():
    """Order conditions of a quadrature over 0, gamma and 1, textbook: 1, 1/2, 1/3.

    The method's own weights, 1 - gamma and gamma, meet the first two alone.
    """
    gamma = coat_march.GAMMA
    first = coat_march.ERROR_FIRST + (1.0 - gamma)
    second = coat_march.ERROR_SECOND + gamma

    assert coat_march.ERROR_OLD + first + second == pytest.approx(1.0)
    assert first * gamma + second == pytest.approx(1 / 2)
    assert first * gamma**2 + second == pytest.approx(1 / 3)
    assert (1.0 - gamma) * gamma + gamma == pytest.approx(1 / 2)


@pytest.mark.parametrize("limits", [None, DiffusionLimits()])
def test_time_steps_are_second_order(limits):
    """Order: oxygen, radicals and conversion; half the step, a quarter of the error.

    Air enters a coat whose radicals die in the dark, oxygen too slow to be stiff.
    """
    widths_um = np.full(10, 2.0)
    where = medium(widths_um)
    how = kinetics(where, ko2=2e4, limits=limits)
    what = segment(where, 0.2, how=how)

    def end(steps):
        start = state(10, activity=0.3, radicals=2e-5)
        final = forced(steps, 0.2, start, what)
        return np.concatenate(
            (
                final.activity[0],
                final.radicals_mol_l[0] / 1e-5,
                final.exponent[0] * 1e2,
            )
        )

    exact = end(1280)
    errors = [
        np.abs(end(steps) - exact).reshape(3, 10).max(axis=1) for steps in (20, 40, 80)
    ]
    orders = np.log2(np.array(errors[:-1]) / np.array(errors[1:]))

    assert orders == pytest.approx(2.0, abs=0.35)


def test_radicals_die_and_cure_on_in_the_dark():
    """Limit: -ln(1-X) grows by kp/2kt ln(1 + 2 kt R0 t), without oxygen."""
    where = medium(np.full(5, 2.0), top=None)
    end = march(
        state(5, activity=0.0, radicals=1e-4), segment(where, 30.0), SHARP
    ).state

    grown = log(1.0 + 2.0 * KT * 1e-4 * 30.0)
    assert end.exponent == pytest.approx(KP / (2.0 * KT) * grown, rel=2e-3)
    assert end.radicals_mol_l == pytest.approx(
        1e-4 / (1 + 2 * KT * 1e-4 * 30), rel=5e-3
    )


def test_balances_close_over_a_lit_coat_in_air():
    """Conservation: oxygen and radicals, each to its last share."""
    widths_um = np.full(100, 0.25)
    where = medium(widths_um)
    lit = segment(where, 2.0, light=steady_light(5e-3, 100, 2.0))
    out = march(state(100), lit, SHARP, balance=True)

    sums = out.balance
    held = SATURATION * widths_um.sum()
    oxygen = SATURATION * (out.state.activity @ widths_um)
    radicals = out.state.radicals_mol_l @ widths_um
    assert held + sums.oxygen_in - sums.oxygen_consumed == pytest.approx(
        oxygen, abs=1e-10
    )
    assert sums.radicals_made == pytest.approx(5e-3 * 2.0 * 25.0, rel=1e-9)
    spent = sums.oxygen_consumed + sums.radicals_terminated
    assert sums.radicals_made == pytest.approx(radicals + spent, rel=1e-5)


def test_a_film_lets_in_what_it_can_pass():
    """Limit: thin film, steady light; flux = D S / L (1 - u), u = Ri d^2 / 2 D S.

    The coat uses up all oxygen that comes within d = flux / Ri of its top.
    """
    rate, length = 1e-3, 20.0
    above = np.full(20, length / 20)
    below = coat_widths_um(25.0, finest_um=0.02, growth=1.05, coarsest_um=0.5)
    widths_um = np.concatenate((above, below))
    film = np.arange(widths_um.size) < above.size
    where = Medium(
        widths_um,
        np.where(film, 10.0, 100.0)[None],
        np.where(film, 7e-5, 1e-3)[None],
        1.0,
    )
    ko2 = np.where(film, 0.0, KO2)[None]
    how = Kinetics(
        KP * np.ones_like(ko2),
        KT * np.ones_like(ko2),
        ko2,
        ko2 * where.saturation_mol_l,
        6.0,
        None,
        quasi_steady=False,
    )
    light = steady_light(np.where(film, 0.0, rate), widths_um.size, 200.0)
    settled = march(
        state(widths_um.size), segment(where, 200.0, light=light, how=how), SHARP
    )
    light = steady_light(np.where(film, 0.0, rate), widths_um.size, 10.0)
    then = march(
        settled.state,
        segment(where, 10.0, light=light, how=how),
        SHARP,
        balance=True,
    )

    flux = then.balance.oxygen_in[0] / 10.0
    through = 10.0 * 7e-5 / length
    reach = flux / rate
    at_contact = rate * reach**2 / (2.0 * 100.0 * 1e-3)
    assert flux == pytest.approx(through * (1.0 - at_contact), rel=3e-3)
    assert flux == pytest.approx(through, rel=0.02)


def test_quasi_steady_radicals_follow_their_balance():
    """Identity: 2 kt R^2 + kO2 C R = Ri in every cell at the end of a segment."""
    widths_um = np.full(60, 0.5)
    where = medium(widths_um)
    how = kinetics(where, quasi_steady=True)
    out = march(
        state(60),
        segment(where, 1.0, light=steady_light(5e-3, 60, 1.0), how=how),
        SHARP,
    )

    radicals, oxygen = out.state.radicals_mol_l, SATURATION * out.state.activity
    assert 2 * KT * radicals**2 + KO2 * oxygen * radicals == pytest.approx(
        5e-3, rel=1e-3
    )


def test_rows_march_as_if_alone():
    widths_um = np.full(50, 0.5)
    ones = np.ones((3, 50))
    diffusivity = np.array([[30.0], [100.0], [300.0]]) * ones
    where = Medium(widths_um, diffusivity, SATURATION * ones, 1.0)
    seconds = np.array([0.0, 1.0, 3.0])
    pieces = np.zeros((1, 3, 4, 50))
    pieces[:, :, 0] = np.array([[1e-3], [5e-3], [2e-2]])
    light = Initiation(np.array([0.0, 3.0]), pieces, np.ones((3, 1, 50)))
    start = State(1.0 * ones, 0.0 * ones, 0.0 * ones)
    both = march(start, Segment(seconds, where, kinetics(where), light), SHARP)

    for row in range(3):
        only = np.array([row])
        single = march(
            start.take(only),
            Segment(
                seconds[only],
                where.take(only),
                kinetics(where).take(only),
                light.take(only),
            ),
            SHARP,
        )

        assert both.state.activity[row] == pytest.approx(
            single.state.activity[0], abs=1e-5
        )
        assert both.state.exponent[row] == pytest.approx(
            single.state.exponent[0], abs=1e-5
        )
    assert (both.state.activity[0] == 1.0).all()


def test_a_column_that_takes_too_long_is_one_sentence():
    where = medium(np.full(20, 0.5))
    lit = segment(where, 10.0, light=steady_light(5e-3, 20, 10.0))

    with pytest.raises(CoatError, match=r"too long to compute .*\.$"):
        march(state(20), lit, SHARP, effort=Effort(2000.0))


# Rate constants and cells


def test_diffusion_limits_by_hand():
    """Hand computation of Goodner and Bowman's form at X = 0 and X = 0.6, 298.15 K."""
    kp, kt = DiffusionLimits().rates(
        np.array([0.0, 0.6]),
        kp_l_mol_s=np.array([1800.0, 1800.0]),
        kt_l_mol_s=np.array([2e5, 2e5]),
        double_bonds_mol_l=6.0,
    )

    # f = 0.025 + 5e-4 * 85.15 = 0.067575; 1/f = 14.7984
    assert kp[0] == pytest.approx(1800.0 / (1.0 + 2.619e-3), rel=1e-4)
    assert kt[0] == pytest.approx(2e5 / (1.0 + 1.0 / (0.2154 + 9.406)), rel=1e-3)
    # monomer volume (0.4/1.1) / (0.4/1.1 + 0.6/1.2) = 0.42105
    # f = 0.025 + 0.017926 - 0.001296 = 0.041630; 1/f = 24.0213
    assert kp[1] == pytest.approx(1800.0 / (1.0 + 1.1500), rel=1e-4)
    assert kt[1] == pytest.approx(2e5 / (1.0 + 1.0 / (0.04019 + 1.47e-4)), rel=1e-3)
    assert kt[1] < 0.05 * kt[0]


def test_cells_grow_from_the_surface_and_fill_the_coat():
    widths_um = coat_widths_um(25.0, finest_um=0.2, growth=1.1, coarsest_um=0.5)

    assert widths_um.sum() == pytest.approx(25.0, rel=1e-12)
    assert widths_um[0] == pytest.approx(0.2, rel=0.03)
    assert widths_um.max() <= 0.5
    assert (np.diff(widths_um) >= -1e-12).all()


def test_a_thin_coat_still_has_cells():
    widths_um = coat_widths_um(0.3, finest_um=0.4, growth=1.3, coarsest_um=2.0)

    assert widths_um.size >= 3
    assert widths_um.sum() == pytest.approx(0.3, rel=1e-12)


def test_a_film_is_finest_at_the_coat():
    widths_um = film_widths_um(5000.0, finest_um=0.15, growth=2.0)

    assert widths_um.sum() == pytest.approx(5000.0, rel=1e-12)
    assert widths_um[-1] == widths_um.min()
    assert widths_um[-1] <= 0.15


@pytest.mark.parametrize(
    ("conversion", "expected"),
    [
        ([0.3, 0.4, 0.5, 0.6], 0.0),
        ([0.0, 0.1, 0.1, 0.19], 4.0),
        ([0.1, 0.3, 0.5, 0.6], 1.0),
        ([0.0, 0.0, 0.4, 0.1], 2.0),
    ],
)
def test_soft_depth_is_linear_between_centres(conversion, expected):
    """Hand computation on four cells of 1 um, threshold 0.2."""
    depth_um = soft_depth_um(np.array([conversion]), np.ones(4), threshold=0.2)

    assert depth_um == pytest.approx([expected])
