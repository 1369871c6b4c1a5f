"""Published numbers, identities and regressions on cure kinetics and closed_forms.

Every test names its kind and its source. "Outside evidence": the expected number was
published and read there; "from memory": published, but remembered. "Identity": two
routes to one number. "Regression": the expected number was computed from sourced
inputs, so it locks behaviour and proves nothing.
"""

from dataclasses import replace
from math import log, sqrt

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from benchassist.calculators import library
from benchassist.physics import spectra
from benchassist.physics.coat import STANDARD, Exposure, NewCoat, simulate
from benchassist.physics.coat_march import Tolerance
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.coat_resin import Initiator, Resin
from benchassist.physics.spectra import Line
from tests import closed_forms
from tests.refined import REFINED

GRID_NM = np.arange(380.0, 390.5, 0.5)
LAMP = spectra.gaussian_lines([Line(1e6, 385.0, 1.0)], GRID_NM)


def steady_resin(initiation_mol_l_s, *, kp_l_mol_s=1800.0, **changes):
    """Return a resin whose initiation under LAMP is steady and even over depth.

    A fierce light, with a tiny yield and a tiny absorptivity.
    """
    weak = np.full(GRID_NM.shape, 1e-3)
    per_yield = spectra.absorbed_mol_l_s(LAMP, weak, GRID_NM, mol_l=1.0)
    initiator = Initiator(
        weak,
        weak,
        weak,
        np.zeros_like(weak),
        mol_l=1e3 * initiation_mol_l_s / (2.0 * per_yield),
        quantum_yield=1e-3,
        efficiency=1.0,
    )
    values = {
        "rates": RateSet(kp_l_mol_s, 1e6),
        "ko2_l_mol_s": 5e8,
        "oxygen_diffusivity_m2_s": 1e-10,
        "oxygen_saturation_mol_l": 1e-3,
    }
    return Resin((initiator,), np.zeros_like(weak), **{**values, **changes})


def cure(
    resin,
    seconds,
    *,
    cover="inert",
    thickness_um=10.0,
    resolution=REFINED,
    radicals="full",
):
    steps = [NewCoat(thickness_um)]
    steps += [Exposure(s, cover, LAMP) for s in np.atleast_1d(seconds)]
    return simulate(
        resin,
        steps,
        grid_nm=GRID_NM,
        resolution=resolution,
        radicals=radicals,
        balance=True,
    )


# Radical kinetics


def test_oxygen_holds_up_the_cure_for_its_amount_over_initiation():
    """Identity (K1): 1e-3 M over 1e-4 M/s is 10 s; stiff ODE to 1 % oxygen 9.90 s."""
    waiting_s = closed_forms.inhibition_s(oxygen_mol_l=1e-3, initiation_mol_l_s=1e-4)
    before, at = cure(steady_resin(1e-4), [9.8, 0.1002])

    assert waiting_s == pytest.approx(10.0, abs=1e-9)
    assert at.oxygen_mol_l.mean() == pytest.approx(1e-5, rel=0.06)
    assert before.inhibition_s[0] == np.inf


def test_the_coat_is_freed_of_oxygen_when_quadrature_says():
    """Identity (K1): quadrature of the quasi-steady balance, kO 5e8, kt 1e6."""
    initiation, kt, ko2 = 1e-4, 1e6, 5e8

    def pace(c):
        radicals = (
            2 * initiation / (ko2 * c + sqrt((ko2 * c) ** 2 + 8 * kt * initiation))
        )
        return 1.0 / (ko2 * c * radicals)

    half = 1.5 * sqrt(2 * kt * initiation) / ko2
    expected_s = quad(pace, half, 1e-3, points=[1e-6, 1e-5, 1e-4])[0]
    (shot,) = cure(steady_resin(initiation), 15.0, radicals="quasi-steady")

    assert shot.inhibition_s[0] == pytest.approx(expected_s, rel=1e-3)
    assert shot.inhibition_s[0] == pytest.approx(10.0, rel=0.01)


def test_the_coat_is_freed_of_oxygen_when_the_whole_balance_says():
    """Identity (K1): a stiff ODE for oxygen and radicals, to half of sqrt(Ri / 2 kt)."""
    initiation, kt, ko2 = 1e-2, 1e6, 5e8

    def slopes(_, y):
        scavenged = ko2 * y[0] * y[1]
        return [-scavenged, initiation - 2 * kt * y[1] ** 2 - scavenged]

    def half(_, y):
        return y[1] - 0.5 * sqrt(initiation / (2 * kt))

    half.terminal = True
    ode = solve_ivp(
        slopes,
        (0.0, 1.0),
        [1e-3, 0.0],
        method="Radau",
        events=half,
        rtol=1e-8,
        atol=1e-14,
    )
    for resolution in (REFINED, STANDARD):
        (shot,) = cure(steady_resin(initiation), 0.5, resolution=resolution)

        assert shot.inhibition_s[0] == pytest.approx(ode.t_events[0][0], rel=5e-3)


def test_radicals_settle_without_oxygen():
    """Identity (K2): sqrt(Ri / 2 kt) against a stiff ODE and the coat model."""
    ode = solve_ivp(
        lambda _, r: 1e-4 - 2e6 * r**2, (0.0, 5.0), [0.0], method="Radau", rtol=1e-9
    )
    (shot,) = cure(steady_resin(1e-4, oxygen_saturation_mol_l=1e-9), 5.0)
    closed = closed_forms.steady_radicals_mol_l(initiation_mol_l_s=1e-4, kt_l_mol_s=1e6)

    assert closed == pytest.approx(7.0710678e-6, abs=2e-8)
    assert ode.y[0, -1] == pytest.approx(closed, rel=1e-4)
    assert shot.radicals_mol_l == pytest.approx(closed, rel=1e-3)


def test_oxygen_and_monomer_fall_along_a_power_law():
    """Identity (K3): Slutzky, Stone, Nunes 2019, eq 3, second-hand.

    C/C0 = (M/M0)^(kO/kp); at kO/kp = 5e4 and M/M0 = 0.9999 it is 0.006736.
    """
    resin = steady_resin(1e-4, kp_l_mol_s=1e4, ko2_l_mol_s=5e8)
    # The conversion is 1e-4 in all: it needs a finer step than a cure does.
    fine = replace(REFINED, march=Tolerance(1e-6, 1e-8, 1e-9))
    (shot,) = cure(resin, 9.95, resolution=fine)
    left = shot.oxygen_mol_l[0] / 1e-3
    by_law = (1.0 - shot.conversion[0]) ** 5e4

    fallen = 0.9999**5e4
    assert fallen == pytest.approx(0.006736, abs=2e-5)
    assert left.mean() < 0.02
    assert by_law == pytest.approx(left, rel=0.02)


def test_rate_of_propagation_goes_with_the_root_of_initiation():
    """Regression (K4): kp M sqrt(Ri / 2 kt), kp 100, M 6, Ri 1e-4, kt 1e6."""
    slow, fast = (
        closed_forms.propagation_mol_l_s(
            initiation_mol_l_s=initiation,
            double_bonds_mol_l=6.0,
            kp_l_mol_s=100.0,
            kt_l_mol_s=1e6,
        )
        for initiation in (1e-4, 4e-4)
    )

    assert slow == pytest.approx(4.2426e-3, abs=1e-6)
    assert fast / slow == pytest.approx(2.0, rel=1e-12)


def test_equal_doses_do_not_cure_equally():
    """Identity (K5): X = 0.50 at I is 0.293 at 4 I and 0.750 at I/4.

    The direction agrees with Wydra et al. 2014, Dent Mater 30:605 (unfilled resin:
    at constant dose the conversion falls as the irradiance rises).
    """
    one = {"kp_l_mol_s": 1800.0, "kt_l_mol_s": 1e6}
    radicals = closed_forms.steady_radicals_mol_l(
        initiation_mol_l_s=1e-4, kt_l_mol_s=1e6
    )
    half_s = log(2.0) / (1800.0 * radicals)
    expected = {1.0: 0.5, 4.0: 0.2929, 0.25: 0.75}
    for factor, value in expected.items():
        closed = closed_forms.conversion(
            initiation_mol_l_s=factor * 1e-4, seconds=half_s / factor, **one
        )
        resin = steady_resin(factor * 1e-4, oxygen_saturation_mol_l=1e-9)
        (shot,) = cure(resin, half_s / factor)

        assert closed == pytest.approx(value, abs=1e-4)
        assert shot.mean_conversion[0] == pytest.approx(value, abs=2e-3)


@pytest.mark.parametrize(
    ("celsius", "expected", "within"), [(25, 323, 1), (60, 833, 3)]
)
def test_propagation_of_methyl_methacrylate(celsius, expected, within):
    """From memory (K6): the IUPAC benchmark, A = 10^6.427, Ea = 22.36 kJ/mol.

    Beuermann et al. 1997.
    """
    kp = closed_forms.arrhenius(factor=10**6.427, energy_j_mol=22360.0, celsius=celsius)

    assert kp == pytest.approx(expected, abs=within)


# Oxygen from the air


@pytest.mark.parametrize(
    ("initiation", "um"), [(1e-4, 44.72), (1e-3, 14.14), (1e-2, 4.472)]
)
def test_inhibited_depth_of_the_zero_order_limit(initiation, um):
    """Identity (O1): sqrt(2 D C0 / Ri), D 1e-10 m2/s, C0 1 mol/m3."""
    depth_um = closed_forms.inhibited_depth_um(
        diffusivity_m2_s=1e-10, saturation_mol_l=1e-3, initiation_mol_l_s=initiation
    )

    assert depth_um == pytest.approx(um, abs=0.01)


@pytest.fixture(scope="module")
def steady_air():
    """Return a coat that has come to a steady state under air, and what it took in.

    kO 5e8, kt 1e6 L/mol/s, Ri 1e-3 mol/L/s: after a second segment of 1 s.
    """
    return cure(steady_resin(1e-3), [10.0, 1.0], cover="air", thickness_um=30.0)[-1]


def test_oxygen_uptake_of_the_whole_balance(steady_air):
    """Identity (O2): the model's flux against the first integral and the limit.

    D/2 C'^2 = integral of the sink over C, 1.41413e-5 against 1.41421e-5 mol/m2/s.
    """
    initiation, kt, ko2 = 1e-3, 1e6, 5e8

    def sink(c):
        return (
            ko2
            * c
            * 2
            * initiation
            / (ko2 * c + sqrt((ko2 * c) ** 2 + 8 * kt * initiation))
        )

    area = quad(sink, 0.0, 1e-3, points=[1e-7, 1e-6, 1e-5])[0]
    by_integral = 1e3 * sqrt(2.0 * 1e-10 * area)
    limit = closed_forms.oxygen_uptake_mol_m2_s(
        diffusivity_m2_s=1e-10, saturation_mol_l=1e-3, initiation_mol_l_s=1e-3
    )
    # um mol/L is 1e-3 mol/m2
    by_model = steady_air.balance.oxygen_in[0] * 1e-3

    assert limit == pytest.approx(1.41421356e-5, abs=2e-8)
    assert by_integral == pytest.approx(limit, rel=2e-4)
    assert by_model == pytest.approx(by_integral, rel=2e-3)


def test_depth_at_which_one_hundredth_of_the_oxygen_is_left(steady_air):
    """Identity (O3): finite differences 12.7355 um, parabola 12.7278 um."""
    depth_um = np.interp(-0.01, -steady_air.oxygen_mol_l[0] / 1e-3, steady_air.depth_um)

    assert depth_um == pytest.approx(12.7355, abs=0.15)


# Diffusivities


def test_oxygen_in_water_by_wilke_and_chang():
    """Outside evidence (X1): public worked value 1.972e-5 cm2/s at 20 C."""
    diffusivity = closed_forms.wilke_chang_m2_s(
        solvent_g_mol=18.015,
        association=2.26,
        molar_volume_cm3_mol=25.6,
        viscosity_pa_s=1.002e-3,
        celsius=20.0,
    )

    assert diffusivity * 1e4 == pytest.approx(1.972e-5, abs=0.005e-5)


def test_oxygen_in_glycerol_from_water():
    """Regression (X2): 2.1e-9 m2/s at 0.89 mPa s carried to 934 mPa s.

    Exponent -2/3 from Hiss and Cussler 1973, AIChE J 19:698; -1 from Stokes. An
    estimate: no measured value was found.
    """
    thick, stokes = (
        closed_forms.scaled_diffusivity_m2_s(
            known_m2_s=2.1e-9,
            known_viscosity_pa_s=0.89e-3,
            viscosity_pa_s=0.934,
            exponent=exponent,
        )
        for exponent in (-2.0 / 3.0, -1.0)
    )

    assert thick == pytest.approx(2.03e-11, abs=0.03e-11)
    assert stokes == pytest.approx(0.2e-11, abs=0.003e-11)


def test_oxygen_needs_hours_to_days_through_glycerol():
    """Regression (X3): L^2 / 2 D at 2e-11 m2/s, 1 mm in h and 5 mm in days."""
    thin_s, thick_s = (
        closed_forms.diffusion_s(thickness_um=um, diffusivity_m2_s=2e-11)
        for um in (1000.0, 5000.0)
    )

    assert thin_s / 3600.0 == pytest.approx(6.94, abs=0.01)
    assert thick_s / 86400.0 == pytest.approx(7.23, abs=0.01)


def test_a_fitted_resin_waits_a_second_and_stays_wet_for_five_micrometres():
    """Regression (M1): constants fitted by Montgomery et al. 2022, Extreme Mech Lett.

    As transcribed in an open repository, not checked against the paper: 0.1 wt% BAPO
    cleaves at 0.1728 /s; oxygen 1 mol/m3 and 1e-11 m2/s; 1.11 g/cm3.
    """
    initiator_mol_l = 1110.0 * 1e-3 / 418.46
    initiation = spectra.initiation_mol_l_s(
        initiator_mol_l, quantum_yield=0.1728, efficiency=1.0
    )

    assert initiation == pytest.approx(0.9165e-3, abs=1e-6)
    assert closed_forms.inhibition_s(
        oxygen_mol_l=1e-3, initiation_mol_l_s=initiation
    ) == pytest.approx(1.091, abs=0.002)
    assert closed_forms.inhibited_depth_um(
        diffusivity_m2_s=1e-11, saturation_mol_l=1e-3, initiation_mol_l_s=initiation
    ) == pytest.approx(4.67, abs=0.01)


# Three coats worked through


W1 = {"percent": 1.0, "g_mol": 348.37, "eps": 150.0, "nm": 405.0, "mw_cm2": 100.0}
W2 = {"percent": 0.5, "g_mol": 418.46, "eps": 379.0, "nm": 405.0, "mw_cm2": 100.0}
W3 = {"percent": 0.5, "g_mol": 418.46, "eps": 2.7, "nm": 460.0, "mw_cm2": 1000.0}


@pytest.mark.parametrize(
    ("coat", "expected", "within"),
    [
        (W1, (31.6, 10.9, 4.43e-3, 0.226, 6.72), (0.1, 0.05, 5e-5, 0.004, 0.05)),
        (W2, (13.1, 11.5, 4.66e-3, 0.215, 6.55), (0.1, 0.1, 5e-5, 0.004, 0.05)),
        (W3, (13.1, 0.0817, 3.77e-4, 2.65, 23.0), (0.1, 0.001, 5e-6, 0.04, 0.2)),
    ],
    ids=["W1", "W2", "W3"],
)
def test_worked_coats(coat, expected, within):
    """Regression (W1, W2, W3): our own arithmetic from sourced inputs.

    Resin 1.1 g/cm3; phi 0.6 and f 1; D 1e-10 m2/s; 1e-3 M closed_forms. mmol/L of
    initiator, absorption in 1/cm (naperian), Ri, inhibition time, inhibited depth.
    """
    eps, nm = coat["eps"], coat["nm"]
    mol_l = coat["percent"] / 100.0 * 1100.0 / coat["g_mol"]
    grid_nm = np.arange(nm - 10.0, nm + 10.5, 0.5)
    lamp = spectra.gaussian_lines([Line(coat["mw_cm2"], nm, 0.1)], grid_nm)
    absorbed = spectra.absorbed_mol_l_s(
        lamp, np.full(grid_nm.shape, eps), grid_nm, mol_l=mol_l
    )
    initiation = spectra.initiation_mol_l_s(absorbed, quantum_yield=0.6, efficiency=1.0)
    computed = (
        mol_l * 1e3,
        log(10.0) * eps * mol_l,
        initiation,
        closed_forms.inhibition_s(oxygen_mol_l=1e-3, initiation_mol_l_s=initiation),
        closed_forms.inhibited_depth_um(
            diffusivity_m2_s=1e-10,
            saturation_mol_l=1e-3,
            initiation_mol_l_s=initiation,
        ),
    )

    for value, number, tolerance in zip(computed, expected, within, strict=True):
        assert value == pytest.approx(number, abs=tolerance)


def test_the_tables_of_the_library_carry_the_absorptions_of_the_worked_coats():
    """Regression (W1 to W3): the absorptivities above are those that are shipped."""
    for name, nm, eps in (("tpo", 405, 150), ("bapo", 405, 379), ("bapo", 460, 2.7)):
        curve = library.absorber_curve(name, "absorptivity_l_mol_cm", field="id")
        (value,) = spectra.tabulated(curve, np.array([float(nm)]))

        assert value == pytest.approx(eps, rel=0.02)
