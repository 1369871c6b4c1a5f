"""Light in the coat: photons, exact solutions, bands and bleaching."""

from dataclasses import replace
from math import log

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from benchassist.physics import coat_resin, spectra
from benchassist.physics.coat_light import absorb, initiate, merge_bands
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.coat_resin import Cleavage, CoatError, Initiator, Resin
from benchassist.physics.coat_uncertainty import nominal_sample
from benchassist.physics.spectra import LN10, Gaussian, Line

GRID_NM = spectra.wavelength_grid()
NONE = np.zeros_like(GRID_NM)
# Illustrations: an acylphosphine oxide, a blue absorber, a violet-and-blue lamp.
RATES = RateSet(1800.0, 2e5)
VIOLET = spectra.gaussian_bands(
    [Gaussian(500, 379, 14.5), Gaussian(110, 396, 8)], GRID_NM
)
BLUE = spectra.gaussian_bands([Gaussian(37, 471, 17), Gaussian(16, 446, 22)], GRID_NM)
HANDHELD = spectra.gaussian_lines([Line(200, 400, 18), Line(800, 455, 25)], GRID_NM)
WIDTHS_UM = np.full(100, 0.5)


def initiator(curve, *, product=NONE, mol_l=0.03, quantum_yield=0.6, efficiency=0.6):
    return Initiator(
        curve,
        curve,
        curve,
        product,
        mol_l=mol_l,
        quantum_yield=quantum_yield,
        efficiency=efficiency,
    )


def two_initiators():
    """Return a resin with a product that absorbs and a pigment."""
    return Resin(
        (
            initiator(VIOLET, product=0.2 * VIOLET),
            initiator(BLUE, mol_l=0.02, quantum_yield=0.07, efficiency=0.5),
        ),
        np.full(GRID_NM.shape, 3.0),
        RATES,
    )


def bands_of(resin, light=HANDHELD, *, depth_um=50.0, grid_nm=GRID_NM):
    sample = nominal_sample(initiators=len(resin.initiators))
    return merge_bands(
        light, grid_nm, resin, sample, depth_um=depth_um, band_absorbance=0.03
    )


def stages(resin, once, twice):
    return np.array([[*once, *(twice if resin.stages > 1 else ())]], dtype=float)


def fresh(resin):
    zeros = [0.0] * len(resin.initiators)
    return stages(resin, [one.mol_l for one in resin.initiators], zeros)


def column(resin, cells):
    return np.repeat(fresh(resin)[:, :, None], cells, axis=2)


def bleach(resin, seconds, *, light=HANDHELD, tolerance=1e-6, widths_um=WIDTHS_UM):
    seconds = np.atleast_1d(np.asarray(seconds, dtype=float))
    rows = seconds.size
    return initiate(
        bands_of(resin, light, depth_um=widths_um.sum()),
        np.repeat(column(resin, widths_um.size), rows, axis=0),
        fresh_mol_l=np.repeat(fresh(resin), rows, axis=0),
        quantum_yield=stages(
            resin,
            [one.quantum_yield for one in resin.initiators],
            [one.second.quantum_yield if one.second else 0 for one in resin.initiators],
        ),
        efficiency=np.array([[one.efficiency for one in resin.initiators]]),
        widths_um=widths_um,
        duration_s=seconds,
        tolerance=tolerance,
    )


def test_every_photon_is_absorbed_or_passes():
    """Identity: photons in = photons taken in all cells + photons out, per band."""
    resin = two_initiators()
    bands = bands_of(resin)
    left = column(resin, 100) * np.linspace(0.1, 1.0, 100)

    where = absorb(bands, left, fresh(resin), WIDTHS_UM)

    total = where.absorbed.sum(axis=1) + where.transmitted
    assert total == pytest.approx(bands.flux, rel=1e-14)
    assert (where.absorbed > 0).all()


def test_absorbers_share_what_a_cell_takes():
    """Identity: initiators, products and pigment together take the cell's photons."""
    resin = two_initiators()
    bands = bands_of(resin)
    left = column(resin, 100) * np.linspace(0.1, 1.0, 100)

    where = absorb(bands, left, fresh(resin), WIDTHS_UM)

    gone = fresh(resin)[:, :, None] - left
    own = np.einsum("rjz,rjb->rzb", left, bands.absorptivity)
    product = np.einsum("rjz,rjb->rzb", gone, bands.product)
    per_cm = own + product + bands.static
    taken = where.per_absorption * per_cm * WIDTHS_UM[:, None] * 1e-4
    assert taken == pytest.approx(where.absorbed, rel=1e-12)


def test_the_rate_at_the_surface_is_the_integral_over_the_grid():
    """Identity: bands against 1000 ln10 c INT eps q dl by the trapezium rule."""
    resin = two_initiators()
    bands = bands_of(resin)

    for index, one in enumerate(resin.initiators):
        by_bands = 1e3 * one.mol_l * (bands.absorptivity[0, index] @ bands.flux[0])
        by_grid = spectra.absorbed_mol_l_s(
            HANDHELD, one.absorptivity_l_mol_cm, GRID_NM, mol_l=one.mol_l
        )

        assert by_bands == pytest.approx(by_grid, rel=1e-12)


@pytest.mark.parametrize(
    ("depth_um", "within"), [(50, 1e-3), (500, 3e-3), (3000, 2e-2)]
)
def test_few_bands_attenuate_like_the_whole_grid(depth_um, within):
    """Identity: rate at the bottom by bands against every wavelength by itself."""
    resin = Resin((initiator(VIOLET),), NONE, RATES)
    bands = bands_of(resin, depth_um=depth_um)
    depth_cm = depth_um * 1e-4
    by_bands = bands.flux[0] @ (
        bands.absorptivity[0, 0] * np.exp(-bands.absorptivity[0, 0] * 0.03 * depth_cm)
    )
    photons = spectra.photon_flux_mol_cm2_s(HANDHELD, GRID_NM)
    by_grid = spectra.integrate(
        photons * LN10 * VIOLET * np.exp(-LN10 * VIOLET * 0.03 * depth_cm), GRID_NM
    )

    assert by_bands == pytest.approx(by_grid, rel=within)
    assert bands.flux.shape[1] < GRID_NM.size / 3


def test_darkness_has_no_bands():
    resin = two_initiators()

    assert bands_of(resin, NONE) is None


def test_bleaching_follows_the_exact_solution_of_one_wavelength():
    """Identity: c/c0 = e^A / (e^A + e^tau - 1).

    A = ln10 eps c0 z, tau = 1000 ln10 eps phi q0 t; the model is that of Terrones
    and Pearlstein 2001, Macromolecules 34:3195 (abstract). Over a cell the mean
    follows from the column above its faces, -ln(q/q0) / (ln10 eps).
    """
    grid_nm = np.arange(384.0, 386.5, 0.5)
    curve = np.full(grid_nm.shape, 500.0)
    light = spectra.gaussian_lines([Line(30.0, 385.0, 0.1)], grid_nm)
    resin = Resin((initiator(curve, product=0 * curve),), 0 * curve, RATES)
    widths_um = np.full(60, 10.0)
    seconds = np.array([5.0, 40.0, 160.0])

    bands = merge_bands(
        light,
        grid_nm,
        resin,
        nominal_sample(initiators=1, rows=3),
        depth_um=600.0,
        band_absorbance=0.03,
    )
    end = initiate(
        bands,
        np.full((3, 1, 60), 0.03),
        fresh_mol_l=np.full((3, 1), 0.03),
        quantum_yield=np.full((3, 1), 0.6),
        efficiency=np.full((3, 1), 0.6),
        widths_um=widths_um,
        duration_s=seconds,
        tolerance=1e-8,
    )

    photons = 30.0 * 385.0 * 1e-12 / spectra.PHOTON_MOLE_ENERGY_J_M
    depth = LN10 * 500.0 * 0.03 * np.linspace(0.0, 600e-4, 61)
    for row, time_s in enumerate(seconds):
        tau = 1000.0 * LN10 * 500.0 * 0.6 * photons * time_s
        through = np.exp(tau) / (np.exp(tau) + np.exp(depth) - 1.0)
        above = -np.log(through) / (LN10 * 500.0)
        mean = np.diff(above) / (widths_um * 1e-4)

        assert end.mol_l[row, 0] == pytest.approx(mean, rel=2e-5)


def test_radicals_made_are_the_initiator_lost():
    """Identity: INT Ri dt = 2 f (c0 - c) in every cell, for both initiators."""
    resin = two_initiators()
    end = bleach(resin, 20.0)

    edges = np.diff(end.edges_s)
    # The integral of a cubic's powers over its own interval.
    made = np.einsum("i,irpz,p->rz", edges, end.pieces, 1.0 / np.arange(1, 5))
    lost = column(resin, 100) - end.mol_l
    factors = np.array([0.6, 0.5])
    assert made == pytest.approx(np.einsum("rjz,j->rz", 2 * lost, factors), rel=1e-4)


def test_the_integrator_gains_with_its_tolerance():
    """Order: third-order steps; each hundredth of the tolerance gains over tenfold."""
    resin = Resin((initiator(VIOLET),), NONE, RATES)
    widths_um = np.full(50, 20.0)
    exact = bleach(resin, 30.0, tolerance=1e-10, widths_um=widths_um).mol_l
    errors = [
        np.abs(
            bleach(resin, 30.0, tolerance=tolerance, widths_um=widths_um).mol_l - exact
        ).max()
        for tolerance in (1e-3, 1e-5, 1e-7)
    ]

    assert errors[0] > 10 * errors[1] > 100 * errors[2]
    assert errors[0] < 1e-3 * 0.03


def test_rows_end_at_their_own_times():
    resin = two_initiators()
    together = bleach(resin, [3.0, 20.0, 7.0])
    alone = [bleach(resin, seconds) for seconds in (3.0, 20.0, 7.0)]

    for row, single in enumerate(alone):
        assert together.mol_l[row] == pytest.approx(single.mol_l[0], rel=1e-5)


def test_a_fast_and_a_slow_initiator_do_not_need_many_pieces():
    fast = initiator(1e4 * np.ones_like(GRID_NM), mol_l=1e-4)
    slow = initiator(1e-4 * np.ones_like(GRID_NM))
    end = bleach(Resin((fast, slow), NONE, RATES), 300.0, tolerance=1e-3)

    assert end.mol_l[0, 0].max() < 1e-12
    assert end.mol_l[0, 1] == pytest.approx(0.03, rel=1e-2)
    assert end.edges_s.size < 100


def test_the_rate_of_initiation_is_continuous_over_its_pieces():
    end = bleach(Resin((initiator(VIOLET),), NONE, RATES), 60.0, tolerance=1e-4)
    inner = end.edges_s[1:-1]
    before = np.array([end.at(np.array([t * (1 - 1e-12)]))[0] for t in inner])
    after = np.array([end.at(np.array([t * (1 + 1e-12)]))[0] for t in inner])

    assert after == pytest.approx(before, rel=2e-3, abs=1e-7)
    start = end.at(np.array([0.0]))[0, 0]
    first_cell = (
        2 * 0.6 * 0.6 * spectra.absorbed_mol_l_s(HANDHELD, VIOLET, GRID_NM, mol_l=0.03)
    )
    assert start == pytest.approx(first_cell, rel=2e-3)


def test_half_the_light_bleaches_in_twice_the_time():
    """Reciprocity holds for the initiator alone."""
    resin = two_initiators()
    whole = bleach(resin, 10.0).mol_l
    half = bleach(resin, 20.0, light=0.5 * HANDHELD).mol_l

    assert half == pytest.approx(whole, rel=1e-5)


def test_a_bleach_that_takes_too_long_says_so(monkeypatch):
    monkeypatch.setattr(coat_resin, "MOST_EFFORT", 1e4)

    with pytest.raises(CoatError, match=r"too long to compute .*\.$"):
        bleach(two_initiators(), 60.0, tolerance=1e-9)


def test_decay_of_a_thin_coat_is_exponential():
    """Limit: without attenuation c falls as exp(-1000 ln10 phi t INT eps q dl)."""
    resin = Resin((initiator(VIOLET, mol_l=1e-6),), NONE, RATES)
    (left,) = bleach(resin, 10.0).mol_l[0]
    pace = 0.6 * spectra.absorbed_mol_l_s(HANDHELD, VIOLET, GRID_NM, mol_l=1.0)

    assert -np.log(left / 1e-6) == pytest.approx(10.0 * pace, rel=1e-4)
    assert log(2.0) / pace < 10.0


# Initiators that cleave twice


def bis_acyl(second):
    return replace(initiator(VIOLET, quantum_yield=0.6, efficiency=0.5), second=second)


def test_a_second_cleavage_is_that_of_a_stiff_ode():
    """Identity: c1, c2 and the rate of a clear, thin coat against ``solve_ivp``."""
    resin = Resin((bis_acyl(Cleavage(0.5 * VIOLET, 0.3)), initiator(BLUE)), NONE, RATES)
    thin_um, seconds = np.full(3, 1e-3), np.array([0.7, 20.0])
    found = bleach(resin, seconds, widths_um=thin_um)
    paces = spectra.absorbed_mol_l_s(HANDHELD, VIOLET, GRID_NM, mol_l=1.0)
    first, again = 0.6 * paces, 0.3 * 0.5 * paces
    ode = solve_ivp(
        lambda _, c: (-first * c[0], first * c[0] - again * c[1]),
        (0.0, 20.0),
        (resin.initiators[0].mol_l, 0.0),
        method="Radau",
        t_eval=seconds,
        rtol=1e-9,
        atol=1e-14,
    )

    fresh_mol_l = resin.initiators[0].mol_l
    assert found.mol_l[:, [0, 2], 1] == pytest.approx(ode.y.T, abs=1e-4 * fresh_mol_l)
    assert (found.mol_l[:, 3] == 0.0).all()
    blue = bleach(Resin((initiator(BLUE),), NONE, RATES), seconds, widths_um=thin_um)
    made = found.at(seconds) - blue.at(seconds)
    by_ode = 2.0 * 0.5 * (first * ode.y[0] + again * ode.y[1])
    assert made[:, 1] == pytest.approx(by_ode, rel=5e-3)


def test_a_second_cleavage_makes_twice_the_radicals_in_the_end():
    """Identity: every bond gives two radicals, an initiator of two bonds four."""
    found = bleach(Resin((bis_acyl(Cleavage(VIOLET, 0.6)),), NONE, RATES), 400.0)
    times = np.linspace(0.0, 400.0, 40_001)
    made = np.array([found.at(np.array([at]))[0] for at in times])
    total = np.trapezoid(made, times, axis=0)

    left = found.mol_l[0]
    fresh_mol_l = 0.03
    bonds = 2.0 * fresh_mol_l - 2.0 * left[0] - left[1]
    assert total == pytest.approx(2.0 * 0.5 * bonds, rel=3e-3)
    assert total.mean() > 1.5 * fresh_mol_l


def test_one_cleavage_is_what_it_was_without_the_word():
    once = bleach(Resin((initiator(VIOLET),), NONE, RATES), 10.0)
    unable = bleach(
        Resin(
            (replace(initiator(VIOLET), second=Cleavage(1e-6 * VIOLET, 0.3)),),
            NONE,
            RATES,
        ),
        10.0,
    )

    assert unable.mol_l[0, 0] == pytest.approx(once.mol_l[0, 0], rel=1e-4)
    moment = np.array([3.0])
    assert unable.at(moment) == pytest.approx(once.at(moment), rel=1e-3)
