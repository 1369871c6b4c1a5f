"""Spectra in IES TM-27-14 XML.

Read by defusedxml (Python Software Foundation License): a file may come from anybody.
"""

from __future__ import annotations

import re

from benchassist.spectra_file.base import (
    RELATIVE,
    SAID,
    FileSpectrum,
    fail,
    must_be_of_use,
)

TM27 = "{http://www.ies.org/iestm2714}"

# Quantities of a light that have no area of their own are taken as relative.
_TM27_UNITS = {
    "irradiance": "w_m2_nm",
    "exitance": "w_m2_nm",
    "transmittance": "share",
    "T-Factor": "share",
    "flux": RELATIVE,
    "intensity": RELATIVE,
    "radiance": RELATIVE,
    "relative": RELATIVE,
}


def from_tm27(text: str, name: str) -> FileSpectrum:
    """Return the spectrum in an IES TM-27-14 document."""
    from defusedxml.common import DefusedXmlException  # noqa: PLC0415 - once in a while
    from defusedxml.ElementTree import ParseError, fromstring  # noqa: PLC0415

    try:
        # As bytes, so that a declared encoding is not applied to text again.
        declared = re.sub(r"\A\s*<\?xml.*?\?>", "", text, flags=re.DOTALL)
        root = fromstring(declared.encode())
    except DefusedXmlException:
        fail(name, "holds XML entities, which a spectrum never needs")
    except ParseError as error:
        fail(name, f"is no whole XML ({error}); it may be cut off")
    if root.tag != f"{TM27}IESTM2714":
        fail(name, "is XML, but not an IES TM-27 spectrum (IESTM2714)")
    points = root.findall(f"{TM27}SpectralDistribution/{TM27}SpectralData")
    nm, values = [], []
    for point in points:
        try:
            nm.append(float(point.get("wavelength", "")))
            values.append(float(point.text or ""))
        except ValueError:
            told = f"{point.get('wavelength', 'no wavelength')}: {point.text}"
            fail(name, f"has a point that is no number (“{told}”)")
    quantity = root.findtext(
        f"{TM27}SpectralDistribution/{TM27}SpectralQuantity", ""
    ).strip()
    must_be_of_use(quantity, name)
    title = root.findtext(f"{TM27}Header/{TM27}Description", "").strip()
    unit = _TM27_UNITS.get(quantity, SAID)
    return FileSpectrum(name, title, unit, tuple(nm), tuple(values))
