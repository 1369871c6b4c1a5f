"""Lights: spectra, glasses, working curves, and wet resin under room light."""

from __future__ import annotations

import math

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import needs_reason
from benchassist.domain.deciders.table import decides
from benchassist.domain.library import Quantity, SpectrumKnowledge
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.state import Bench
from benchassist.domain.working_time import spent_klx_s
from benchassist.value import replace

QUANTITIES: dict[str, Quantity] = {
    "lamp": "irradiance_mw_cm2_nm",
    "box": "irradiance_mw_cm2_nm",
    "vessel": "transmittance",
    "glasses": "transmittance",
}
MOST_KLX = 200.0  # [klx] twice the sun


@decides(cm.FileSpectrum)
def file_spectrum(bench: Bench, command: cm.FileSpectrum, now: Instant) -> Decision:
    """File a spectrum and let what it belongs to point at it."""
    granted(_unfit(bench, command))
    curve, code = command.curve, command.code
    filed = ev.CurveFiled(curve)
    known: SpectrumKnowledge = (
        "measured" if curve.confidence == "measured" else "declared"
    )
    reason = command.reason.strip()
    match command.role:
        case "lamp":
            lamp = replace(bench.lamps[code], curve=curve.digest, knowledge=known)
            if not command.reading:
                return filed, ev.LampDefined(lamp, reason)
            lamp = replace(lamp, baseline_reading=float(command.reading))
            read = ev.LampReadingTaken(code, float(command.reading))
            return filed, ev.LampDefined(lamp, reason), read
        case "box":
            box = replace(bench.boxes[code], curve=curve.digest, knowledge=known)
            return filed, ev.BoxDefined(box, reason)
        case "vessel":
            vessel = replace(bench.vessels[code], curve=curve.digest)
            return filed, ev.VesselDefined(vessel, reason)
        case "glasses":
            shown = ev.GlassesShown(
                who=code,
                title=curve.source,
                low_nm=curve.nm[0],
                high_nm=curve.nm[-1],
                transmittance=max(curve.values),
                curve=curve.digest,
            )
            return filed, shown


def _unfit(bench: Bench, command: cm.FileSpectrum) -> Refusal | None:
    on_file = {
        "lamp": bench.lamps.keys(),
        "box": bench.boxes.keys(),
        "vessel": bench.vessels.keys(),
        "glasses": {command.code.strip()} - {""},
    }
    if command.code not in on_file[command.role]:
        return Refusal(
            "no-equipment", f"The {command.role} “{command.code}” is not on file."
        )
    if command.curve.quantity != QUANTITIES[command.role]:
        wanted = QUANTITIES[command.role].partition("_")[0]
        return Refusal("spectrum", f"A {command.role} needs a curve of {wanted}.")
    needs_reason(command.reason, f"Say why the spectrum of {command.code} changes.")
    if not 0 <= command.reading < math.inf:
        return Refusal("reading", "The reading must be a number above 0.")
    return None


@decides(cm.ShowGlasses)
def show_glasses(bench: Bench, command: cm.ShowGlasses, now: Instant) -> Decision:
    """Write down what glasses are stated to let through over a band."""
    low, high = command.low_nm, command.high_nm
    if not command.who.strip():
        return Refusal("no-operator", "Say whose glasses they are, such as OP-1.")
    if not 100 <= low < high <= 2000:  # noqa: PLR2004 - [nm] light, and not heat
        return Refusal(
            "glasses",
            f"A band from {low:g} to {high:g} nm is none; type it in nanometres.",
        )
    if not 0 <= command.transmittance < 1:
        return Refusal(
            "glasses",
            "The share let through must be below 1: 0.001 is a thousandth.",
        )
    return (
        ev.GlassesShown(
            who=command.who.strip(),
            title=command.title.strip(),
            low_nm=float(low),
            high_nm=float(high),
            transmittance=float(command.transmittance),
        ),
    )


@decides(cm.FitWorkingCurve)
def fit_working_curve(
    bench: Bench, command: cm.FitWorkingCurve, now: Instant
) -> Decision:
    """Fit what was measured and keep points, fit and record together."""
    if command.lamp not in bench.lamps or command.material not in bench.materials:
        return Refusal("no-equipment", "That lamp or material is not on file.")
    if not command.record.strip():
        return Refusal("no-record", "Say where the measurements are kept.")
    points = tuple((float(x), float(y)) for x, y in command.points)
    if not all(0 < x < math.inf and 0 <= y < math.inf for x, y in points):
        return Refusal("points", "Exposures must be above 0, thicknesses not below.")
    from benchassist.physics.working_curve import (  # noqa: PLC0415 - numpy is late
        fit_working_curve as fit,
    )

    # What did not cure lies below Ec and says nothing about the slope.
    cured = [(x, y) for x, y in points if y > 0]
    try:
        found = fit([x for x, _ in cured], [y for _, y in cured])
    except ValueError as error:
        return Refusal("fit", str(error))
    numbers = [("dp_um", found.dp_um), ("ec_mj_cm2", found.ec_mj_cm2)]
    for name, interval in (
        ("dp_um", found.dp_interval_um),
        ("ec_mj_cm2", found.ec_interval_mj_cm2),
    ):
        if interval is not None:
            numbers += [(f"{name}_low", interval.low), (f"{name}_high", interval.high)]
    return (
        ev.WorkingCurveFitted(
            lamp=command.lamp,
            material=command.material,
            points=points,
            numbers=tuple((n, float(v)) for n, v in numbers if math.isfinite(v)),
            record=command.record.strip(),
        ),
    )


@decides(cm.RecordSmear)
def record_smear(bench: Bench, command: cm.RecordSmear, now: Instant) -> Decision:
    """Enter what a drop stood under a light."""
    if command.material not in bench.materials:
        return Refusal(
            "no-material", f"The material “{command.material}” is not on file."
        )
    granted(_no_light(command.light, command.klx))
    if not 0 < command.seconds < math.inf:
        return Refusal("smear", "The drop dragged after a time above 0 s.")
    return (
        ev.SmearTested(
            command.material,
            command.light.strip(),
            float(command.klx),
            float(command.seconds),
        ),
    )


def _no_light(light: str, klx: float) -> Refusal | None:
    if not light.strip():
        return Refusal("no-light", "Name the light, such as bench or window.")
    if not 0 < klx <= MOST_KLX:
        return Refusal(
            "klx", f"{klx:g} klx is no room light; a lux meter's 800 lx are 0.8 klx."
        )
    return None


@decides(cm.ChangeDish)
def change_dish(bench: Bench, command: cm.ChangeDish, now: Instant) -> Decision:
    """Open, cover or throw away a dish; its light so far is written down."""
    dish = bench.dishes.get(command.lot)
    spent = spent_klx_s(dish, now) if dish else 0.0
    light, klx = command.light.strip(), command.klx
    if command.to == "open":
        if command.lot not in bench.lots:
            return Refusal("no-lot", f"The lot “{command.lot}” is not on file.")
        granted(_no_light(light, klx))
        if dish and light != dish.light and spent > 0:
            return Refusal(
                "dish",
                f"This drop was under “{dish.light}”; a budget holds for one kind of "
                "light. Throw it away and pour a fresh one.",
            )
    elif dish is None:
        return Refusal("dish", f"No dish of {command.lot} is open.")
    else:
        light, klx = dish.light, dish.klx
    return (ev.DishChanged(command.lot, command.to, light, float(klx), float(spent)),)
