"""Whether a lamp suits each layer: verdict, reasons and the seconds it needs."""

from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from benchassist.calculators.library import Bound
from benchassist.calculators.model import (
    Concentration,
    InputError,
    Model,
    QuantumYield,
    Wavelength,
    about,
    finite,
)
from benchassist.calculators.shapes import (
    Absorber,
    Light,
    Transmittance,
    require_light,
)
from benchassist.physics import light_check
from benchassist.physics.spectra import Curve, tabulated, wavelength_grid

# [-] of the planned time up to which a pairing is marginal: common practice, no
# source; a practice may only make it smaller.
MARGINAL_FACTOR = 3.0
# How much a declared spectrum may be off: common practice, no source.
DECLARED_SHIFT_NM = 5.0
DECLARED_IRRADIANCE = 0.2

Verdict = Literal["pass", "marginal", "fail"]
SEVERITY: tuple[Verdict, ...] = ("pass", "marginal", "fail")
BOUNDS: tuple[Bound, ...] = ("absorptivity_l_mol_cm", "low_l_mol_cm", "high_l_mol_cm")


class Initiator(Model):
    """One initiator of a layer."""

    absorber: Absorber
    mol_l: Concentration
    quantum_yield: QuantumYield = 0.6


class Layer(Model):
    """A layer, and how well its initiator is known.

    By ``design class`` the initiator is guessed from the printing wavelength: at
    most marginal until a coupon of this lamp on this layer has passed here.
    ``design_nm`` and ``required_effective_j_cm2`` override the question's.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)]
    initiators: Annotated[list[Initiator], Field(min_length=1, max_length=10)]
    thickness_um: Annotated[float, Field(ge=0, le=5000)] = 30.0
    initiator_known: Literal["known", "design class"] = "known"
    coupon_passed: bool = False
    design_nm: Wavelength | None = None
    required_effective_j_cm2: Annotated[float, Field(ge=1e-6, le=1e5)] | None = None


class Input(Model):
    """A lamp against the layers of a recipe.

    ``required_effective_j_cm2`` is stated at ``design_nm``, as monochromatic light
    there. ``light`` may be left out only where its spectrum is unknown.
    """

    light: Light | None = None
    spectrum: Literal["measured", "declared", "unknown"] = "measured"
    layers: Annotated[list[Layer], Field(min_length=1, max_length=20)]
    planned_s: Annotated[float, Field(ge=1e-6, le=1e5)]
    required_effective_j_cm2: Annotated[float, Field(ge=1e-6, le=1e5)]
    design_nm: Annotated[float, Field(ge=300, le=600)] = 385.0
    marginal_factor: Annotated[float, Field(ge=1, le=MARGINAL_FACTOR)] = MARGINAL_FACTOR
    reading_age_days: Annotated[float, Field(ge=0, le=1e5)] | None = None
    reading_age_limit_days: Annotated[float, Field(ge=1e-6, le=1e5)] | None = None
    vessel: Transmittance | None = None


class LayerVerdict(Model):
    """Seconds are for the layer's surface; the low and high end hold what is unsure.

    ``bottom_seconds_needed`` is the same dose at the layer's bottom, behind its own
    initiators.
    """

    name: str
    verdict: Verdict
    reasons: list[str]
    seconds_needed: float | None = None
    seconds_low: float | None = None
    seconds_high: float | None = None
    bottom_seconds_needed: float | None = None
    effective_mw_cm2: float | None = None
    effective_transmittance: float | None = None


class Output(Model):
    """One verdict per layer and the worst of them; null seconds are endless."""

    layers: list[LayerVerdict]
    verdict: Verdict
    total_mw_cm2: float | None
    design_nm: float
    reason: str | None = None


def run(question: Input) -> Output:
    """Judge every layer."""
    grid_nm = wavelength_grid()
    lamp = total = None
    if question.light is not None:
        irradiance = question.light.on(grid_nm, field="light")
        total = require_light(irradiance, grid_nm, field="light")
        lamp = Curve(tuple(grid_nm.tolist()), tuple(irradiance.tolist()))
    elif question.spectrum != "unknown":
        raise InputError(
            "Give the lamp's spectrum, or say that it is unknown.", field="light"
        )
    verdicts = [
        _judge(question, layer, lamp, field=f"layers.{index}")
        for index, layer in enumerate(question.layers)
    ]
    endless = any(verdict.seconds_needed is None for verdict in verdicts)
    return Output(
        layers=verdicts,
        verdict=max((v.verdict for v in verdicts), key=SEVERITY.index),
        total_mw_cm2=total,
        design_nm=question.design_nm,
        reason="No time is enough, or none can be told; see the layer's reasons."
        if endless
        else None,
    )


def _judge(
    question: Input, layer: Layer, lamp: Curve | None, *, field: str
) -> LayerVerdict:
    if lamp is None or question.spectrum == "unknown":
        return LayerVerdict(
            name=layer.name,
            verdict="fail",
            reasons=["No spectrum of this lamp is on file."],
        )
    design_nm = layer.design_nm or question.design_nm
    required_j_cm2 = layer.required_effective_j_cm2 or question.required_effective_j_cm2
    bounds = {bound: _absorbers(layer, bound, field=field) for bound in BOUNDS}
    central = bounds["absorptivity_l_mol_cm"]
    transmittance = None
    if question.vessel is not None:
        vessel = question.vessel.curve(field="vessel")
        with about("light"):
            transmittance = light_check.effective_transmittance(lamp, vessel, central)
        lamp = _behind(lamp, vessel)
    with about(f"{field}.design_nm"):
        match = light_check.match_lamp(
            lamp, central, design_nm=design_nm, thickness_um=layer.thickness_um
        )
    possible = _possible_mw_cm2(
        lamp, bounds, design_nm, declared=question.spectrum == "declared"
    )
    needed_s, bottom_s, low_s, high_s = (
        light_check.seconds_needed(
            required_effective_j_cm2=required_j_cm2, effective_mw_cm2=effective_mw_cm2
        )
        for effective_mw_cm2 in (
            match.effective_mw_cm2,
            match.bottom_mw_cm2,
            max(possible),
            min(possible),
        )
    )
    verdict, reasons = _verdict(question, layer, needed_s, high_s)
    return LayerVerdict(
        name=layer.name,
        verdict=verdict,
        reasons=reasons,
        seconds_needed=finite(needed_s),
        seconds_low=finite(low_s),
        seconds_high=finite(high_s),
        bottom_seconds_needed=finite(bottom_s),
        effective_mw_cm2=match.effective_mw_cm2,
        effective_transmittance=transmittance,
    )


def _verdict(
    question: Input, layer: Layer, needed_s: float, longest_s: float
) -> tuple[Verdict, list[str]]:
    planned_s = question.planned_s
    if needed_s > question.marginal_factor * planned_s:
        told = (
            "no time is enough"
            if finite(needed_s) is None
            else f"it needs {needed_s:.3g} s"
        )
        return "fail", [f"The lamp does not suit this layer: {told}."]
    reasons = []
    if needed_s > planned_s:
        reasons.append(
            f"It needs {needed_s:.3g} s, longer than the {planned_s:g} s planned."
        )
    age, limit = question.reading_age_days, question.reading_age_limit_days
    if age is not None and limit is not None and age > limit:
        reasons.append(
            f"The lamp's reading is {age:g} days old; {limit:g} are allowed."
        )
    if layer.initiator_known == "design class" and not layer.coupon_passed:
        reasons.append(
            "The initiator is known only by its design wavelength, and no coupon of "
            "this lamp on this layer has passed here."
        )
    verdict: Verdict = "marginal" if reasons else "pass"
    if needed_s <= planned_s < longest_s:
        reasons.append(
            "The absorption and the lamp are not known well enough to rule out "
            + ("any time." if finite(longest_s) is None else f"{longest_s:.3g} s.")
        )
    return verdict, reasons


def _absorbers(layer: Layer, bound: Bound, *, field: str) -> list[light_check.Absorber]:
    return [
        light_check.Absorber(
            curve=initiator.absorber.curve(
                bound, field=f"{field}.initiators.{index}.absorber"
            ),
            mol_l=initiator.mol_l,
            quantum_yield=initiator.quantum_yield,
        )
        for index, initiator in enumerate(layer.initiators)
    ]


def _possible_mw_cm2(
    lamp: Curve,
    bounds: dict[Bound, list[light_check.Absorber]],
    design_nm: float,
    *,
    declared: bool,
) -> list[float]:
    """Return effective irradiances at the corners of what is not known well."""
    shifts_nm, factors = [0.0], [1.0]
    if declared:
        shifts_nm = [-DECLARED_SHIFT_NM, 0.0, DECLARED_SHIFT_NM]
        factors = [1.0 - DECLARED_IRRADIANCE, 1.0 + DECLARED_IRRADIANCE]
    return [
        factor
        * light_check.match_lamp(
            Curve(tuple(nm + shift_nm for nm in lamp.nm), lamp.values),
            absorbers,
            design_nm=design_nm,
            design_layer=bounds["absorptivity_l_mol_cm"],
        ).effective_mw_cm2
        for absorbers in bounds.values()
        for shift_nm in shifts_nm
        for factor in factors
    ]


def _behind(lamp: Curve, vessel: Curve) -> Curve:
    passed = tabulated(vessel, np.asarray(lamp.nm)) * np.asarray(lamp.values)
    return Curve(lamp.nm, tuple(passed.tolist()))
