from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.physics import light_check, spectra
from benchassist.physics.light_check import Absorber
from benchassist.physics.spectra import Curve, Line, SpectrumError

GRID_NM = spectra.wavelength_grid()
BAND = Curve(
    (300.0, 340.0, 385.0, 430.0, 600.0),
    (0.0, 300.0, 500.0, 0.0, 0.0),
)
LAYER = [Absorber(BAND, 0.03, 0.6)]


def lamp(*lines):
    values = spectra.gaussian_lines([Line(*line) for line in lines], GRID_NM)
    return Curve(tuple(GRID_NM.tolist()), tuple(values.tolist()))


def test_light_at_the_design_wavelength_counts_in_full():
    match = light_check.match_lamp(lamp((420.0, 385.0, 0.1)), LAYER, design_nm=385)

    assert match.effective_mw_cm2 == pytest.approx(420.0)
    assert match.total_mw_cm2 == pytest.approx(420.0)
    assert match.effective_share == pytest.approx(1.0)


def test_light_elsewhere_counts_by_photons_absorbed():
    # 340 nm: absorptivity 300/500 of the design's, photons 340/385 of a milliwatt's.
    match = light_check.match_lamp(lamp((100.0, 340.0, 0.1)), LAYER, design_nm=385)

    assert match.effective_mw_cm2 == pytest.approx(100 * 0.6 * 340 / 385, rel=1e-6)


def test_light_that_is_not_absorbed_does_nothing():
    match = light_check.match_lamp(lamp((1000.0, 460.0, 10.0)), LAYER, design_nm=385)

    assert match.effective_mw_cm2 == pytest.approx(0.0, abs=1e-9)
    assert (
        light_check.seconds_needed(required_effective_j_cm2=4.2, effective_mw_cm2=0.0)
        == inf
    )


def test_a_dark_lamp_has_no_share():
    dark = Curve((300.0, 600.0), (0.0, 0.0))

    assert light_check.match_lamp(dark, LAYER, design_nm=385).effective_share == 0.0


def test_ten_seconds_at_the_baseline():
    assert light_check.seconds_needed(
        required_effective_j_cm2=4.2, effective_mw_cm2=420
    ) == pytest.approx(10.0)
    assert (
        light_check.seconds_needed(required_effective_j_cm2=0.0, effective_mw_cm2=0.0)
        == 0.0
    )


@given(factor=st.floats(0.01, 100))
def test_effective_irradiance_is_proportional_to_the_lamp(factor):
    one = light_check.match_lamp(lamp((10.0, 400.0, 14.0)), LAYER, design_nm=385)
    other = light_check.match_lamp(
        lamp((10.0 * factor, 400.0, 14.0)), LAYER, design_nm=385
    )

    assert other.effective_mw_cm2 == pytest.approx(factor * one.effective_mw_cm2)


def test_concentration_changes_the_bottom_and_not_the_surface():
    light = lamp((100.0, 385.0, 0.1))
    thin, thick = (
        light_check.match_lamp(
            light, [Absorber(BAND, mol_l, 0.6)], design_nm=385, thickness_um=50
        )
        for mol_l in (0.01, 0.1)
    )

    assert thin.effective_mw_cm2 == pytest.approx(thick.effective_mw_cm2)
    # Beer-Lambert: 500 L/mol/cm x 0.1 mol/L x 50 um is an absorbance of 0.25.
    assert thick.bottom_mw_cm2 == pytest.approx(100 * 10**-0.25, rel=1e-6)
    assert thin.bottom_mw_cm2 == pytest.approx(100 * 10**-0.025, rel=1e-6)


def test_several_initiators_add_up():
    other = Curve((430.0, 460.0, 500.0), (0.0, 50.0, 0.0))
    both = [Absorber(BAND, 0.03, 0.6), Absorber(other, 0.06, 0.1)]
    weight = light_check.layer_weight_per_cm(both, np.array([385.0, 460.0]))

    assert weight == pytest.approx([0.03 * 0.6 * 500, 0.06 * 0.1 * 50])


def test_a_range_is_measured_against_the_layer_it_belongs_to():
    low = [Absorber(Curve(BAND.nm, tuple(v / 2 for v in BAND.values)), 0.03, 0.6)]
    match = light_check.match_lamp(
        lamp((100.0, 385.0, 0.1)), low, design_nm=385, design_layer=LAYER
    )

    assert match.effective_mw_cm2 == pytest.approx(50.0)


def test_a_lamp_that_may_lie_to_either_side_is_judged_at_both():
    """Two routes: the same lamp moved by hand; no ends of the layer are given."""
    short, middle, long = (
        light_check.match_lamp(
            lamp((100.0, nm, 10.0)), LAYER, design_nm=385
        ).effective_mw_cm2
        for nm in (400.0, 405.0, 410.0)
    )
    there = lamp((100.0, 405.0, 10.0))

    found = light_check.effect(there, LAYER, design_nm=385, shift_nm=5.0)
    assert (found.lowest_mw_cm2, found.highest_mw_cm2) == pytest.approx((long, short))
    assert long < 0.9 * middle < 0.8 * short
    sure = light_check.effect(there, LAYER, design_nm=385)
    assert sure.lowest_mw_cm2 == sure.highest_mw_cm2 == pytest.approx(middle)


def test_a_layer_blind_at_its_design_wavelength_is_refused():
    with pytest.raises(SpectrumError, match="absorbs nothing at 460 nm"):
        light_check.match_lamp(lamp((1.0, 385.0, 5.0)), LAYER, design_nm=460)


def test_a_grey_vessel_takes_the_same_from_all_light():
    grey = Curve((300.0, 600.0), (0.82, 0.82))

    assert light_check.effective_transmittance(
        lamp((100.0, 395.0, 30.0)), grey, LAYER
    ) == pytest.approx(0.82)


def test_what_a_vessel_lets_through_is_weighted_by_photons_not_by_energy():
    # Two lines of one power, absorbed alike: 340 nm has 340/410 of the photons that
    # 410 nm has. A wall that takes the first and leaves the second lets through
    # 410/(340 + 410) of the effect, not half.
    even = [Absorber(Curve((300.0, 600.0), (500.0, 500.0)), 0.03, 0.6)]
    wall = Curve((300.0, 370.0, 371.0, 600.0), (0.0, 0.0, 1.0, 1.0))
    light = lamp((100.0, 340.0, 2.0), (100.0, 410.0, 2.0))

    assert light_check.effective_transmittance(light, wall, even) == pytest.approx(
        410 / 750, rel=1e-6
    )
    assert light_check.unmeasured_share(
        light, Curve((371.0, 600.0), (1.0, 1.0)), even
    ) == pytest.approx(340 / 750, rel=1e-6)


def test_a_vessel_clear_to_the_eye_may_stop_what_the_layer_uses():
    yellow = Curve((400.0, 420.0, 600.0), (0.0, 0.9, 0.9))
    light = lamp((100.0, 385.0, 10.0), (100.0, 460.0, 20.0))

    assert light_check.effective_transmittance(light, yellow, LAYER) < 0.01


def test_transmission_of_useless_light_is_refused():
    with pytest.raises(SpectrumError, match="no light that this layer"):
        light_check.effective_transmittance(
            lamp((100.0, 550.0, 5.0)), Curve((300.0, 600.0), (1.0, 1.0)), LAYER
        )


def test_the_plot_curves_share_a_grid_and_a_scale():
    curves = light_check.overlap(lamp((200.0, 400.0, 18.0)), LAYER)

    assert curves.lamp.max() == curves.layer.max() == curves.effect.max() == 1.0
    assert (curves.shaded <= np.minimum(curves.lamp, curves.layer)).all()
    assert 385 < curves.nm[curves.effect.argmax()] < 400


def test_the_plot_of_a_dark_lamp_is_flat():
    curves = light_check.overlap(Curve((300.0, 600.0), (0.0, 0.0)), LAYER)

    assert curves.lamp.max() == curves.effect.max() == 0.0
