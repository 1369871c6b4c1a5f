"""Closed forms of the coat model against an independent library, polykin.

Collected only where that library is installed: it asks for newer packages than the
lowest that this program promises.
"""

import pytest
from polykin.kinetics import Arrhenius
from polykin.properties.diffusion.liquid import DL_Wilke_Chang

from tests import closed_forms

WATER_RHO_AT_BOILING = 1141.0  # [kg/m3] liquid oxygen at 90 K: 32 g/mol in 28 cm3/mol


@pytest.mark.parametrize("celsius", [0.0, 25.0, 60.0, 90.0])
def test_propagation_of_methyl_methacrylate(celsius):
    """Outside evidence (K6): polykin's Arrhenius with the IUPAC benchmark's A and Ea."""
    theirs = Arrhenius(
        10**6.427, 22360.0 / closed_forms.GAS_CONSTANT_J_MOL_K, Tmin=250.0, Tmax=400.0
    )
    ours = closed_forms.arrhenius(
        factor=10**6.427, energy_j_mol=22360.0, celsius=celsius
    )

    assert ours == pytest.approx(theirs(celsius, "C"), rel=1e-6)


@pytest.mark.parametrize(
    ("celsius", "viscosity_pa_s"), [(10.0, 1.306e-3), (20.0, 1.002e-3), (40.0, 6.53e-4)]
)
def test_oxygen_in_water(celsius, viscosity_pa_s):
    """Outside evidence (X1): polykin's Wilke and Chang, with its own rounded factor."""
    molar_cm3 = 32.0 / WATER_RHO_AT_BOILING * 1000.0
    theirs = DL_Wilke_Chang(
        T=celsius + 273.15,
        MA=32.0e-3,
        MB=18.015e-3,
        rhoA=WATER_RHO_AT_BOILING,
        viscB=viscosity_pa_s,
        phi=2.26,
    )
    ours = closed_forms.wilke_chang_m2_s(
        solvent_g_mol=18.015,
        association=2.26,
        molar_volume_cm3_mol=molar_cm3,
        viscosity_pa_s=viscosity_pa_s,
        celsius=celsius,
    )

    assert ours == pytest.approx(theirs, rel=5e-3)
