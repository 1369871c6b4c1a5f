from functools import partial
from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.physics import spectra
from benchassist.physics.spectra import Curve, Line, SpectrumError

GRID_NM = spectra.wavelength_grid()


def test_the_grid_runs_from_300_to_600_nm_by_half_nanometres():
    assert (GRID_NM[0], GRID_NM[-1], GRID_NM.size) == (300.0, 600.0, 601)


@given(
    centre_nm=st.floats(310, 590),
    fwhm_nm=st.floats(0.01, 3),
)
def test_a_narrow_line_keeps_its_power_and_centre(centre_nm, fwhm_nm):
    light = spectra.gaussian_lines([Line(7.0, centre_nm, fwhm_nm)], GRID_NM)

    assert spectra.integrate(light, GRID_NM) == pytest.approx(7.0, rel=1e-4)
    assert spectra.integrate(light * GRID_NM, GRID_NM) / 7.0 == pytest.approx(
        centre_nm, abs=0.03
    )


def test_a_broad_lamp_loses_what_lies_outside_the_grid():
    light = spectra.gaussian_lines([Line(100.0, 300.0, 20.0)], GRID_NM)

    assert spectra.integrate(light, GRID_NM) == pytest.approx(50.0, rel=1e-3)


def test_a_table_is_linear_between_points_and_zero_outside():
    curve = Curve((400.0, 402.0), (1.0, 3.0))
    values = spectra.tabulated(curve, np.array([399.9, 400.0, 401.0, 402.0, 402.1]))

    assert values.tolist() == [0.0, 1.0, 2.0, 3.0, 0.0]


def test_a_spike_between_grid_points_is_noticed():
    spike = Curve((400.1, 400.2, 400.3), (0.0, 100.0, 0.0))
    smooth = Curve((380.0, 400.0, 420.0), (0.0, 5.0, 0.0))

    assert spectra.sampling_loss(spike, GRID_NM) == -1.0
    for at_nm in (300.25, 599.75):  # in the first step of the grid and in the last
        nm = (at_nm - 0.1, at_nm, at_nm + 0.1)
        assert spectra.sampling_loss(Curve(nm, spike.values), GRID_NM) == -1.0
    assert abs(spectra.sampling_loss(smooth, GRID_NM)) < 1e-9
    assert spectra.sampling_loss(Curve((700.0, 710.0), (1.0, 1.0)), GRID_NM) == 0.0


@pytest.mark.parametrize(
    ("curve", "sentence"),
    [
        (Curve((400.0,), (1.0,)), "two points"),
        (Curve((400.0, 401.0), (1.0,)), "2 wavelengths but 1 values"),
        (Curve((400.0, 401.0, 401.0), (1.0, 1.0, 1.0)), "401 nm follows 401 nm"),
        (Curve((401.0, 400.0), (1.0, 1.0)), "400 nm follows 401 nm"),
        (Curve((400.0, 401.0), (1.0, -0.5)), "401 nm is negative"),
        (Curve((400.0, 401.0), (1.0, float("nan"))), "finite"),
        (Curve((400.0, inf), (1.0, 1.0)), "finite"),
    ],
)
def test_an_unusable_curve_is_refused_in_one_sentence(curve, sentence):
    with pytest.raises(SpectrumError, match=sentence):
        spectra.check_curve(curve)


def test_a_usable_curve_passes():
    spectra.check_curve(Curve((400.0, 401.0), (0.0, 1.0)))


def test_efficacy_of_a_lamp_against_itself_is_one():
    light = spectra.gaussian_lines([Line(30.0, 385.0, 12.0)], GRID_NM)
    band = spectra.gaussian_bands([spectra.Gaussian(500.0, 380.0, 15.0)], GRID_NM)

    assert spectra.efficacy(light, 5 * light, band, GRID_NM) == pytest.approx(1.0)


def test_efficacy_counts_photons_and_not_watts():
    # A flat absorber: a milliwatt at 460 nm carries 460/385 times the photons.
    flat = np.ones(GRID_NM.shape)
    blue = spectra.gaussian_lines([Line(1.0, 460.0, 5.0)], GRID_NM)
    uv = spectra.gaussian_lines([Line(1.0, 385.0, 5.0)], GRID_NM)

    assert spectra.efficacy(blue, uv, flat, GRID_NM) == pytest.approx(460 / 385)


def test_efficacy_without_light_or_absorption():
    dark = np.zeros(GRID_NM.shape)
    light = spectra.gaussian_lines([Line(1.0, 460.0, 5.0)], GRID_NM)
    uv = spectra.gaussian_lines([Line(1.0, 385.0, 5.0)], GRID_NM)
    narrow = np.where(GRID_NM < 420, 1.0, 0.0)

    with pytest.raises(SpectrumError, match="no light between 300 and 600"):
        spectra.efficacy(dark, light, narrow, GRID_NM)
    with pytest.raises(SpectrumError, match="Neither lamp"):
        spectra.efficacy(light, light, dark, GRID_NM)
    assert spectra.efficacy(uv, light * (GRID_NM > 420), narrow, GRID_NM) == inf


def test_what_is_absorbed_alike_at_all_wavelengths_is_its_own_mean():
    """Identity; and of two lines each photon counts once: 100 at 400, 300 at 420 nm."""
    two = spectra.gaussian_lines(
        [Line(1.0, 400.0, 0.1), Line(1.0, 420.0, 0.1)], GRID_NM
    )
    even = np.full(GRID_NM.shape, 300.0)
    step = np.where(GRID_NM < 410.0, 100.0, 300.0)

    photons = spectra.photon_flux_mol_cm2_s(two, GRID_NM)
    each = spectra.integrate(photons, GRID_NM)
    one_mol = partial(spectra.absorbed_mol_l_s, two, grid_nm=GRID_NM, mol_l=1.0)
    per_photon = 1e3 * spectra.LN10 * each
    assert one_mol(even) / per_photon == pytest.approx(300.0)
    assert one_mol(step) / per_photon == pytest.approx(
        (100.0 * 400 + 300.0 * 420) / (400 + 420)
    )


def test_absorbed_photons_scale_with_light_and_concentration():
    light = spectra.gaussian_lines([Line(1.0, 385.0, 5.0)], GRID_NM)
    band = spectra.gaussian_bands([spectra.Gaussian(500.0, 380.0, 15.0)], GRID_NM)
    once = spectra.absorbed_mol_l_s(light, band, GRID_NM, mol_l=0.01)

    twice = spectra.absorbed_mol_l_s(2 * light, band, GRID_NM, mol_l=0.03)
    assert twice == pytest.approx(6 * once)


def test_a_thin_layer_absorbs_what_it_takes_from_the_light():
    # Photons lost in 0.1 um by the exponential law, per volume of that layer.
    light = spectra.gaussian_lines([Line(10.0, 400.0, 5.0)], GRID_NM)
    per_mol = np.full(GRID_NM.shape, 300.0)
    photons = spectra.integrate(spectra.photon_flux_mol_cm2_s(light, GRID_NM), GRID_NM)
    depth_cm = 1e-5
    lost = photons * (1 - 10 ** (-300.0 * 0.03 * depth_cm))

    assert spectra.absorbed_mol_l_s(
        light, per_mol, GRID_NM, mol_l=0.03
    ) == pytest.approx(lost / (depth_cm * 1e-3), rel=2e-4)
