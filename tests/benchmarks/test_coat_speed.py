"""The coat model against ``solve_ivp`` with BDF on the same equations.

The floor is the straightforward solution at the accuracy that is asked of ours, timed
in the same run; it takes a few minutes. Spectra stand on a grid of 2.5 nm for both,
which is fine enough for these lamps and spares the floor most of its work on light:
at 0.5 nm it would be several times slower, and ours would hardly change. Run with
``-m benchmark -s`` to read the figures.
"""

import runpy
from dataclasses import replace
from functools import partial
from pathlib import Path
from timeit import timeit

import numpy as np
import pytest

from benchassist.calculators import library
from benchassist.physics import spectra
from benchassist.physics.coat import (
    COARSE,
    PREVIEW,
    Exposure,
    NewCoat,
    simulate,
)
from benchassist.physics.coat_grid import film_widths_um
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.coat_resin import Film, Initiator, Resin
from benchassist.physics.coat_tack import Lamp, tack_window
from benchassist.physics.coat_uncertainty import draw_sample
from benchassist.physics.spectra import Gaussian, Line
from tests.refined import REFINED

pytestmark = pytest.mark.benchmark

GRID_NM = spectra.wavelength_grid(step_nm=2.5)
# Illustrations: an acylphosphine oxide, a hand-held lamp and a box.
CURVE = spectra.gaussian_bands(
    [Gaussian(500, 379, 14.5), Gaussian(110, 396, 8)], GRID_NM
)
RESIN = Resin(
    (Initiator(CURVE, 0.7 * CURVE, 1.3 * CURVE, 0.0 * CURVE),),
    0.0 * CURVE,
    RateSet(1800.0, 2e5, name="slow"),
)
HANDHELD = spectra.gaussian_lines([Line(200, 400, 18), Line(800, 455, 25)], GRID_NM)
BOX = spectra.gaussian_lines([Line(30, 385, 12)], GRID_NM)
GLYCERINE = Film()
TWO_COATS = [
    NewCoat(25.0),
    Exposure(10.0, "air", HANDHELD),
    Exposure(30.0),
    NewCoat(25.0),
    Exposure(5.0),
    Exposure(10.0, "air", HANDHELD),
    Exposure(30.0),
    Exposure(20.0, GLYCERINE),
    Exposure(300.0, GLYCERINE, BOX),
]
CELLS_PER_COAT = 50  # the fewest, in tens, with which the floor is accurate enough
MEAN, SKIN_UM = 2e-3, 0.05


def ours(**how):
    shots = simulate(RESIN, TWO_COATS, grid_nm=GRID_NM, **how)
    return np.array(
        [(shot.mean_conversion[0], shot.soft_top_um()[0]) for shot in shots]
    )


def straightforward():
    path = Path(__file__).parents[1] / "physics" / "straightforward.py"
    width_um = 25.0 / CELLS_PER_COAT
    column = runpy.run_path(str(path))["Column"](
        RESIN, GRID_NM, width_um, rtol=1e-3, atol=1e-6
    )
    found = []
    for step in TWO_COATS:
        if isinstance(step, NewCoat):
            column.lay(step.thickness_um)
            continue
        film = step.cover if isinstance(step.cover, Film) else None
        widths = film and film_widths_um(film.thickness_um, finest_um=0.3, growth=2.0)
        column.cover(film, widths)
        column.expose(step.duration_s, "air", step.irradiance_mw_cm2_nm)
        found.append((column.conversion.mean(), column.soft_um()))
    return np.array(found)


def in_turn(*calls, rounds):
    """Return the median seconds of each, one after the other in every round."""
    taken = [[timeit(call, number=1) for call in calls] for _ in range(rounds)]
    return np.median(taken, axis=0)


@pytest.fixture(scope="module", autouse=True)
def _warm():
    """Import what is imported on first use."""
    ours()


def test_two_coats_against_a_straightforward_solution():
    """Goal 1000 times, at least 500, both within 2e-3 and 0.05 um of the refined."""
    exact = ours(resolution=REFINED)
    found = []
    before_s = in_turn(ours, rounds=10)
    floor_s = timeit(lambda: found.append(straightforward()), number=1)
    after_s = in_turn(ours, rounds=10)
    standard_s = float(np.mean([before_s, after_s]))
    errors = np.abs(found[0] - exact).max(axis=0)
    own = np.abs(ours() - exact).max(axis=0)
    print(
        f"floor {floor_s:.0f} s (mean {errors[0]:.1e}, skin {errors[1]:.3f} um), "
        f"ours {standard_s * 1e3:.0f} ms (mean {own[0]:.1e}, skin {own[1]:.3f} um): "
        f"{floor_s / standard_s:.0f} times faster"
    )

    assert own[0] <= MEAN
    assert own[1] <= SKIN_UM
    assert errors[0] <= MEAN
    assert errors[1] <= SKIN_UM
    # A floor far better than asked would be slower than it needs to be.
    assert max(errors[0] / MEAN, errors[1] / SKIN_UM) >= 0.5
    assert floor_s >= 500.0 * standard_s


def test_the_measured_rates_cost_at_most_four_times_the_constant_ones():
    """Goal 33 ms for constant rates; the network's moving ones take more steps."""
    measured = replace(RESIN, rates=library.rates()["measured"])

    def moving():
        simulate(measured, TWO_COATS, grid_nm=GRID_NM)

    moving()
    constant_s, moving_s = in_turn(ours, moving, rounds=20)
    print(
        f"constant rates {constant_s * 1e3:.0f} ms, measured ones "
        f"{moving_s * 1e3:.0f} ms"
    )

    assert moving_s <= 4.0 * constant_s


def test_a_preview_costs_half_of_the_whole():
    """Goal 33 ms on the bench's machine."""
    standard_s, preview_s = in_turn(ours, lambda: ours(resolution=PREVIEW), rounds=20)
    print(f"preview {preview_s * 1e3:.0f} ms, whole {standard_s * 1e3:.0f} ms")

    assert preview_s <= 0.5 * standard_s


def test_two_hundred_draws_cost_no_more_than_fifteen_coats():
    """Goal 2 s on the bench's machine."""
    sample = draw_sample(200, initiators=1, seed=1)
    standard_s, draws_s = in_turn(
        ours, lambda: ours(sample=sample, resolution=COARSE), rounds=5
    )
    print(f"200 draws {draws_s:.2f} s, one coat {standard_s * 1e3:.0f} ms")

    assert draws_s <= 15.0 * standard_s


def test_a_tack_window_costs_a_few_coats_and_its_band_some_more():
    """Goals 0.3 s and, with 48 draws as the page has them, 3 s.

    In coats, of which one takes a third less than when the goals were set.
    """
    later = [step for step in TWO_COATS if isinstance(step, Exposure)][-2:]
    how = {"resolution": COARSE, "grid_nm": GRID_NM}
    window = partial(tack_window, RESIN, Lamp(HANDHELD), (25.0, 25.0), later, **how)
    (least_s,), (most_s,), *_ = window()

    def band():
        for seed in range(2):
            sample = draw_sample(24, initiators=1, seed=seed)
            window(sample=sample, near=[(float(least_s), float(most_s))])

    standard_s, central_s, band_s = in_turn(ours, window, band, rounds=5)
    print(
        f"tack window {central_s:.2f} s, its band {band_s:.2f} s, "
        f"one coat {standard_s * 1e3:.0f} ms"
    )

    assert central_s <= 8.0 * standard_s
    assert band_s <= 45.0 * standard_s
