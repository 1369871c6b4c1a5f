"""Photons absorbed at a surface, and the rate of initiation that follows."""

from benchassist.calculators.model import (
    Answer,
    Efficiency,
    InitiatorAmount,
    Model,
    QuantumYield,
)
from benchassist.calculators.shapes import Absorber, Grid, Light, require_light
from benchassist.physics import spectra


class Input(Model):
    """A lamp on an initiator, its concentration and its yield."""

    light: Light
    absorber: Absorber
    mol_l: InitiatorAmount
    quantum_yield: QuantumYield = 0.6
    efficiency: Efficiency = 0.6
    grid: Grid = Grid()


class Output(Answer):
    """``absorbed_mol_l_s`` counts photons; two radicals follow from one cleavage."""

    absorbed_mol_l_s: float
    initiation_mol_l_s: float
    total_mw_cm2: float


def run(question: Input) -> Output:
    """Return the rates at the surface of a fresh layer."""
    grid_nm = question.grid.nm()
    lamp = question.light.on(grid_nm, field="light")
    absorptivity = question.absorber.on(grid_nm, field="absorber")
    total = require_light(lamp, grid_nm, field="light")
    absorbed = spectra.absorbed_mol_l_s(
        lamp, absorptivity, grid_nm, mol_l=question.mol_l
    )
    return Output(
        absorbed_mol_l_s=absorbed,
        initiation_mol_l_s=spectra.initiation_mol_l_s(
            absorbed,
            quantum_yield=question.quantum_yield,
            efficiency=question.efficiency,
        ),
        total_mw_cm2=total,
    )
