"""HIBC labels of the health industry: product, lot, date, check character.

Source: ANSI/HIBC 2.6-2016, sections 1.1 and 2.2.1 and appendices B and E1: the data
after ``+`` are a primary (product), a secondary (date and lot), or both joined by
``/``; the last character is the sum of all values modulo 43. No library that runs
offline reads them, so this module does. A month without a day lasts to its end: that
is our own choice, because a use-by month is good through it.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from benchassist.scan.errors import ScanError, shown
from benchassist.scan.label import Label

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%"
MODULUS = 43
CENTURY = 2000
# LIC, product code, unit of measure: +A123 BJC5D6E7 1
_PRIMARY = re.compile(r"([A-Z][0-9A-Z]{3})([0-9A-Z]{1,18})([0-9])\Z")
_DATED = {  # digit behind $$ -> how the date is written
    "2": r"(?P<m>\d\d)(?P<d>\d\d)(?P<y>\d\d)",
    "3": r"(?P<y>\d\d)(?P<m>\d\d)(?P<d>\d\d)",
    "4": r"(?P<y>\d\d)(?P<m>\d\d)(?P<d>\d\d)\d\d",
    "5": r"(?P<y>\d\d)(?P<j>\d\d\d)",
    "6": r"(?P<y>\d\d)(?P<j>\d\d\d)\d\d",
    "7": r"",
}
_MONTH = r"(?P<m>\d\d)(?P<y>\d\d)"
_JULIAN = re.compile(r"(?P<y>\d\d)(?P<j>\d\d\d)(?P<lot>[^ ]*)\Z")


def looks_like(text: str) -> bool:
    """Return whether a scan is in this form: it begins with a plus."""
    return text.strip("*").startswith("+")


def check_character(body: str) -> str:
    """Return the check character of what stands before it, ``+`` included.

    Raises
    ------
    ScanError
        If a character is not one of the 43.
    """
    try:
        return ALPHABET[sum(ALPHABET.index(c) for c in body) % MODULUS]
    except ValueError:
        msg = f"{shown(body)} has characters that no such label has: scan again."
        raise ScanError(msg) from None


def read(text: str) -> Label:
    """Return what an HIBC label says; see ``scan.read`` for the errors.

    Of a pair of labels the second has a ``link``; ``scan.join`` puts them together.
    """
    text = text.strip("*")
    body, check = text[:-1], text[-1:].replace("_", " ")
    if len(body) < 2 or check_character(body) != check:  # noqa: PLR2004 - "+" and data
        msg = f"{shown(text)} was misread, its check character is wrong: scan again."
        raise ScanError(msg)
    data = body[1:]
    if data[0] == "$" or data[0].isdigit():
        said = _secondary(data[:-1], text)
        return Label("HIBC", **said, link=data[-1], check=check)
    primary, joined, secondary = data.partition("/")
    found = _PRIMARY.match(primary)
    if not found:
        msg = f"{shown(text)} names no product as such labels do: type the lot."
        raise ScanError(msg)
    said = _secondary(secondary, text) if joined else {}
    return Label("HIBC", product=primary[:-1], **said, check=check)


def _secondary(data: str, text: str) -> dict[str, str]:
    """Return lot and expiry of a secondary, without link and check characters."""
    if "/" in data:
        msg = f"{shown(text)} says more than lot and date: type the lot by hand."
        raise ScanError(msg)
    if data.startswith("$$"):
        return _dated(data[2:], text)
    if data.startswith("$"):
        return {"lot": _lot(data[1:], text)}
    found = _JULIAN.match(data)
    if not found:
        msg = f"{shown(text)} has no lot where such labels have it: type the lot."
        raise ScanError(msg)
    return {"lot": _lot(found["lot"], text), "expires": _day(found, text)}


def _dated(data: str, text: str) -> dict[str, str]:
    how, rest = data[:1], data[1:]
    pattern = _MONTH if how in ("0", "1") else _DATED.get(how)
    # The digit is part of the month where there is no other mark.
    found = re.match(pattern, data if how in ("0", "1") else rest) if pattern else None
    if how == "7":
        return {"lot": _lot(rest, text)}
    if found is None:
        msg = f"{shown(text)} has a date that cannot be read: type the lot and date."
        raise ScanError(msg)
    lot = found.string[found.end() :]
    return {"lot": _lot(lot, text), "expires": _day(found, text)}


def _lot(lot: str, text: str) -> str:
    if lot.startswith("+"):
        msg = f"{shown(text)} has a serial number in place of a lot: type the lot."
        raise ScanError(msg)
    return lot


def _day(found: re.Match[str], text: str) -> str:
    parts = {
        key: int(value) for key, value in found.groupdict().items() if key != "lot"
    }
    year = CENTURY + parts["y"]
    try:
        if "j" in parts:
            # Past the year's last day there is no such day, not one of the next year.
            last = date(year, 12, 31).timetuple().tm_yday
            return date.fromordinal(
                date(year, 1, 1).toordinal() + range(1, last + 1).index(parts["j"])
            ).isoformat()
        month = date(year, parts["m"], 1)
        next_month = (month + timedelta(days=31)).replace(day=1)
        last = (next_month - timedelta(days=1)).day
        return month.replace(day=parts.get("d", last)).isoformat()
    except (ValueError, IndexError):
        msg = f"{shown(text)} has a date that is none: type the lot and date."
        raise ScanError(msg) from None
