"""Curves of a library file: typed in, from a file beside it, or computed.

Every curve is filed under the digest of its content, with its source and how far
it can be trusted. What the program ships is found by the initiator's id.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from hashlib import sha256
from typing import TypeVar

from pydantic import ValidationError

from benchassist.domain.library import Confidence, Curve, Quantity, SpectrumKnowledge
from benchassist.library_file.base import CurveEntry, WallEntry
from benchassist.library_file.entries import InitiatorEntry, LightEntry
from benchassist.library_file.faults import Fault, faults_of, shown
from benchassist.physics.spectra import Line, gaussian_lines, wavelength_grid
from benchassist.physics.tables import Table, TableError, parse_table
from benchassist.physics.vessel import internal_transmittance, stack_transmission
from benchassist.sums.shipped import ABSORBERS
from benchassist.sums.shipped import table as shipped

Beside = Callable[[str], str]  # the text of a file that lies beside the library file

WALLS = "vessel_nk.csv"
LIQUIDS = "liquid_n.csv"
COATED_INDEX = 1.5  # of a cured methacrylate under the glycerol; from memory, ± 0.02
LINE_STEP_NM = 1.0  # of a curve made from lines
LEAST = 1e-6  # of the peak: what lies below is left out of a made curve
DIGITS = 6  # significant ones of a computed curve, so that its digest is stable

_MARKS: tuple[Confidence, ...] = ("measured", "published", "declared", "from memory")


class CurveFaultError(ValueError):
    """A curve that cannot be had; ``fault`` says where below its entry."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(str(fault))


def made(
    quantity: Quantity,
    points: list[tuple[float, float]],
    source: str,
    confidence: Confidence,
) -> Curve:
    """Return a curve under the digest of its content."""
    nm = tuple(float(x) for x, _ in points)
    values = tuple(float(y) for _, y in points)
    content = {
        "confidence": confidence,
        "nm": nm,
        "quantity": quantity,
        "source": source,
        "values": values,
    }
    text = json.dumps(content, sort_keys=True, separators=(",", ":"))
    digest = sha256(text.encode()).hexdigest()
    return Curve(digest, quantity, nm, values, source, confidence)


def initiator_curve(entry: InitiatorEntry, beside: Beside) -> tuple[str, Curve]:
    """Return an initiator's name and absorption curve."""
    if entry.absorptivity is not None:
        return entry.name or "", _under("absorptivity", entry.absorptivity, beside)
    found = entry.id or ""
    if found not in ABSORBERS:
        known = ", ".join(ABSORBERS)
        raise CurveFaultError(
            Fault("id", f"one of {known}, or its own curve", shown(found))
        )
    table = shipped(ABSORBERS[found])
    curve = table.curve("wavelength_nm", "absorptivity_l_mol_cm")
    points = list(zip(curve.nm, curve.values, strict=True))
    source, mark = table.head["source"], _mark(table)
    name = entry.name or found.upper()
    return name, made("absorptivity_l_mol_cm", points, source, mark)


def light_curve(
    entry: LightEntry, beside: Beside
) -> tuple[SpectrumKnowledge, Curve | None]:
    """Return what is known of a lamp's or box's light, and the curve."""
    if entry.spectrum is not None:
        curve = _under("spectrum", entry.spectrum, beside)
        return ("measured" if curve.confidence == "measured" else "declared"), curve
    if not entry.lines:
        return "unknown", None
    grid_nm = wavelength_grid(step_nm=LINE_STEP_NM)
    lines = [Line(*line) for line in entry.lines]
    spectrum = gaussian_lines(lines, grid_nm)
    floor = LEAST * float(spectrum.max())
    points = [
        (float(nm), _rounded(float(value)))
        for nm, value in zip(grid_nm, spectrum, strict=True)
        if value >= floor
    ]
    source = f"lines from the papers of {entry.code}"
    return "declared", made("irradiance_mw_cm2_nm", points, source, "declared")


def wall_curve(entry: WallEntry, beside: Beside) -> Curve:
    """Return what a vessel's wall lets through."""
    if entry.material is None or entry.thickness_mm is None:
        return _under("wall", entry, beside)
    table = shipped(WALLS)
    if entry.material not in table.keys():  # noqa: SIM118 - a table is no mapping
        known = ", ".join(table.keys())
        raise CurveFaultError(
            Fault("wall.material", f"one of {known}", shown(entry.material))
        )
    index = table.curve("wavelength_nm", "refractive_index", key=entry.material)
    extinction = table.curve("wavelength_nm", "extinction", key=entry.material)
    points = [
        (nm, _rounded(_through(nm, n, k, entry.thickness_mm)))
        for nm, n, k in zip(index.nm, index.values, extinction.values, strict=True)
    ]
    source = (
        f"computed for {entry.thickness_mm:g} mm of {entry.material} between air and"
        f" glycerol; optical constants: {table.head['source']}"
    )
    return made("transmittance", points, source, "declared")


def _through(
    nm: float, wall_index: float, extinction: float, thickness_mm: float
) -> float:
    wall = internal_transmittance(
        extinction=extinction, wavelength_nm=nm, thickness_mm=thickness_mm
    )
    stack = (1.0, wall_index, _glycerol_index(nm), COATED_INDEX)
    return stack_transmission(stack, (wall, 1.0)).with_reflections


def _glycerol_index(nm: float) -> float:
    """Return glycerol's index; below its data the first value, which is close."""
    curve = shipped(LIQUIDS).curve("wavelength_nm", "refractive_index", key="glycerol")
    nearest = min(range(len(curve.nm)), key=lambda n: abs(curve.nm[n] - nm))
    return curve.values[nearest]


EntryT = TypeVar("EntryT", bound=CurveEntry)


def _under(field: str, entry: CurveEntry, beside: Beside) -> Curve:
    """Return the curve of an entry, from its file where it names one."""
    if entry.csv is not None:
        entry = _from_csv(f"{field}.csv", entry, entry.csv, beside)
    points = list(zip(entry.nm, entry.values, strict=True))
    return made(entry.quantity, points, entry.source, entry.confidence or "from memory")


def _from_csv(at: str, entry: EntryT, name: str, beside: Beside) -> EntryT:
    """Return the entry as if the curve in the CSV file had been typed in."""
    try:
        table = parse_table(beside(name))
        curve = table.curve("wavelength_nm", entry.quantity)
    except OSError as error:
        why = error.strerror or str(error)
        raise CurveFaultError(
            Fault(at, f"a file {name} beside this one", shown(why))
        ) from error
    except UnicodeDecodeError as error:
        raise CurveFaultError(
            Fault(at, "UTF-8 text", shown(f"other bytes in {name}"))
        ) from error
    except TableError as error:
        expected = f"a table with wavelength_nm and {entry.quantity}"
        given = f"{name}: {str(error).removesuffix('.')}"
        raise CurveFaultError(Fault(at, expected, given)) from error
    typed = {
        "nm": list(curve.nm),
        entry.column: list(curve.values),
        "source": table.head["source"],
        "confidence": _mark(table),
    }
    try:
        return type(entry).model_validate(typed)
    except ValidationError as error:
        first = faults_of(error, type(entry))[0]
        place = f"{at} ({name}) {first.place}"
        raise CurveFaultError(first._replace(place=place)) from error


def _mark(table: Table) -> Confidence:
    """Return the confidence mark a table's head begins with; the lowest without."""
    told = table.head["confidence"]
    return next((mark for mark in _MARKS if told.startswith(mark)), "from memory")


def _rounded(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")
