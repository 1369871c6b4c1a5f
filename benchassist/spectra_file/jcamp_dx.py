"""Spectra in JCAMP-DX, read by the library jcamp (MIT).

The library is silent about much that can be wrong with a file (an empty table, a
letter among the digits, a missing tail), so what the file says of its own points is
held against them here.
"""

from __future__ import annotations

import re
from contextlib import redirect_stdout
from io import StringIO

from benchassist.spectra_file.base import (
    FileSpectrum,
    fail,
    must_be_nm,
    must_be_of_use,
    unit_of,
)

SAME = 1e-3  # [ratio] as near as a file's own summary has to come to its points


def from_jcamp_dx(text: str, name: str) -> FileSpectrum:
    """Return the spectrum in a JCAMP-DX file, its points held against its own words."""
    if not re.search(r"(?im)^##\s*END\s*=", text):
        fail(name, "has no ##END= record; it may be cut off")
    if not re.search(r"(?im)^##\s*(XYDATA|XYPOINTS|PEAK TABLE)\s*=", text):
        fail(name, "has no table of points (##XYDATA= or ##XYPOINTS=)")
    # It adds the lines after the last record to that record, so END goes.
    body = re.split(r"(?im)^##\s*END\s*=", text)[0]
    import jcamp  # noqa: PLC0415 - once in a while

    said = StringIO()
    try:
        with redirect_stdout(said):
            read = jcamp.read(StringIO(body))
    except Exception as error:  # noqa: BLE001 - it raises whatever its parsing meets
        told = " ".join(str(error).split()) or type(error).__name__
        fail(name, f"is no JCAMP-DX that can be read ({told})")
    if "children" in read:
        fail(name, "holds several spectra; save one by itself")
    nm = tuple(map(float, read["x"]))
    values = tuple(map(float, read["y"]))
    _check_summary(read, nm, values, name)
    if said.getvalue():
        fail(name, "fails JCAMP-DX's own check of its rows; save it again")
    must_be_nm(str(read.get("xunits", "")), name)
    must_be_of_use(str(read.get("yunits", "")), name)
    title = str(read.get("title", "")).partition("\n")[0]
    unit = unit_of(str(read.get("yunits", "")))
    return FileSpectrum(name, title, unit, nm, values)


def _check_summary(
    read: dict[str, object],
    nm: tuple[float, ...],
    values: tuple[float, ...],
    name: str,
) -> None:
    """Hold the points against what the file says of them: the library does not."""
    count = read.get("npoints")
    if not isinstance(count, int):
        fail(name, "does not say how many points it has (##NPOINTS=)")
    if not len(nm) == len(values) == count or not count:
        told = f"says {count} points and has {len(values)}; it may be cut off"
        fail(name, told)
    ends = {
        "firstx": (nm[0], 1.0),
        "lastx": (nm[-1], 1.0),
        "firsty": (values[0], max(map(abs, values))),
        "lasty": (values[-1], max(map(abs, values))),
    }
    for label, (found, scale) in ends.items():
        expected = read.get(label)
        if not isinstance(expected, int | float):
            continue
        if abs(found - expected) > SAME * max(abs(expected), scale):
            told = f"says ##{label.upper()}= {expected:g} and has {found:g}"
            fail(name, f"{told}; its numbers cannot be trusted")
