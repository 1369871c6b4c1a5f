"""Propagation and termination of a coat, from conversions that were measured."""

from dataclasses import replace
from typing import Annotated

import numpy as np
from pydantic import Field
from scipy.optimize import least_squares

from benchassist.calculators.model import Answer, Model, about
from benchassist.calculators.resin import Resin, Thickness
from benchassist.calculators.shapes import Grid, Light, require_light
from benchassist.physics.coat import STANDARD, Exposure, NewCoat, simulate
from benchassist.physics.coat_resin import Effort
from benchassist.physics.spectra import FloatArray
from benchassist.sums import shipped

FACTORS = (0.01, 100.0)  # of the set that is begun from; past it something is wrong
FEWEST = 3  # readings, for two numbers
MOST_TRIES, MOST_EFFORT_US = 15, 2e7


class Reading(Model):
    """A conversion some time after the light went on, which may have gone off."""

    light_on_s: Annotated[float, Field(gt=0, le=1e4)]
    time_s: Annotated[float, Field(gt=0, le=1e4)]
    conversion: Annotated[float, Field(gt=0, lt=1)]


class Input(Model):
    """A film between plates (no oxygen gets in), its light, and readings of it.

    ``rates`` of the resin names the set that is scaled, by default the measured one.
    """

    light: Light
    resin: Resin = Resin()
    thickness_um: Thickness = 10.0
    measured: Annotated[list[Reading], Field(min_length=FEWEST, max_length=50)]
    grid: Grid = Grid()


class Output(Answer):
    """Both rates in per cent of the set's, as the tack page takes them.

    ``fitted`` is what they give for each reading, ``rms`` how far that is off.
    """

    rates: str
    kp_percent: float
    kt_percent: float
    kp_l_mol_s: float
    kt_l_mol_s: float
    fitted: list[float]
    rms: float
    reason: str | None = None


def run(question: Input) -> Output:
    """Fit by least squares over the logarithms of both factors."""
    grid_nm = question.grid.nm()
    light = question.light.on(grid_nm, field="light")
    require_light(light, grid_nm, field="light")
    resin = question.resin.on(grid_nm, field="resin")
    base = resin.rates
    wanted = np.array([reading.conversion for reading in question.measured])

    effort = Effort(MOST_EFFORT_US)

    def given(logs: FloatArray) -> FloatArray:
        kp, kt = np.exp(logs)
        rates = replace(
            base, kp_l_mol_s=base.kp_l_mol_s * kp, kt_l_mol_s=base.kt_l_mol_s * kt
        )
        scaled = replace(resin, rates=rates, others=())
        found = []
        for reading in question.measured:
            lit_s = min(reading.light_on_s, reading.time_s)
            dark_s = reading.time_s - lit_s
            steps: list[NewCoat | Exposure] = [
                NewCoat(question.thickness_um),
                Exposure(lit_s, "inert", light),
                Exposure(dark_s, "inert"),
            ]
            shots = simulate(
                scaled, steps, resolution=STANDARD, grid_nm=grid_nm, effort=effort
            )
            found.append(float(shots[-1].mean_conversion[0]))
        return np.array(found)

    def misfit(logs: FloatArray) -> FloatArray:
        off: FloatArray = given(logs) - wanted
        return off

    low, high = np.log(FACTORS)
    with about("resin"):
        # Steps of the differences wide enough for what the solver jitters.
        fit = least_squares(
            misfit,
            np.zeros(2),
            bounds=(low, high),
            diff_step=[0.05, 0.05],
            xtol=1e-3,
            ftol=1e-4,
            max_nfev=MOST_TRIES,
        )
    kp, kt = (float(each) for each in np.exp(fit.x))
    at_an_end = bool(np.any(np.abs(fit.x) > high - 0.01))
    return Output(
        rates=base.name or next(iter(shipped.rates())),
        kp_percent=100.0 * kp,
        kt_percent=100.0 * kt,
        kp_l_mol_s=base.kp_l_mol_s * kp,
        kt_l_mol_s=base.kt_l_mol_s * kt,
        fitted=(fit.fun + wanted).tolist(),
        rms=float(np.sqrt(np.mean(fit.fun**2))),
        reason="A rate ran to the end of what is tried: check light, initiator and "
        "thickness."
        if at_an_end
        else None,
    )
