"""Published numbers, identities and regressions on light, optics and washing.

Every test names its kind and its source. "Outside evidence": the expected number was
published and read there. "Identity": two routes to one number. "Regression": the
expected number was computed from sourced inputs, so it locks behaviour and proves
nothing.
"""

from math import exp, log, log10, pi, sqrt

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from benchassist.calculators import library
from benchassist.physics import (
    drying,
    glycerine,
    light_check,
    spectra,
    tip,
    vessel,
    wash,
    working_curve,
)

GRID_NM = spectra.wavelength_grid()


def absorptivity(name):
    curve = library.absorber_curve(name, "absorptivity_l_mol_cm", field="id")
    return spectra.tabulated(curve, GRID_NM)


# Working curve


def test_cure_depth_matches_a_worked_example():
    """Outside evidence: public worked example, Dp 0.175 mm, Ec 8, E 30 mJ/cm2."""
    depth_um = working_curve.cure_depth_um(exposure_mj_cm2=30, ec_mj_cm2=8, dp_um=175)

    assert depth_um == pytest.approx(231, abs=1)


def test_doubling_the_exposure_adds_dp_ln_2():
    """Identity: Dp ln 2."""
    single, double = (
        working_curve.cure_depth_um(exposure_mj_cm2=e, ec_mj_cm2=8, dp_um=100)
        for e in (40, 80)
    )

    assert double - single == pytest.approx(69.31, abs=0.01)


def test_a_scanned_beam_cures_to_the_closed_form():
    """Identity: Gibson, Rosen, Stucker eq. 4.12 against quadrature of the beam.

    50 mW, 1/e2 radius 0.125 mm, 250 mm/s.
    """
    power_mw, radius_cm, speed_cm_s = 50.0, 0.0125, 25.0
    peak_mw_cm2 = 2 * power_mw / (pi * radius_cm**2)
    dose_mj_cm2, _ = quad(
        lambda x: peak_mw_cm2 * exp(-2 * (x / radius_cm) ** 2) / speed_cm_s,
        -10 * radius_cm,
        10 * radius_cm,
    )
    closed_mj_cm2 = sqrt(2 / pi) * power_mw / (radius_cm * speed_cm_s)

    assert closed_mj_cm2 == pytest.approx(127.66, abs=1e-2)
    assert working_curve.cure_depth_um(
        exposure_mj_cm2=dose_mj_cm2, ec_mj_cm2=8, dp_um=100
    ) == pytest.approx(100 * log(closed_mj_cm2 / 8), abs=1e-6)


# Photons


@pytest.mark.parametrize(
    ("wavelength_nm", "kj_mol"), [(385, 310.71), (405, 295.37), (460, 260.05)]
)
def test_photon_energy(wavelength_nm, kj_mol):
    """Identity: CODATA constants."""
    joules = spectra.PHOTON_MOLE_ENERGY_J_M / (wavelength_nm * 1e-9)
    assert joules / 1e3 == pytest.approx(kj_mol, abs=0.01)


def test_photon_flux_of_a_milliwatt():
    """Identity: CODATA constants; 1 mW/cm2 at 385 nm."""
    flux = spectra.photon_flux_mol_cm2_s(np.array([1.0]), np.array([385.0]))[0]

    assert flux * 6.02214076e23 == pytest.approx(1.9381e15, rel=1e-4)
    assert flux * 1e9 == pytest.approx(3.218, abs=0.002)


# Absorption


def test_the_tpo_table_spans_both_readings_of_its_only_measurement():
    """Regression: 30 mg (or 15 mg, an older version) in 40 mL, 0.2347 per cm."""
    readings = [0.2347 / (mg * 1e-3 / 348.37 / 0.040) for mg in (30, 15)]
    table = library.absorber_table("tpo", field="id")
    row = next(row for row in table.rows if row[0] == "405")
    value, low, high = (float(cell) for cell in row[1:])

    assert readings == pytest.approx([109.0, 218.0], abs=0.2)
    assert low <= readings[0] < value < readings[1] == pytest.approx(high, abs=0.5)


@pytest.mark.parametrize(
    ("wavelength_nm", "expected", "tolerance"),
    [
        (365, 639, 2),
        (385, 569, 2),
        (405, 379, 2),
        (420, 186, 1),
        (450, 14.4, 0.3),
        (460, 2.7, 0.3),
    ],
)
def test_bapo_absorptivity(wavelength_nm, expected, tolerance):
    """Regression: open film spectrum of Gong et al. 2015, RSC Adv 5:106621.

    The shipped table holds every second nanometre; the noise is about 0.9 L/mol/cm,
    and odd wavelengths are its neighbours' mean.
    """
    value = np.interp(wavelength_nm, GRID_NM, absorptivity("bapo"))

    assert value == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("wavelength_nm", "um"), [(365, 256), (385, 288), (405, 432)])
def test_bapo_penetration_depth(wavelength_nm, um):
    """Regression: same film, 26.5 mmol/L; tolerance as for its absorptivity."""
    per_cm = 0.0265 * np.interp(wavelength_nm, GRID_NM, absorptivity("bapo"))

    assert working_curve.penetration_depth_um(per_cm) == pytest.approx(um, abs=2.5)


def test_bapo_under_led_lines():
    """Regression: photon-weighted absorptivity, same spectrum, Gaussian LEDs."""
    means = []
    for centre, fwhm in ((385, 11), (405, 14), (460, 25)):
        light = spectra.gaussian_lines([spectra.Line(1, centre, fwhm)], GRID_NM)
        photons = spectra.photon_flux_mol_cm2_s(light, GRID_NM)
        absorbed = spectra.integrate(absorptivity("bapo") * photons, GRID_NM)
        means.append(absorbed / spectra.integrate(photons, GRID_NM))
    uv, violet, blue = means

    assert uv == pytest.approx(566, abs=3)
    assert violet == pytest.approx(374, abs=0.6)
    assert blue == pytest.approx(7.45, abs=0.5)
    assert blue / violet == pytest.approx(0.0199, abs=0.001)


# Initiators under a halogen lamp and a blue LED:
# Neumann et al. 2006, Dent Mater 22:576, as quoted in three public notes.
ABSORBED_HALOGEN = {"cq": 2.14, "ppd": 2.56, "tpo": 4.38, "bapo": 5.15}
ABSORBED_LED = {"cq": 3.62, "ppd": 2.73, "tpo": 0.40, "bapo": 1.86}


def test_initiators_rank_under_a_blue_led_as_published():
    """Outside evidence: Neumann et al. 2006, absorbed light LED / halogen.

    CQ 1.69 > PPD 1.07 > BAPO 0.361 > TPO 0.091. The lamps here are our own shapes
    (a 400-500 nm band; 465 nm, 25 nm wide), so that the order is compared and not the
    numbers.
    """
    published = {n: ABSORBED_LED[n] / ABSORBED_HALOGEN[n] for n in ABSORBED_LED}
    halogen = spectra.tabulated(
        spectra.Curve((380, 400, 500, 515), (0.0, 0.5, 1.0, 0.0)), GRID_NM
    )
    led = spectra.gaussian_lines([spectra.Line(1, 465, 25)], GRID_NM)
    computed = {
        name: spectra.efficacy(led, halogen, absorptivity(name), GRID_NM)
        for name in ABSORBED_LED
    }

    ranked = sorted(published, key=published.get)
    assert sorted(computed, key=computed.get) == ranked
    assert computed["cq"] > 1 > computed["bapo"]


def test_camphorquinone_bleaching_exposure():
    """Regression: inputs of Chen, Ferracane, Prahl 2007, Dent Mater 23:655.

    46 L/mol/cm at 469 nm and 0.07 lost per photon make 34.4 J/cm2 to 1/e.
    """
    line = spectra.gaussian_lines([spectra.Line(1.0, 469, 0.5)], GRID_NM)
    per_mol_s = 0.07 * spectra.absorbed_mol_l_s(
        line, absorptivity("cq"), GRID_NM, mol_l=1.0
    )

    assert 1e-3 / per_mol_s == pytest.approx(34.4, abs=0.1)


# Optics


@pytest.mark.parametrize(
    ("before", "after", "percent", "tolerance"),
    [
        (1, 1.333, 2.037, 0.002),
        (1, 1.4746, 3.678, 0.002),
        (1, 1.50, 4.000, 0.001),
        (1.4746, 1.50, 0.0073, 0.0002),
        (1.4746, 1.53, 0.034, 0.0005),
    ],
)
def test_reflection_at_normal_incidence(before, after, percent, tolerance):
    """Identity: Fresnel; glycerol 1.4746 from the CRC Handbook."""
    reflected = vessel.fresnel(before, after)

    assert 100 * reflected.s == pytest.approx(percent, abs=tolerance)
    assert reflected.s == pytest.approx(reflected.p)


def test_reflection_at_45_degrees():
    """Identity: Fresnel, air to 1.50."""
    reflected = vessel.fresnel(1, 1.5, incidence_deg=45)

    assert 100 * reflected.s == pytest.approx(9.20, abs=0.01)
    assert 100 * reflected.p == pytest.approx(0.846, abs=0.005)
    assert 100 * reflected.unpolarised == pytest.approx(5.02, abs=0.01)


@pytest.mark.parametrize(("index", "critical_deg"), [(1.4746, 42.70), (1.333, 48.61)])
def test_light_is_trapped_beyond_the_critical_angle(index, critical_deg):
    """Identity: Snell; glycerol and water to air."""
    inside = vessel.fresnel(index, 1, incidence_deg=critical_deg - 0.02)
    beyond = vessel.fresnel(index, 1, incidence_deg=critical_deg + 0.02)

    assert inside.unpolarised < 1
    assert beyond.unpolarised == 1


def test_brewster_angle_of_glycerol():
    """Identity: reflection in the plane vanishes at 55.86 degrees."""
    angles = np.arange(50, 60, 0.01)
    reflected = [vessel.fresnel(1, 1.4746, incidence_deg=a).p for a in angles]

    assert angles[np.argmin(reflected)] == pytest.approx(55.86, abs=0.02)
    assert min(reflected) < 1e-8


@pytest.mark.parametrize(
    ("liquid", "wavelength_nm", "index"),
    [("glycerol", 405, 1.4835), ("water", 405, 1.3431), ("water", 589.3, 1.3334)],
)
def test_refractive_index_of_liquids(liquid, wavelength_nm, index):
    """Regression: Gupta et al. 2022; Daimon and Masumura 2007 (open index database)."""
    curve = library.table("liquid_n.csv").curve(
        "wavelength_nm", "refractive_index", key=liquid
    )

    assert np.interp(wavelength_nm, *curve) == pytest.approx(index, abs=2e-4)


@pytest.mark.parametrize(
    ("material", "expected"),
    [
        ("pmma_sample_a", 0.979),
        ("polystyrene", 0.931),
        ("polycarbonate", 0.534),
        ("pet", 0.819),
        ("pvc", 0.790),
        ("borosilicate33", 0.997),
        ("sodalime_clear", 0.981),
    ],
)
def test_internal_transmittance_of_vessel_walls(material, expected):
    """Regression: 3 mm at 405 nm; Zhang et al. 2020, Rubin 1985, a maker's sheet."""
    curve = library.table("vessel_nk.csv").curve(
        "wavelength_nm", "extinction", key=material
    )
    through = vessel.internal_transmittance(
        extinction=float(np.interp(405, *curve)), wavelength_nm=405, thickness_mm=3
    )

    assert through == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize(
    ("material", "expected"),
    [("borosilicate33", 0.959), ("sodalime_clear", 0.936), ("polycarbonate", 0.502)],
)
def test_transmission_of_a_wall_with_glycerine_behind(material, expected):
    """Regression: 3 mm at 405 nm, air outside, glycerol inside; same sources."""
    table = library.table("vessel_nk.csv")
    index, extinction = (
        float(np.interp(405, *table.curve("wavelength_nm", column, key=material)))
        for column in ("refractive_index", "extinction")
    )
    internal = vessel.internal_transmittance(
        extinction=extinction, wavelength_nm=405, thickness_mm=3
    )
    passed = vessel.stack_transmission([1, index, 1.4835], [internal])

    assert passed.with_reflections == pytest.approx(expected, abs=0.002)


# Glycerine, washing, solvents


def test_viscosity_of_pure_glycerol():
    """Outside evidence: handbook 1412 mPa s at 20 C (Segur and Oberstar 1951)."""
    viscosity = glycerine.viscosity_pa_s(wt_percent=100, celsius=20)

    assert viscosity * 1e3 == pytest.approx(1412, abs=15)


@pytest.mark.parametrize(("celsius", "kg_m3"), [(20, 1261), (25, 1258.1)])
def test_density_of_pure_glycerol(celsius, kg_m3):
    """Outside evidence: CRC Handbook at 20 C, an open property library at 25 C."""
    density = glycerine.density_kg_m3(wt_percent=100, celsius=celsius)

    assert density == pytest.approx(kg_m3, abs=1)


def test_landau_levich_coefficient():
    """Outside evidence: curvature 0.643, coefficient 0.944-0.946 in the literature.

    The film equation F''' = (F - 1)/F^3 is solved upwards from the flat film, where
    its growing solution is 1 + a exp(x). Far up its curvature, times 3^(2/3) from the
    scaling of the film, meets the static meniscus' sqrt 2.
    """
    start = 1e-6
    film = solve_ivp(
        lambda _, f: (f[1], f[2], (f[0] - 1) / f[0] ** 3),
        (0, 200),
        (1 + start, start, start),
        rtol=1e-10,
        atol=1e-13,
    )
    curvature = film.y[2, -1]

    assert curvature == pytest.approx(0.643, abs=5e-4)
    assert curvature * 3 ** (2 / 3) / sqrt(2) == pytest.approx(
        wash.LANDAU_LEVICH, abs=1e-4
    )
    assert pytest.approx(0.945, abs=1e-3) == wash.LANDAU_LEVICH


def test_film_of_isopropanol():
    """Regression: Landau and Levich 1942; 2.38 mPa s, 21.26 mN/m, 786.7 kg/m3."""
    film = wash.drained_film(
        viscosity_pa_s=2.38e-3, speed_m_s=0.01, tension_n_m=0.02126, density_kg_m3=786.7
    )

    assert film.capillary_number == pytest.approx(1.119e-3, abs=2e-6)
    assert film.film_um == pytest.approx(16.9, abs=0.1)


@pytest.mark.parametrize(
    ("solvent", "ppm", "expected"),
    [
        (drying.ISOPROPANOL, 400, (983, 2000, 4.34)),
        (drying.ETHANOL, 1000, (1885, 3300, 5.79)),
    ],
)
def test_solvent_hazards(solvent, ppm, expected):
    """Outside evidence: NIOSH Pocket Guide (prints 980 and 1900 mg/m3, rounded).

    Its immediately dangerous level is a tenth of the lower explosive limit.
    """
    mg_m3, idlh_ppm, saturated_percent = expected
    computed = ppm * solvent.molar_mass_g_mol / drying.MOLAR_VOLUME_L

    assert computed == pytest.approx(mg_m3, abs=2)
    assert solvent.lower_explosive_percent * 1e4 / 10 == pytest.approx(idlh_ppm)
    assert solvent.saturated_percent == pytest.approx(saturated_percent, abs=0.01)
    assert solvent.saturated_percent > solvent.lower_explosive_percent


@pytest.mark.parametrize(("chamber_l", "millilitres"), [(5, 0.31), (3, 0.19)])
def test_a_third_of_a_millilitre_fills_a_small_box(chamber_l, millilitres):
    """Identity: NIOSH lower explosive limit 2.0 %, ideal gas at 25 C."""
    vapour = drying.vapour(
        area_cm2=80, film_um=30, chamber_l=chamber_l, solvent=drying.ISOPROPANOL
    )
    moles = vapour.liquid_at_limit_ml * 0.785 / 60.10

    assert vapour.liquid_at_limit_ml == pytest.approx(millilitres, abs=0.005)
    assert moles * 24.45 / chamber_l == pytest.approx(0.02, rel=1e-6)


# Dose and distance


@pytest.mark.parametrize(
    ("j_cm2", "mw_cm2", "seconds"),
    [(16, 400, 40), (24, 400, 60), (16, 1000, 16), (258, 860, 300), (76.8, 3200, 24)],
)
def test_seconds_of_published_doses(j_cm2, mw_cm2, seconds):
    """Identity: irradiance x time of the 16 and 24 J/cm2 rules and of cure studies."""
    assert light_check.seconds_needed(
        required_effective_j_cm2=j_cm2, effective_mw_cm2=mw_cm2
    ) == pytest.approx(seconds)


def test_one_reading_predicts_the_loss_at_a_distance():
    """Outside evidence: 25 % lost at 7 mm and 34 % at 10 mm, Oper Dent 2021 46(3):271."""
    source_mm = tip.virtual_source_mm(loss=0.25, at_mm=7)
    loss = 1 - tip.distance_factor(source_mm=source_mm, distance_mm=10)

    assert 100 * loss == pytest.approx(34, abs=2)


def test_tilting_by_45_degrees():
    """Identity: geometry."""
    assert tip.tilt_factor(45) == pytest.approx(0.7071, abs=1e-4)
    assert 1 / tip.tilt_factor(45) == pytest.approx(1.4142, abs=1e-4)


def test_a_disc_far_away_is_a_point():
    """Identity: inverse square law against quadrature over the disc."""
    radius, distance = 5.0, 40.0
    integral, _ = quad(
        lambda r: 2 * r * distance**2 / (r**2 + distance**2) ** 2, 0, radius
    )

    factor = tip.disc_view_factor(diameter_mm=2 * radius, distance_mm=distance)
    assert factor == pytest.approx(integral, rel=1e-9)
    assert factor == pytest.approx((radius / distance) ** 2, rel=0.02)


def test_penetration_depth_is_the_depth_to_1_over_e():
    """Identity: Beer-Lambert by root finding."""
    absorbance = 17.3
    depth_cm = brentq(lambda z: 10 ** (-absorbance * z) - exp(-1), 0, 1)

    assert working_curve.penetration_depth_um(absorbance) == pytest.approx(
        depth_cm * 1e4
    )
    assert log10(exp(1)) / absorbance == pytest.approx(depth_cm)
