"""From a file to a checked spectrum, and from that to a curve on file."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

from benchassist.domain.library import Confidence, Curve, Quantity
from benchassist.files import read_whole
from benchassist.library_file.curves import made
from benchassist.spectra_file.base import (
    RELATIVE,
    SAID,
    UNITS,
    FileSpectrum,
    fail,
)
from benchassist.spectra_file.delimited import from_delimited
from benchassist.spectra_file.jcamp_dx import from_jcamp_dx
from benchassist.spectra_file.tm27 import from_tm27

MOST_BYTES = 5_000_000
MOST_POINTS = 20_000
NO_TEXT = "is no text; export the spectrum as CSV, JCAMP-DX or TM-27"
NM = (150.0, 2500.0)  # [nm] what a bench spectrometer may write


def read_spectrum(path: Path) -> FileSpectrum:
    """Return the spectrum in a file.

    Raises
    ------
    SpectrumFileError
        If it cannot be read or holds no whole spectrum.
    """
    try:
        data = read_whole(path, MOST_BYTES)
    except OSError as error:
        fail(path.name, f"cannot be read ({error.strerror or error})")
    return parse_spectrum(data, name=path.name)


def parse_spectrum(data: bytes, *, name: str) -> FileSpectrum:
    """Return the spectrum in the content of a file called ``name``.

    Raises
    ------
    SpectrumFileError
        If it holds no whole spectrum.
    """
    text = _text(data, name)
    start = text.lstrip()
    if not start:
        fail(name, "is empty")
    if start.startswith("<"):
        found = from_tm27(text, name)
    elif start.startswith(("##", "$$")):
        found = from_jcamp_dx(text, name)
    else:
        found = from_delimited(text, name)
    return _checked(found)


def to_curve(
    found: FileSpectrum,
    *,
    quantity: Quantity,
    unit: str = SAID,
    total_mw_cm2: float = 0.0,
    confidence: Confidence = "measured",
) -> Curve:
    """Return a file's spectrum as a curve of ``quantity`` on file.

    Parameters
    ----------
    found
        What was read.
    quantity
        What the curve is needed as.
    unit
        A key of ``UNITS``; by default the unit that the file names.
    total_mw_cm2
        For relative values, the irradiance that their area is scaled to.
    confidence
        How far the curve is to be trusted.

    Raises
    ------
    SpectrumFileError
        If the unit is unknown, of another quantity, or cannot be right.
    """
    chosen = UNITS.get(unit or found.unit)
    if chosen is None:
        fail(found.name, "does not say what unit its values are in; choose one")
    if chosen.quantity != quantity:
        wanted = quantity.partition("_")[0]
        told = f"is in {chosen.title}, and {wanted} is needed here"
        fail(found.name, f"{told}; choose another file or unit")
    factor = chosen.factor
    if chosen is UNITS[RELATIVE]:
        if not 0 < total_mw_cm2 < math.inf:
            told = "holds relative values; type the lamp's total irradiance in mW/cm²"
            fail(found.name, told)
        factor = total_mw_cm2 / _area(found)
    values = [float(f"{value * factor:.9g}") for value in found.values]
    if quantity == "transmittance" and max(values) > 1.0:
        highest = max(found.values)
        told = f"reaches {highest:g} as {chosen.title}, more light than came in"
        fail(found.name, f"{told}; is it in %?")
    title = f", {found.title}" if found.title else ""
    source = f"file {found.name}{title}"
    points = list(zip(found.nm, values, strict=True))
    return made(quantity, points, source[:200], confidence)


def _area(found: FileSpectrum) -> float:
    points = list(zip(found.nm, found.values, strict=True))
    return sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(points))


def _text(data: bytes, name: str) -> str:
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    if b"\0" in data and not wide:
        fail(name, NO_TEXT)
    try:
        return data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        if wide:
            fail(name, NO_TEXT)
    # Instruments write a micro sign in a code page that agrees with this one there.
    return data.decode("latin-1")


def _checked(found: FileSpectrum) -> FileSpectrum:
    """Return the spectrum with rising wavelengths, or say what is wrong with it."""
    name, nm, values = found.name, found.nm, found.values
    _check_numbers(name, nm, values)
    if nm[0] > nm[-1]:
        nm, values = nm[::-1], values[::-1]
    for before, after in pairwise(nm):
        if after <= before:
            told = f"goes from {before:g} to {after:g} nm; wavelengths must only rise"
            fail(name, told)
    _check_range(name, nm)
    for where, number in zip(nm, values, strict=True):
        if number < 0:
            told = f"is negative at {where:g} nm ({number:g}); subtract the dark signal"
            fail(name, f"{told} and set what is left of it to 0")
    if max(values) <= 0:
        fail(name, "holds nothing but zeros")
    return FileSpectrum(name, found.title.strip(), found.unit, nm, values)


def _check_numbers(name: str, nm: tuple[float, ...], values: tuple[float, ...]) -> None:
    if len(nm) < 2:  # noqa: PLR2004 - one point is no curve
        fail(name, "holds no spectrum: two rows of numbers or more are needed")
    if len(nm) > MOST_POINTS:
        fail(name, f"holds {len(nm)} points; save it in steps of 0.5 nm or more")
    for at, number in enumerate((*nm, *values)):
        if not math.isfinite(number):
            what = "wavelength" if at < len(nm) else "value"
            row = at % len(nm) + 1
            fail(name, f"has a {what} that is no number in its row {row}")


def _check_range(name: str, nm: tuple[float, ...]) -> None:
    low, high = NM
    if low <= nm[0] and nm[-1] <= high:
        return
    guess = ""
    if nm[-1] < 10.0:  # noqa: PLR2004 - the longest light in micrometres
        guess = "; that looks like micrometres"
    elif nm[0] >= 10 * low:
        guess = "; that looks like ångström or waves per cm"
    told = f"runs from {nm[0]:g} to {nm[-1]:g}{guess}; save it in nanometres"
    fail(name, told)
