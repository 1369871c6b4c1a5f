"""Whether a lamp suits each layer: verdict, reasons and the seconds it needs."""

from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from benchassist.calculators.library import Bound
from benchassist.calculators.model import (
    Answer,
    InitiatorAmount,
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
from benchassist.domain.effect import DECLARED_SHIFT_NM, Judged, judge
from benchassist.domain.library import Curve as Filed
from benchassist.domain.library import HandTack as Hand
from benchassist.domain.library import Initiator as Filer
from benchassist.domain.library import Lamp, Lot, Material, star
from benchassist.domain.light import SOURCED, judge_lamp
from benchassist.domain.limits import LIMITS
from benchassist.domain.state import Bench, Pair
from benchassist.physics import light_check
from benchassist.physics.spectra import Curve, tabulated, wavelength_grid

# [-] of the planned time up to which a pairing is marginal: common practice, no
# source; a practice may only make it smaller.
MARGINAL_FACTOR = 3.0
Verdict = Literal["pass", "marginal", "fail"]
SEVERITY: tuple[Verdict, ...] = ("pass", "marginal", "fail")
BOUNDS: tuple[Bound, ...] = ("absorptivity_l_mol_cm", "low_l_mol_cm", "high_l_mol_cm")

MOSTLY = 0.5  # share of a lamp's effect from which its vessel's curve is to blame


class Initiator(Model):
    """One initiator of a layer."""

    absorber: Absorber
    mol_l: InitiatorAmount
    quantum_yield: QuantumYield = 0.6


class Coupon(Model):
    """What a coupon test of this lamp on this layer showed here.

    ``held_s`` is the shortest time at which three of three thin coats set; ``top_s``
    the time whose double left three of three skins finished (null: not tested).
    """

    held_s: Annotated[float, Field(gt=0, le=600)]
    top_s: Annotated[float, Field(gt=0, le=600)] | None = None


class Band(Model):
    """A band that a label states."""

    low_nm: Wavelength
    high_nm: Wavelength


Bands = Annotated[list[Band], Field(min_length=1, max_length=10)]


class LampLabel(Model):
    """What a lamp's label states; no irradiance is 0."""

    bands: Bands
    label_mw_cm2: Annotated[float, Field(ge=0, le=1e5)] = 0.0


class HandTack(Model):
    """What an instruction for use gives a hand lamp, and a tab lit here today.

    ``set_s`` is the shortest light under which a thin tab set today (null: none did).
    """

    document: Annotated[str, Field(min_length=1, max_length=200)]
    revision: Annotated[str, Field(min_length=1, max_length=200)]
    hand_s: Annotated[float, Field(gt=0, le=600)]
    band: Band
    hand_mw_cm2: Annotated[float, Field(gt=0, le=1e5)]
    set_s: Annotated[float, Field(gt=0, le=600)] | None = None


class LayerLabel(Model):
    """What a layer's label states, and its instruction where it speaks of a lamp."""

    bands: Bands
    hand_tack: HandTack | None = None


class Layer(Model):
    """A layer, and how well its initiator is known.

    ``label`` stands where its initiators are not known: it gives no seconds by itself.

    By ``design class`` the initiator is guessed from the printing wavelength: a guess
    passes nothing, and only a coupon of this lamp on this layer gives seconds.
    ``design_nm`` and ``required_effective_j_cm2`` override the question's.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)]
    initiators: Annotated[list[Initiator], Field(max_length=10)] = Field(
        default_factory=list
    )
    label: LayerLabel | None = None
    thickness_um: Annotated[float, Field(ge=0, le=5000)] = 30.0
    initiator_known: Literal["known", "design class"] = "known"
    coupon: Coupon | None = None
    design_nm: Wavelength | None = None
    required_effective_j_cm2: Annotated[float, Field(ge=1e-6, le=1e5)] | None = None


class Input(Model):
    """A lamp against the layers of a recipe.

    ``required_effective_j_cm2`` is stated at ``design_nm``, as monochromatic light
    there. ``light`` may be left out only where its spectrum is unknown; ``label`` is
    then all that is known of the lamp.
    """

    light: Light | None = None
    label: LampLabel | None = None
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

    The verdict goes by ``seconds_careful``, the weak end of a declared irradiance, or
    by the coupon. ``rung`` says how well the pairing is known: 0 a known mismatch, 1
    nothing, 2 no seconds, 3 tested here, 4 computed from sourced values.

    ``bottom_seconds_needed`` is the same dose at the layer's bottom, behind its own
    initiators.
    """

    name: str
    verdict: Verdict
    reasons: list[str]
    rung: int = 1
    seconds_needed: float | None = None
    seconds_careful: float | None = None
    seconds_low: float | None = None
    seconds_high: float | None = None
    bottom_seconds_needed: float | None = None
    effective_mw_cm2: float | None = None
    effective_transmittance: float | None = None


class Output(Answer):
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
    elif question.spectrum != "unknown" and question.label is None:
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
    if not layer.initiators and layer.label is None:
        told = "Give the layer's initiators, or what its label states."
        raise InputError(told, field=f"{field}.initiators")
    if _by_label(question, layer, lamp):
        return _labelled(question, layer, lamp)
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
    transmittance, beyond = None, 0.0
    if question.vessel is not None:
        vessel = question.vessel.curve(field="vessel")
        with about("light"):
            transmittance = light_check.effective_transmittance(lamp, vessel, central)
        beyond = light_check.unmeasured_share(lamp, vessel, central)
        lamp = _behind(lamp, vessel)
    declared = question.spectrum == "declared"
    with about(f"{field}.design_nm"):
        effect = light_check.effect(
            lamp,
            central,
            (bounds["low_l_mol_cm"], bounds["high_l_mol_cm"]),
            design_nm=design_nm,
            thickness_um=layer.thickness_um,
            shift_nm=DECLARED_SHIFT_NM if declared else 0.0,
        )
    judged = judge(
        effect,
        required_j_cm2=required_j_cm2,
        planned_s=question.planned_s,
        band=LIMITS["declared_band"].default if declared else 0.0,
        pass_factor=LIMITS["light_pass_factor"].default,
        marginal_factor=question.marginal_factor,
    )
    bottom_s = light_check.seconds_needed(
        required_effective_j_cm2=required_j_cm2,
        effective_mw_cm2=effect.match.bottom_mw_cm2,
    )
    if layer.initiator_known == "design class" and layer.coupon is not None:
        return _tested(question, layer, layer.coupon)
    verdict, reasons, rung = _verdict(question, layer, judged)
    if verdict != "pass" and beyond > MOSTLY and question.vessel is not None:
        nm = question.vessel.nm
        told = (
            f"The vessel's curve goes from {nm[0]:g} to {nm[-1]:g} nm and says nothing "
            f"of {beyond:.0%} of this lamp's effect: measure the vessel there."
        )
        reasons = [told]
    return LayerVerdict(
        name=layer.name,
        verdict=verdict,
        reasons=reasons,
        rung=rung,
        seconds_needed=finite(judged.needed_s),
        seconds_careful=finite(judged.careful_s),
        seconds_low=finite(judged.low_s),
        seconds_high=finite(judged.high_s),
        bottom_seconds_needed=finite(bottom_s),
        effective_mw_cm2=effect.match.effective_mw_cm2,
        effective_transmittance=transmittance,
    )


def _by_label(question: Input, layer: Layer, lamp: Curve | None) -> bool:
    """Return whether a label is all that is known of one of the two."""
    dark = lamp is None or question.spectrum == "unknown"
    return (dark and question.label is not None) or not layer.initiators


LAMP, LAYER = "the lamp", "the layer"


def _labelled(question: Input, layer: Layer, lamp: Curve | None) -> LayerVerdict:
    """Return what the light check of the bench says of these two: one function."""
    bench = Bench(
        lamps={LAMP: _lamp_of(question, lamp)},
        materials={LAYER: _material_of(question, layer)},
        lots={LAYER: Lot(LAYER, LAYER, "")},
        curves={LAMP: _curve_of(lamp)} if lamp else {},
        tabs=_tabs_of(layer),
    )
    answer = judge_lamp(bench, LAMP, LAYER, question.planned_s)
    if answer.rung > 0 and layer.coupon is not None:
        return _tested(question, layer, layer.coupon)
    told = (answer.reason, answer.remedy)
    return LayerVerdict(
        name=layer.name,
        verdict=answer.level,
        reasons=[each for each in told if each],
        rung=answer.rung,
        seconds_needed=answer.seconds or None,
        seconds_careful=finite(answer.high_s),
        seconds_low=finite(answer.low_s),
        seconds_high=finite(answer.longest_s),
    )


def _bands(bands: list[Band]) -> tuple[tuple[float, float], ...]:
    return tuple((each.low_nm, each.high_nm) for each in bands)


def _curve_of(lamp: Curve) -> Filed:
    return Filed(LAMP, "irradiance_mw_cm2_nm", lamp.nm, lamp.values, LAMP, "measured")


def _lamp_of(question: Input, lamp: Curve | None) -> Lamp:
    label, known = question.label, question.spectrum
    if lamp is None or known == "unknown":
        bands = _bands(label.bands) if label else ()
        mw_cm2 = label.label_mw_cm2 if label else 0.0
        return Lamp(LAMP, LAMP, "unknown", "", 0.0, bands=bands, mw_cm2=mw_cm2)
    total = sum(np.diff(lamp.nm) * np.asarray(lamp.values)[1:])
    return Lamp(LAMP, LAMP, known, LAMP, 0.0, mw_cm2=float(total))


def _material_of(question: Input, layer: Layer) -> Material:
    told = layer.label.hand_tack if layer.label else None
    # The amounts are asked for elsewhere: here it counts that there are some.
    knows = (Filer("", "", 0.0, 0.0),) if layer.initiators else ()
    hand = None
    if told is not None:
        low_nm, high_nm = told.band.low_nm, told.band.high_nm
        hand = Hand(told.hand_s, low_nm, high_nm, told.hand_mw_cm2)
    return Material(
        LAYER,
        LAYER,
        "coat",
        knows,
        layer.initiator_known,
        layer.design_nm or question.design_nm if knows else 0.0,
        float(bool(knows)),
        float(bool(knows)),
        bands=_bands(layer.label.bands) if layer.label else (),
        document=told.document if told else "",
        revision=told.revision if told else "",
        hand_tack=hand,
    )


def _tabs_of(layer: Layer) -> dict[Pair, tuple[float, str]]:
    told = layer.label.hand_tack if layer.label else None
    set_s = told.set_s if told else None
    return {(LAMP, LAYER): (set_s, "")} if set_s else {}


def _verdict(
    question: Input, layer: Layer, judged: Judged
) -> tuple[Verdict, list[str], int]:
    planned_s, careful_s = question.planned_s, judged.careful_s
    if judged.level == "fail":
        told = (
            "no time is enough"
            if finite(careful_s) is None
            else f"it needs {careful_s:.3g} s"
        )
        sourced = layer.initiator_known == "known"
        why = f"The lamp does not suit this layer: {told}."
        return "fail", [why], 0 if sourced else UNSURE
    if layer.initiator_known == "design class":
        why = (
            "The initiator is known only by its design wavelength: the seconds are "
            "unknown until a coupon of this lamp on this layer was tested here."
        )
        return "fail", [why], UNSURE
    reasons = []
    if judged.level == "marginal":
        reasons.append(
            f"It needs {careful_s:.3g} s, longer than the {planned_s:g} s planned."
        )
    reasons += _aged(question)
    verdict: Verdict = "marginal" if reasons else "pass"
    if careful_s <= planned_s < judged.high_s:
        reasons.append(
            "The absorption and the lamp are not known well enough to rule out "
            + (
                "any time."
                if finite(judged.high_s) is None
                else f"{judged.high_s:.3g} s."
            )
        )
    return verdict, reasons, SOURCED


UNSURE = 2  # the rung of guesses and labels


def _tested(question: Input, layer: Layer, coupon: Coupon) -> LayerVerdict:
    """Return what a coupon allows: its seconds with the margin, to the longest."""
    star_s = star(coupon.held_s)
    both = coupon.top_s is not None
    reasons = [] if both else ["Set B was not tested: the skin may stay soft."]
    reasons += _aged(question)
    return LayerVerdict(
        name=layer.name,
        verdict="marginal" if reasons else "pass",
        reasons=reasons,
        rung=3,
        seconds_needed=star_s,
        seconds_careful=star_s,
        seconds_low=star_s,
        seconds_high=coupon.top_s,
    )


def _aged(question: Input) -> list[str]:
    """Return that the lamp's reading is older than is allowed, if it is."""
    age, limit = question.reading_age_days, question.reading_age_limit_days
    if age is None or limit is None or age <= limit:
        return []
    return [f"The lamp's reading is {age:g} days old; {limit:g} are allowed."]


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


def _behind(lamp: Curve, vessel: Curve) -> Curve:
    passed = tabulated(vessel, np.asarray(lamp.nm)) * np.asarray(lamp.values)
    return Curve(lamp.nm, tuple(passed.tolist()))
