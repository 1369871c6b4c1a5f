"""A spectrum as it stands in a file, its unit, and how a fault of it is told."""

from __future__ import annotations

import re
from typing import NoReturn

from benchassist.domain.library import Quantity
from benchassist.value import value

SAID = ""  # the unit is the one that the file names
RELATIVE = "relative"


class SpectrumFileError(ValueError):
    """A file that cannot be used; the text is one sentence on what and what to do."""


@value
class Unit:
    """A unit that a file may be in; ``factor`` leads to the unit kept on file."""

    title: str
    quantity: Quantity
    factor: float


UNITS: dict[str, Unit] = {
    "mw_cm2_nm": Unit("mW/cm² per nm", "irradiance_mw_cm2_nm", 1.0),
    "uw_cm2_nm": Unit("µW/cm² per nm", "irradiance_mw_cm2_nm", 1e-3),
    "w_cm2_nm": Unit("W/cm² per nm", "irradiance_mw_cm2_nm", 1e3),
    "w_m2_nm": Unit("W/m² per nm", "irradiance_mw_cm2_nm", 0.1),
    "mw_m2_nm": Unit("mW/m² per nm", "irradiance_mw_cm2_nm", 1e-4),
    RELATIVE: Unit("relative, scaled to a total", "irradiance_mw_cm2_nm", 1.0),
    "share": Unit("transmittance, 0 to 1", "transmittance", 1.0),
    "percent": Unit("transmittance in %", "transmittance", 0.01),
}


@value
class FileSpectrum:
    """A spectrum as it stands in a file; ``unit`` is empty where it names none."""

    name: str
    title: str
    unit: str
    nm: tuple[float, ...]
    values: tuple[float, ...]

    @property
    def peak_nm(self) -> float:
        """The wavelength of the highest value."""
        return self.nm[self.values.index(max(self.values))]


def fail(name: str, told: str) -> NoReturn:
    """Raise the one sentence that says what is wrong with the file ``name``."""
    # A row of the file may be quoted in it: nothing of that acts on a screen.
    plain = "".join(each if each.isprintable() else "·" for each in told)
    message = f"{name} {plain}."
    raise SpectrumFileError(message)


_SPELLED = (
    ("²", "2"),
    ("µ", "u"),
    ("\N{GREEK SMALL LETTER MU}", "u"),
    ("micro", "u"),
    ("-1", ""),
    ("-2", "2"),
    ("watts", "w"),
    ("watt", "w"),
    ("percent", "%"),
    ("per cent", "%"),
    ("per", ""),
)
_MARKS = (
    ("mw_cm2_nm", r"mwcm2nm"),
    ("uw_cm2_nm", r"uwcm2nm"),
    ("w_cm2_nm", r"wcm2nm"),
    ("mw_m2_nm", r"mwm2nm"),
    ("w_m2_nm", r"wm2nm"),
    ("percent", r"%"),
    ("share", r"transmittance|t-?factor|transmission"),
    (RELATIVE, r"relative|arbitrary|counts|normali|intensity|a\.?u\.?$"),
)
_NOT_NM = (
    "cm-1",
    "1/cm",
    "wavenumber",
    "micro",
    "µm",
    "\N{GREEK SMALL LETTER MU}m",
    "ngstr",
)
_NO_USE = re.compile(r"absorbance|absorptance|reflect|r-factor|kubelka|optical density")


def unit_of(label: str) -> str:
    """Return the key of the unit that a label names, or nothing."""
    told = label.lower()
    for spelled, short in _SPELLED:
        told = told.replace(spelled, short)
    told = re.sub(r"[\s/_·*^()\[\]]", "", told)
    return next((unit for unit, mark in _MARKS if re.search(mark, told)), SAID)


def must_be_nm(label: str, name: str) -> None:
    """Fail unless a label of the wavelengths can mean nanometres."""
    if any(mark in label.lower() for mark in _NOT_NM):
        told = f"has its wavelengths in “{label.strip()}”; save it in nanometres"
        fail(name, told)


def must_be_of_use(label: str, name: str) -> None:
    """Fail where a label names a quantity that nothing here is judged by."""
    found = _NO_USE.search(label.lower())
    if found:
        told = f"holds “{label.strip()}”; save it as transmittance or irradiance"
        fail(name, told)
