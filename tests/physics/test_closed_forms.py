"""Small formulas against numbers that a textbook or a pocket calculator gives.

Identities and definitions; constants of the SI are exact (SI brochure, 9th edition).
"""

from math import atan, degrees, e, inf, pi

import pytest

from benchassist.physics import spectra, vessel
from benchassist.physics.coat_rates import rate_sets
from benchassist.physics.drift import bound_at_floor_h, line_at_floor_h
from benchassist.physics.regression import StraightLine
from benchassist.physics.tables import TableError, parse_table
from benchassist.physics.working_curve import cure_depth_um, penetration_depth_um

# --- a face between two media ------------------------------------------------------------


def test_glass_in_air_reflects_four_per_cent():
    found = vessel.fresnel(1.0, 1.5)

    assert found.s == pytest.approx(0.04)
    assert found.p == pytest.approx(0.04)
    assert found.unpolarised == pytest.approx(0.04)


def test_at_brewster_s_angle_only_light_across_the_plane_comes_back():
    # tan of the angle is n; the share across is ((n^2 - 1) / (n^2 + 1))^2.
    found = vessel.fresnel(1.0, 1.5, incidence_deg=degrees(atan(1.5)))

    assert found.p == pytest.approx(0.0, abs=1e-15)
    assert found.s == pytest.approx((1.25 / 3.25) ** 2)
    assert found.unpolarised == pytest.approx((1.25 / 3.25) ** 2 / 2)


@pytest.mark.parametrize(("degrees_in", "whole"), [(41.8, False), (41.9, True)])
def test_beyond_the_critical_angle_all_light_comes_back(degrees_in, whole):
    # sin 41.81 deg = 1 / 1.5.
    found = vessel.fresnel(1.5, 1.0, incidence_deg=degrees_in)

    assert (found == vessel.Reflectance(1.0, 1.0)) is whole


def test_light_falls_to_one_over_e_where_the_extinction_says():
    # 4 pi k d / lambda = 1 for k = lambda / (4 pi d).
    found = vessel.internal_transmittance(
        extinction=405.0 / (4 * pi * 2e6), wavelength_nm=405.0, thickness_mm=2.0
    )

    assert found == pytest.approx(1 / e)


# --- photons -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("nm", "kj_mol"), [(385.0, 310.7), (405.0, 295.4), (460.0, 260.1)]
)
def test_a_mole_of_photons_carries_its_energy(nm, kj_mol):
    # 6.02214076e23 x 6.62607015e-34 x 299792458 / lambda = 0.11962657 J m/mol / lambda.
    joules = spectra.PHOTON_MOLE_ENERGY_J_M / (nm * 1e-9)
    assert joules / 1e3 == pytest.approx(kj_mol, abs=0.05)


def test_a_cleavage_gives_two_radicals():
    rate = spectra.initiation_mol_l_s(1e-3, quantum_yield=0.6, efficiency=0.5)

    assert rate == pytest.approx(6e-4)


# --- depth of cure ---------------------------------------------------------------------------


def test_e_times_the_critical_exposure_cures_one_penetration_depth():
    assert cure_depth_um(exposure_mj_cm2=10 * e, ec_mj_cm2=10, dp_um=120) == (
        pytest.approx(120.0)
    )
    assert cure_depth_um(exposure_mj_cm2=10, ec_mj_cm2=10, dp_um=120) == 0.0
    assert cure_depth_um(exposure_mj_cm2=9, ec_mj_cm2=10, dp_um=120) == 0.0


def test_an_absorbance_of_one_in_a_centimetre_leaves_a_tenth_there():
    # 1/e after 1 cm / ln 10 = 0.4343 cm.
    assert penetration_depth_um(1.0) == pytest.approx(4342.9, abs=0.1)


# --- a lamp that fades ------------------------------------------------------------------------


def fading(slope, *, scatter=0.0, spread=10.0):
    """Return a line through 100 at 10 h whose new points scatter as told."""
    return StraightLine(slope, 10.0, 100.0, scatter, 1.0, spread, 3, 1.0)


def test_a_line_meets_its_floor_where_division_says():
    # 30 below 100 at 2 an hour: 15 h after the middle.
    assert line_at_floor_h(fading(-2.0), start_h=10.0, floor=70.0) == 25.0
    assert bound_at_floor_h(fading(-2.0), start_h=10.0, floor=70.0) == 25.0


def test_a_bound_as_steep_as_its_line_meets_the_floor_once():
    # The square term is nought where slope^2 = (t s)^2 / S: a linear equation is left,
    # 2 b a u = s^2 (1/w + 1/W) - a^2, with b = -1, a = 30, s^2 = 4, S = 4: u = 14.867.
    found = bound_at_floor_h(
        fading(-1.0, scatter=2.0, spread=4.0), start_h=10.0, floor=70.0
    )

    assert found == pytest.approx(10.0 + (900 - 8) / 60)


def test_a_level_line_with_that_bound_never_meets_it():
    assert bound_at_floor_h(fading(0.0), start_h=10.0, floor=70.0) == inf


# --- a set of rates ----------------------------------------------------------------------------

HEAD = "# source: x\n# licence: x\n# confidence: x\nset,quantity,value\n"
ROWS = "one,kp_l_mol_s,1800\none,kt_l_mol_s,2e5\none,source,EX\none,condition,23 C\n"


def test_a_set_of_rates_says_where_it_is_from():
    found = rate_sets(parse_table(HEAD + ROWS))["one"]

    assert (found.kp_l_mol_s, found.kt_l_mol_s, found.limits) == (1800.0, 2e5, None)
    assert (found.name, found.source, found.condition) == ("one", "EX", "23 C")


def test_a_set_of_rates_may_say_how_the_network_slows_them():
    found = rate_sets(parse_table(HEAD + ROWS + "one,kelvin,310\n"))["one"]

    assert found.limits.kelvin == 310.0


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (ROWS.replace("one,source,EX\n", ""), "source"),
        (ROWS.replace("2e5", "much"), "not a number"),
        (ROWS + "one,colour,3\n", "no such quantity: colour"),
    ],
)
def test_a_set_that_lacks_a_rate_or_a_source_is_refused(rows, told):
    with pytest.raises(TableError, match=told):
        rate_sets(parse_table(HEAD + rows))
