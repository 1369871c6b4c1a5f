"""Indices and reflections against an independent library, colour-science.

Collected only where that library is installed.
"""

import numpy as np
import pytest
from colour.phenomena import light_water_refractive_index_Schiebener1990
from colour.phenomena.tmm import polarised_light_reflection_coefficient, snell_law

from benchassist.calculators import library
from benchassist.physics import vessel


@pytest.mark.parametrize("wavelength_nm", [385.0, 405.0, 436.0, 460.0, 589.3])
def test_refractive_index_of_water(wavelength_nm):
    """Outside evidence: Schiebener et al. 1990, as colour-science has it, at 20 C."""
    curve = library.table("liquid_n.csv").curve(
        "wavelength_nm", "refractive_index", key="water"
    )
    theirs = light_water_refractive_index_Schiebener1990(
        wavelength_nm, temperature=293.15, density=998.2
    )

    assert np.interp(wavelength_nm, *curve) == pytest.approx(float(theirs), abs=5e-4)


@pytest.mark.parametrize("index", [1.3345, 1.4746, 1.53])
@pytest.mark.parametrize("incidence_deg", [0.0, 30.0, 45.0, 60.0, 80.0])
def test_reflection(index, incidence_deg):
    """Outside evidence: Fresnel's coefficients of colour-science, s and p."""
    within_deg = float(snell_law(1.0, index, incidence_deg))
    theirs = polarised_light_reflection_coefficient(
        1.0, index, incidence_deg, within_deg
    )
    ours = vessel.fresnel(1.0, index, incidence_deg=incidence_deg)

    assert (ours.s, ours.p) == pytest.approx(
        np.abs(np.ravel(theirs)[:2]), rel=1e-6, abs=1e-12
    )
