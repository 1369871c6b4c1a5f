"""Nitrogen with oxygen left in it, flashes, purge: what stands over a coat."""

from dataclasses import replace
from math import exp, log1p, sqrt

import numpy as np
import pytest

from benchassist.calculators import library
from benchassist.physics import purge, spectra
from benchassist.physics.coat import (
    STANDARD,
    Exposure,
    NewCoat,
    Nitrogen,
    Resolution,
    simulate,
)
from benchassist.physics.coat_march import Tolerance
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.coat_resin import Film, Initiator, Resin
from benchassist.physics.kinetics import flash_share
from benchassist.physics.spectra import Gaussian, Line
from tests.refined import REFINED

GRID_NM = spectra.wavelength_grid(step_nm=2.5)
CURVE = spectra.gaussian_bands(
    [Gaussian(500, 379, 14.5), Gaussian(110, 396, 8)], GRID_NM
)
SLOW = RateSet(1800.0, 2e5, name="slow")
RESIN = Resin((Initiator(CURVE, CURVE, CURVE, 0 * CURVE),), 0 * CURVE, SLOW)
BOX = spectra.gaussian_lines([Line(30, 385, 12)], GRID_NM)


def cured(cover, seconds=30.0, resin=RESIN, **how):
    steps = [NewCoat(25.0), Exposure(seconds, cover, BOX, **how)]
    return simulate(resin, steps, grid_nm=GRID_NM)[-1]


def test_nitrogen_ends_where_air_and_a_perfect_purge_are():
    """Limits: 20.9 % is air, 0 % the purge that carries all oxygen away."""
    for percent, same in ((20.9, "air"), (0.0, "purge")):
        ours, theirs = cured(Nitrogen(percent)), cured(same)

        assert ours.conversion == pytest.approx(theirs.conversion, abs=1e-12)


def test_the_soft_skin_goes_with_the_root_of_the_oxygen_left():
    """Limit: sqrt(2 D C / Ri), while the initiator is still there."""
    soft = [
        simulate(
            RESIN,
            [NewCoat(25.0), Exposure(4.0, Nitrogen(percent), BOX)],
            grid_nm=GRID_NM,
            resolution=REFINED,
        )[-1].soft_top_um()[0]
        for percent in (20.9, 20.9 / 4.0, 20.9 / 16.0)
    ]

    assert soft[0] / soft[1] == pytest.approx(2.0, rel=0.1)
    assert soft[1] / soft[2] == pytest.approx(2.0, rel=0.1)


def test_what_a_purge_leaves_is_the_other_way_round_of_how_long_it_takes():
    """Identity: V/Q ln(20.9/u) and 20.9 exp(-Q t / V)."""
    seconds = purge.purge_s(chamber_l=4, flow_l_min=6, target_percent=0.1)
    left = purge.oxygen_left_percent(chamber_l=4, flow_l_min=6, seconds=seconds)

    assert left == pytest.approx(0.1, rel=1e-12)
    assert purge.oxygen_left_percent(
        chamber_l=4, flow_l_min=6, seconds=40
    ) == pytest.approx(20.9 * exp(-1.0))


# Flashes


@pytest.mark.parametrize(
    ("initiation", "rate_hz", "share", "within"),
    [
        (6e-4, 10, 0.92, 0.005),
        (6e-4, 1, 0.35, 0.005),
        (0.0175, 8, 0.45, 0.005),
        (6e-4, 1e3, 1.0, 1e-3),
        (0.0, 8, 1.0, 1e-9),
    ],
)
def test_slow_flashes_make_fewer_radicals_than_steady_light(
    initiation, rate_hz, share, within
):
    """Identity: the closed form with the sum over one period, kt 2e5 L/mol/s."""
    told = flash_share(
        initiation_mol_l_s=np.array([initiation]),
        kt_l_mol_s=np.array([2e5]),
        rate_hz=rate_hz,
    )[0]

    assert told == pytest.approx(share, abs=within)
    if initiation == 0.0:
        return
    # The same by stepping through flashes until nothing changes.
    period, left = 1 / rate_hz, 0.0
    for _ in range(20_000):
        lit = left + initiation * period
        left = lit / (1 + 4e5 * lit * period)
    mean = log1p(4e5 * lit * period) / (4e5 * period)
    assert told == pytest.approx(mean / sqrt(initiation / 4e5), rel=1e-5)


def test_a_coat_under_flashes_is_that_of_as_many_short_lights():
    """Second route: every flash for itself, without oxygen, ten a second."""
    resin = replace(RESIN, oxygen_saturation_mol_l=1e-9)
    dark_s, lit_s = 0.099, 0.001
    flashes = []
    for _ in range(30):
        flashes += [Exposure(lit_s, "inert", 100.0 * BOX), Exposure(dark_s, "inert")]
    one_by_one = simulate(resin, [NewCoat(25.0), *flashes], grid_nm=GRID_NM)[-1]
    ours = cured("inert", 3.0, resin, flash_hz=10.0)
    steady = cured("inert", 3.0, resin)

    assert ours.mean_conversion == pytest.approx(one_by_one.mean_conversion, abs=4e-3)
    assert steady.mean_conversion[0] > ours.mean_conversion[0] + 0.01


def test_flashes_count_for_more_as_the_initiator_is_spent():
    """Identity: the closed form gives 0.45 in a fresh coat, 0.85 with 5 % left."""
    shares = flash_share(
        initiation_mol_l_s=np.array([0.0175, 0.05 * 0.0175]),
        kt_l_mol_s=np.full(2, 2e5),
        rate_hz=8.0,
    )

    assert shares == pytest.approx([0.45, 0.85], abs=0.01)


@pytest.mark.parametrize(
    "cover",
    [
        pytest.param(Film(3000.0, 2.1e-9, 2.6e-4), id="water"),
        pytest.param(Film(30.0, 2.1e-9, 2.6e-4), id="a film of water"),
        pytest.param(Film(1000.0, 1e-9, 2e-3), id="oil"),
        pytest.param(Film(20.0, 5e-10, 2e-3), id="a film of oil"),
        pytest.param(Film(), id="glycerine"),
        pytest.param(Nitrogen(1.0), id="nitrogen"),
        pytest.param("air", id="air"),
    ],
)
def test_the_soft_skin_is_told_to_a_twentieth_of_a_micrometre_under_every_cover(cover):
    """Order: a grid and tolerances a third as fine change it by less than 0.05 um."""
    fine = Resolution(
        0.05, 1.04, 0.12, 1.15, 2e-3, 1e-4, Tolerance(1e-4, 3e-5, 1e-6, 0.05)
    )
    measured = library.rates()["measured"]
    for which in (RESIN, replace(RESIN, rates=measured)):
        steps = [NewCoat(25.0), Exposure(20.0, cover), Exposure(30.0, cover, BOX)]
        (ours, exact) = (
            simulate(which, steps, grid_nm=GRID_NM, resolution=how)[-1]
            for how in (STANDARD, fine)
        )

        assert ours.soft_um() == pytest.approx(exact.soft_um(), abs=0.05)
