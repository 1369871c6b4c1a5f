"""Which form a scan is in, and what it says."""

from __future__ import annotations

import re

from benchassist.scan import gs1, hibc
from benchassist.scan.errors import ScanError, shown
from benchassist.scan.label import Label
from benchassist.value import replace

# Our own labels: the code of a part, and nothing else. The sign in front is one that
# no key of the window uses, so that even a slow scanner is known by it.
PART = "*PART:"
# A scanner set to another keyboard than the computer's types other signs than letters.
OWN = re.compile(r"[^A-Za-z0-9+]?PART[^A-Za-z0-9](?P<code>.*)", re.DOTALL)
LONGEST = 400  # characters; longer than any label of these forms


def read(text: str) -> Label:
    """Return what a scanned label says.

    Parameters
    ----------
    text
        What the scanner typed, without the key that ended it.

    Raises
    ------
    AmbiguousScanError
        If it can be read in more ways than one.
    ScanError
        If it is empty, damaged, or of no form that is known.
    """
    text = text.strip("\r\n\t ")
    if not text:
        raise ScanError("The scan is empty: scan again, or type the lot.")
    if len(text) > LONGEST:
        msg = f"{shown(text)} is too long for a label: scan one code at a time."
        raise ScanError(msg)
    own = OWN.fullmatch(text)
    if own is not None:
        return _own(text, own["code"])
    if hibc.looks_like(text):
        return hibc.read(text)
    return gs1.read(text)


def join(first: Label, second: Label) -> Label:
    """Return one label of the two that a pair is printed as, in either order.

    Raises
    ------
    ScanError
        If they are no pair, or belong to different bottles.
    """
    if first.link and not second.link:
        first, second = second, first
    if not second.link or first.link:
        raise ScanError("These two codes are no pair: scan both of one bottle.")
    if second.link != first.check:
        raise ScanError("These two codes are of different bottles: scan both again.")
    return replace(first, lot=second.lot, expires=second.expires, serial=second.serial)


def _own(text: str, code: str) -> Label:
    if not code or not all(c.isalnum() or c in "-_./" for c in code):
        msg = f"{shown(text)} is no label of this bench: choose the part by hand."
        raise ScanError(msg)
    return Label("part", part=code)
