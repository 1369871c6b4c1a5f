"""Spectra from files: CSV, JCAMP-DX and IES TM-27 XML, checked before they are filed.

A file is first read as it stands (``read_spectrum``), so that it can be looked at;
``to_curve`` then gives it unit, source and trust. Whatever is amiss is one sentence.
"""

from benchassist.spectra_file.base import (
    RELATIVE,
    SAID,
    UNITS,
    FileSpectrum,
    SpectrumFileError,
    Unit,
)
from benchassist.spectra_file.reading import parse_spectrum, read_spectrum, to_curve

__all__ = [
    "RELATIVE",
    "SAID",
    "UNITS",
    "FileSpectrum",
    "SpectrumFileError",
    "Unit",
    "parse_spectrum",
    "read_spectrum",
    "to_curve",
]
