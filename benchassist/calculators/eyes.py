"""How long a lamp may be looked at, or shone on skin, in an eight-hour day."""

from dataclasses import asdict, replace
from typing import Annotated, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from benchassist.calculators import library
from benchassist.calculators.model import Answer, InputError, Model, Share, finite
from benchassist.calculators.shapes import Light, Transmittance, require_light
from benchassist.physics import eyes
from benchassist.physics.spectra import FloatArray, integrate, tabulated
from benchassist.physics.tip import COLLIMATED_MM, virtual_source_mm

BoolArray: TypeAlias = NDArray[np.bool_]

# [-] of the lamp's power that may lie outside a filter's band: our choice.
OUTSIDE_BAND = 0.01

CAUTION = (
    "An estimate from guideline limits, not a measurement; local law and a qualified "
    "person decide. Never look into the tip."
)


class FilterBand(Model):
    """A filter stated as one transmittance over a band, clear everywhere else."""

    low_nm: Annotated[float, Field(ge=200, le=800)]
    high_nm: Annotated[float, Field(ge=200, le=800)]
    transmittance: Share


class Input(Model):
    """Light at the tip, and from where it is looked at or touched.

    ``light`` is the radiant exitance of the tip in mW/cm2. ``view`` is ``direct``
    into the tip, or ``reflected`` by a matt part under it. The beam of a tip comes
    from a virtual source ``source_mm`` behind it, or as far as a measured loss says
    (``lost_share`` of the light at ``lost_at_mm``); by default as collimated as any
    published one, and 0 for a Lambertian tip. ``radiance_w_m2_sr``, if measured,
    replaces the radiance. A filter counts only where its transmittance is shown.
    """

    light: Light
    tip_mm: Annotated[float, Field(ge=0.1, le=1000)]
    distance_mm: Annotated[float, Field(ge=0, le=1e4)]
    exposed: Literal["eye", "skin"] = "eye"
    view: Literal["direct", "reflected"] = "direct"
    reflectance: Share = 0.5
    source_mm: Annotated[float, Field(ge=0, le=1e4)] | None = None
    lost_share: Annotated[float, Field(gt=0, lt=1)] | None = None
    lost_at_mm: Annotated[float, Field(gt=0, le=200)] | None = None
    radiance_w_m2_sr: Annotated[float, Field(ge=1e-6, le=1e9)] | None = None
    filter_band: FilterBand | None = None
    filter_curve: Transmittance | None = None


class Limit(Model):
    """One limit; null seconds mean that it is not reached in its time."""

    name: eyes.LimitId
    basis: eyes.Basis
    level: float
    unit: str
    permissible_s: float | None


class Output(Answer):
    """``permissible_s`` is the least over all limits of a day, ``binding`` names it.

    ``single_exposure_s`` is the least over the limits of one exposure (heat).
    """

    limits: list[Limit]
    binding: eyes.LimitId | None
    permissible_s: float | None
    single_exposure_s: float | None
    subtense_mrad: float | None
    filter_shown: bool | None = None
    power_outside_filter: float | None = None
    caution: str = CAUTION
    reason: str | None = None


def run(question: Input) -> Output:
    """Hold the light against every limit that applies."""
    grid_nm = eyes.hazard_grid()
    light = question.light.on(grid_nm, field="light")
    total = require_light(light, grid_nm, field="light")
    shown, transmittance = _filter(question, grid_nm)
    outside = None
    if shown is not None:
        outside = 1.0 - integrate(light[shown], grid_nm[shown]) / total
    passed = light * transmittance
    seen = eyes.scene(
        passed,
        tip_mm=question.tip_mm,
        distance_mm=question.distance_mm,
        reflectance=question.reflectance if question.view == "reflected" else None,
        source_mm=_source_mm(question),
    )
    if question.radiance_w_m2_sr is not None:
        radiance = passed * (question.radiance_w_m2_sr / total)
        seen = replace(seen, radiance_w_m2_sr_nm=radiance)
    actinic = library.weight_curve("actinic")
    found = (
        eyes.skin_limits(seen, actinic_table=actinic)
        if question.exposed == "skin"
        else eyes.eye_limits(
            seen,
            actinic_table=actinic,
            blue_table=library.weight_curve("blue_light"),
        )
    )
    day = [limit for limit in found if limit.basis == "8 h day"]
    binding = min(day, key=lambda limit: limit.permissible_s)
    single_s = min(
        limit.permissible_s for limit in found if limit.basis == "one exposure"
    )
    reached = finite(binding.permissible_s) is not None
    return Output(
        limits=[
            Limit(**asdict(limit) | {"permissible_s": finite(limit.permissible_s)})
            for limit in found
        ],
        binding=binding.name if reached else None,
        permissible_s=finite(binding.permissible_s),
        single_exposure_s=finite(single_s),
        subtense_mrad=finite(seen.subtense_mrad),
        filter_shown=None if outside is None else outside <= OUTSIDE_BAND,
        power_outside_filter=outside,
        reason=_reason(outside, reached=reached),
    )


def _source_mm(question: Input) -> float:
    """Return how deep the virtual source lies, by a reading if there is one."""
    lost, at_mm = question.lost_share, question.lost_at_mm
    if (lost is None) != (at_mm is None):
        raise InputError(
            "Give the share that is lost and the distance at which it was read.",
            field="lost_share" if lost is None else "lost_at_mm",
        )
    if lost is not None and at_mm is not None:
        if question.source_mm is not None:
            raise InputError(
                "Give the virtual source or a reading, not both.", field="source_mm"
            )
        return virtual_source_mm(loss=lost, at_mm=at_mm)
    return COLLIMATED_MM if question.source_mm is None else question.source_mm


def _filter(
    question: Input, grid_nm: FloatArray
) -> tuple[BoolArray | None, FloatArray]:
    """Return where a filter is shown, and what passes; all of it where it is not."""
    band, measured = question.filter_band, question.filter_curve
    if band is not None and measured is not None:
        raise InputError(
            "Give the filter as a band or as a curve, not both.", field="filter_band"
        )
    if band is not None:
        if band.low_nm >= band.high_nm:
            raise InputError(
                "The filter's band must end above its beginning.",
                field="filter_band.high_nm",
                given=band.high_nm,
            )
        shown = (grid_nm >= band.low_nm) & (grid_nm <= band.high_nm)
        return shown, np.where(shown, band.transmittance, 1.0)
    if measured is None:
        return None, np.ones(grid_nm.shape)
    curve = measured.curve(field="filter_curve")
    shown = (grid_nm >= curve.nm[0]) & (grid_nm <= curve.nm[-1])
    return shown, np.where(shown, tabulated(curve, grid_nm), 1.0)


def _reason(outside: float | None, *, reached: bool) -> str | None:
    said = []
    if outside is not None and outside > OUTSIDE_BAND:
        said.append(
            f"Filter not shown for this lamp: {outside:.0%} of its power lies where "
            "the filter's transmittance is not given."
        )
    if not reached:
        said.append("No limit is reached within a day.")
    return " ".join(said) or None
