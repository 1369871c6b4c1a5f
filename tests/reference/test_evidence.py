"""What the ladder and the coupon rest on, against the outside.

Identities by Fresnel's and Lambert's equations; the shares of the ladder's gap from
the curves of initiators that are on file, with their own marks.
"""

import math

import numpy as np
import pytest

from benchassist.calculators import library
from benchassist.domain import library as lib
from benchassist.physics.vessel import fresnel, stack_transmission


def test_an_empty_wall_reads_four_percent_low():
    """Identity (Fresnel): n 1.47 with air inside over glycerol inside, 1 / (1 + R).

    The own meter through the empty vessel errs to the safe side by so much.
    """
    empty = stack_transmission((1.0, 1.47, 1.0), (1.0,)).with_reflections
    filled = stack_transmission((1.0, 1.47, 1.47), (1.0,)).with_reflections
    face = fresnel(1.0, 1.47).unpolarised

    assert empty / filled == pytest.approx(0.964, abs=0.002)
    assert empty / filled == pytest.approx(1 / (1 + face), rel=1e-9)


@pytest.mark.parametrize(("absorber", "most"), [("tpo", 0.02), ("bapo", 0.15)], ids=str)
def test_at_430_nm_so_little_is_left_that_nothing_follows_from_nearby_bands(
    absorber, most
):
    """Why bands less than 25 nm apart are "no data" and not a mismatch.

    BAPO: film spectrum in the open data of Gong et al. 2015, RSC Adv 5:106621, keeps
    14 % of its 385 nm absorption at 430 nm. TPO: a curve from memory, under 2 %.
    """
    curve = library.absorber_curve(absorber, "absorptivity_l_mol_cm", field="absorber")
    at_430, at_385 = np.interp([430.0, 385.0], curve.nm, curve.values)

    assert 0 < at_430 / at_385 < most


def test_the_margin_is_a_quarter_and_never_less():
    """Identity: t* is the least whole number of seconds not below 1.25 L."""
    for held_s in range(1, 121):
        assert lib.star(float(held_s)) == math.ceil(5 * held_s / 4)
