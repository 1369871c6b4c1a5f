"""Glycerine's density and viscosity, and what floats and rises in it."""

from math import pi

import pytest

from benchassist.physics import bubbles, buoyancy, glycerine


@pytest.mark.parametrize(
    "function", [glycerine.density_kg_m3, glycerine.viscosity_pa_s]
)
def test_values_outside_the_formulas_are_refused(function):
    with pytest.raises(ValueError, match="0 and 100 %"):
        function(wt_percent=101, celsius=20)
    with pytest.raises(ValueError, match="temperature"):
        function(wt_percent=50, celsius=293)


@pytest.mark.parametrize(
    ("density", "percent"), [(1.2611, 100), (1.2085, 80), (1.1263, 50), (0.9982, 0)]
)
def test_a_hydrometer_says_how_much_water_was_drawn(density, percent):
    """Densities at 20 C of Bosart and Snoddy 1927, as handbooks have them; from memory.

    A thousandth of a reading is about half a per cent of water.
    """
    assert glycerine.percent_of(density, 20.0) == pytest.approx(percent, abs=0.6)
    again = glycerine.density_kg_m3(
        wt_percent=glycerine.percent_of(density, 20.0), celsius=20.0
    )
    assert again == pytest.approx(density * 1e3, rel=glycerine.READS)


@pytest.mark.parametrize("density", [0.95, 1.3])
def test_what_no_glycerine_can_read_is_read_again(density):
    with pytest.raises(ValueError, match=r"between 0\.998 and 1\.261 at 20 °C"):
        glycerine.percent_of(density, 20.0)


@pytest.mark.parametrize(
    ("volume", "density", "liquid", "net_gf"),
    [(12, 1.19, 1.26, 0.84), (9, 1.16, 1.26, 0.90), (0.45, 1.52, 1.26, -0.117)],
)
def test_net_force_on_a_part(volume, density, liquid, net_gf):
    """Identity: Archimedes."""
    force = buoyancy.buoyancy(
        volume_cm3=volume, density_g_cm3=density, liquid_g_cm3=liquid
    )

    assert force.net_gf == pytest.approx(net_gf)
    assert force.floats is (net_gf > 0)


def test_steel_that_holds_a_splint_down_pulls_twice_its_lift():
    force = buoyancy.buoyancy(volume_cm3=12, density_g_cm3=1.19, liquid_g_cm3=1.26)
    submerged = force.hold_down_g * (1 - 1.26 / 7.9)

    assert force.hold_down_g == pytest.approx(2.0, abs=0.01)
    assert submerged == pytest.approx(2 * force.net_gf)


def test_trapped_air_floats_a_heavy_crown():
    part = {"volume_cm3": 0.45, "density_g_cm3": 1.52, "liquid_g_cm3": 1.26}
    sunk = buoyancy.buoyancy(**part)
    lifted = buoyancy.buoyancy(**part, trapped_air_cm3=sunk.air_to_float_cm3 * 1.001)

    assert sunk.hold_down_g == 0.0
    assert sunk.air_to_float_cm3 == pytest.approx(0.09, abs=0.005)
    assert pi / 6 * (sunk.bubble_to_float_mm / 10) ** 3 == pytest.approx(
        sunk.air_to_float_cm3
    )
    assert lifted.floats


@pytest.mark.parametrize(
    ("mm", "wt_percent", "celsius", "minutes"),
    [
        (0.5, 100, 23, 3.1),
        (0.3, 100, 23, 8.7),
        (0.2, 100, 23, 20),
        (0.1, 100, 23, 78),
        (0.3, 100, 30, 4.8),
        (0.3, 95, 23, 3.3),
    ],
)
def test_bubbles_rise_30_mm(mm, wt_percent, celsius, minutes):
    """Regression: Stokes' law with the viscosity of Cheng 2008, computed apart."""
    rise = bubbles.rise(
        diameter_mm=mm,
        depth_mm=30,
        viscosity_pa_s=glycerine.viscosity_pa_s(wt_percent=wt_percent, celsius=celsius),
        density_kg_m3=glycerine.density_kg_m3(wt_percent=wt_percent, celsius=celsius),
    )

    assert rise.rise_s / 60 == pytest.approx(minutes, rel=0.02)
    assert rise.stokes_holds


def test_drag_balances_buoyancy():
    """Identity: 3 pi mu d v = rho g pi d^3 / 6, SI units throughout."""
    rise = bubbles.rise(
        diameter_mm=1.0, depth_mm=10, viscosity_pa_s=1.0, density_kg_m3=1260
    )
    drag = 3 * pi * 1.0 * 1e-3 * rise.speed_mm_s * 1e-3

    assert drag == pytest.approx(1260 * 9.80665 * pi * 1e-9 / 6)


def test_a_large_bubble_in_thin_liquid_is_beyond_stokes():
    rise = bubbles.rise(
        diameter_mm=3.0, depth_mm=10, viscosity_pa_s=0.01, density_kg_m3=1150
    )

    assert not rise.stokes_holds
