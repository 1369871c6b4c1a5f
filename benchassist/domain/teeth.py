"""Teeth by their two digits, and the jaw they stand in.

ISO 3950:2016, from memory: the first digit is the quadrant, 1 to 4 of permanent and
5 to 8 of deciduous teeth, clockwise as seen by whoever looks at the patient, from the
upper right; the second counts from the middle, 1 to 8, deciduous ones 1 to 5. 10 to 40
are whole quadrants, 01 the upper jaw, 02 the lower.
"""

from __future__ import annotations

import re
from typing import Literal

UPPER, LOWER = "1256", "3478"
MOST = {**dict.fromkeys("1234", 8), **dict.fromkeys("5678", 5)}
JAWS: dict[str, Literal["upper", "lower"]] = {"01": "upper", "02": "lower"}
_BETWEEN = re.compile(r"[-,/+\s]+")


def amiss(tooth: str) -> str:
    """Return why a tooth, or a span such as 12-14, is not written so; or nothing."""
    told = _BETWEEN.split(tooth)
    wrong = next((each for each in told if not _stands(each)), None)
    if wrong is not None:
        return "A tooth is two digits, 11 to 48 (51 to 85 of milk teeth), such as 12."
    if not jaw_of(tooth):
        return "These teeth stand in two jaws: take them in as two parts."
    return ""


def _stands(told: str) -> bool:
    if told in JAWS:
        return True
    if re.fullmatch(r"[1-8][0-8]", told) is None:
        return False
    quadrant, place = told[0], told[1]
    return (place == "0" and quadrant in "1234") or 1 <= int(place) <= MOST[quadrant]


def jaw_of(tooth: str) -> Literal["", "upper", "lower"]:
    """Return the jaw that a tooth or a span stands in; "" where that is not clear."""
    found: set[Literal["", "upper", "lower"]] = {
        _jaw(each) for each in _BETWEEN.split(tooth)
    }
    return found.pop() if len(found) == 1 else ""


def _jaw(told: str) -> Literal["", "upper", "lower"]:
    if not _stands(told):
        return ""
    if told in JAWS:
        return JAWS[told]
    return "upper" if told[0] in UPPER else "lower"
