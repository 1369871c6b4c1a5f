"""Washing, drying, flushing: what a part carries, and what it does to a chamber."""

from itertools import islice
from math import exp, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from benchassist.physics import drying, purge, wash

DENSITIES = {"solvent_g_cm3": 0.785, "resin_g_cm3": 1.1}


@pytest.mark.parametrize(
    ("liquid", "mm_s", "capillary", "um"),
    [
        # Handbook properties at 20 C; films by the law of Landau and Levich.
        ((2.38e-3, 0.02126, 786.7), 50, 5.6e-3, 49),
        ((1.2e-3, 0.0223, 789), 10, 5.3e-4, 11),
        ((1.41, 0.0634, 1261), 1, 0.022, 169),
        ((1.0, 0.035, 1100), 1, 0.029, 159),
    ],
)
def test_films_of_common_liquids(liquid, mm_s, capillary, um):
    """Regression: same law, computed apart from rounded properties."""
    viscosity, tension, density = liquid
    film = wash.drained_film(
        viscosity_pa_s=viscosity,
        speed_m_s=mm_s / 1e3,
        tension_n_m=tension,
        density_kg_m3=density,
    )

    assert film.capillary_number == pytest.approx(capillary, rel=0.03)
    assert film.film_um == pytest.approx(um, abs=0.5)
    assert film.law_holds


def test_a_fast_draw_from_glycerol_is_beyond_the_law():
    film = wash.drained_film(
        viscosity_pa_s=1.41, speed_m_s=5e-3, tension_n_m=0.0634, density_kg_m3=1261
    )

    assert film.film_um == pytest.approx(495, rel=0.01)
    assert not film.law_holds


@given(percent=st.floats(0.01, 60))
def test_concentration_and_percent_are_inverse(percent):
    there = wash.concentration_g_l(percent, **DENSITIES)

    assert wash.wt_percent(there, **DENSITIES) == pytest.approx(percent)


@given(
    volume=st.floats(50, 5000),
    resin_g=st.floats(0.01, 5),
    volume_in=st.floats(0, 5),
    drag=st.floats(0.001, 5),
)
def test_one_bath_follows_its_closed_form(volume, resin_g, volume_in, drag):
    """Identity: geometric series."""
    rows = wash.bath_concentrations_g_l(
        volumes_ml=[volume],
        resin_in_g=resin_g,
        volume_in_ml=volume_in,
        drag_out_ml=drag,
    )
    ratio = (volume + volume_in - drag) / (volume + volume_in)
    for k, (held,) in enumerate(islice(rows, 40), start=1):
        series = sum(ratio**i for i in range(k))

        assert held == pytest.approx(1e3 * resin_g / (volume + volume_in) * series)
        assert held <= wash.plateau_g_l(resin_in_g=resin_g, drag_out_ml=drag) * (
            1 + 1e-9
        )


def test_no_resin_is_lost_in_a_cascade():
    """Identity: what went in is in the baths or left with the parts."""
    volumes, drag, resin = [500.0, 400.0, 300.0], 2.0, 1.0
    rows = list(
        islice(
            wash.bath_concentrations_g_l(
                volumes_ml=volumes,
                resin_in_g=resin,
                volume_in_ml=0.9,
                drag_out_ml=drag,
            ),
            200,
        )
    )
    entering = [0.9, drag, drag]
    last = rows[-1]
    held = sum(
        c / 1e3 * (v + e - drag)
        for c, v, e in zip(last, volumes, entering, strict=True)
    )
    left = sum(row[-1] / 1e3 * drag for row in rows)

    assert held + left == pytest.approx(200 * resin)
    assert last[0] > last[1] > last[2]


def test_a_litre_takes_about_thirty_splints():
    """Identity: 41 g of resin in 785 g of solvent are 5 %; 1.32 g come with each."""
    limit = wash.concentration_g_l(5.0, **DENSITIES)
    rows = wash.bath_concentrations_g_l(
        volumes_ml=[1000], resin_in_g=1.32, volume_in_ml=1.2, drag_out_ml=0.0
    )

    assert pytest.approx(0.05, abs=0.001) == 1.32 * 31 / (785 + 1.32 * 31)
    assert wash.parts_to_limit(islice(rows, 100), limit) == (30,)
    assert wash.plateau_g_l(resin_in_g=1.32, drag_out_ml=0.0) == inf


def test_the_second_bath_of_a_cascade_lasts_longer():
    rows = wash.bath_concentrations_g_l(
        volumes_ml=[500, 500], resin_in_g=1.0, volume_in_ml=1.0, drag_out_ml=5.0
    )

    first, second = wash.parts_to_limit(islice(rows, 10_000), 40.0)
    assert first < second


def test_a_bath_that_levels_off_is_never_full():
    rows = wash.bath_concentrations_g_l(
        volumes_ml=[500], resin_in_g=0.1, volume_in_ml=0.1, drag_out_ml=5.0
    )

    assert wash.parts_to_limit(islice(rows, 5000), 21.0) == (None,)


def test_flushing_follows_the_mixed_chamber():
    """Identity: dO/dt = -Q/V O by an ODE solver."""
    seconds = purge.purge_s(chamber_l=10, flow_l_min=5, target_percent=1)
    oxygen = solve_ivp(
        lambda _, o: -5 / 60 / 10 * o, (0, seconds), [20.9], rtol=1e-9, atol=1e-12
    )

    assert oxygen.y[0, -1] == pytest.approx(1.0, rel=1e-6)
    assert seconds / 60 == pytest.approx(6.1, abs=0.05)


@pytest.mark.parametrize(("percent", "minutes"), [(0.5, 7.5), (0.1, 10.7)])
def test_less_oxygen_takes_longer(percent, minutes):
    seconds = purge.purge_s(chamber_l=10, flow_l_min=5, target_percent=percent)

    assert seconds / 60 == pytest.approx(minutes, abs=0.05)
    assert 20.9 * exp(-seconds / 120) == pytest.approx(percent)


def test_air_needs_no_flushing():
    assert purge.purge_s(chamber_l=10, flow_l_min=5, target_percent=20.9) == 0.0


def test_a_wet_splint_nears_the_limit_in_a_small_box():
    vapour = drying.vapour(
        area_cm2=80, film_um=30, chamber_l=5, solvent=drying.ISOPROPANOL
    )

    assert vapour.liquid_ml == pytest.approx(0.24)
    assert vapour.fraction_of_lower_explosive_limit == pytest.approx(
        0.24 / vapour.liquid_at_limit_ml
    )
    assert vapour.vapour_percent == pytest.approx(
        vapour.fraction_of_lower_explosive_limit * 2.0
    )
