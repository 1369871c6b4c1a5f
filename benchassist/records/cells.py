"""Cells of a table that somebody opens in a spreadsheet, which computes what it can.

A cell that would be taken for a formula, for a number that loses its leading zeros or
its last digits, or for a day or a power of ten that it is not (a lot called MAR1 or
12E4), gets an apostrophe before it: the mark that spreadsheets themselves use for text.
Whoever reads the file by program takes it off again (``read_cell``).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

MARK = "'"
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
DIGITS = 15  # a spreadsheet keeps no more of a number
_MONTH = "(jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec|march|april)"
# What some spreadsheet in some language reads as a number, a time or a day.
_READ = re.compile(
    r"[.,]\d+|\d+([-.,:/ ]\d+)+|\d+([.,]\d+)?e[-+]?\d+"
    rf"|{_MONTH}[-./ ]?\d+|\d+[-./ ]?{_MONTH}",
    re.IGNORECASE,
)
_DAY = re.compile(r"\d{4}-\d\d-\d\d")  # is a day, and may be read as one


def cell(value: object) -> object:
    """Return a value as it may stand in a cell; numbers stay numbers."""
    if not isinstance(value, str):
        return value
    zeros = value.isdigit() and (value[0] == "0" != value or len(value) > DIGITS)
    read = _READ.fullmatch(value) and not _DAY.fullmatch(value)
    marked = zeros or read or value.startswith((*FORMULA, MARK))
    return MARK + value if marked else value


def as_csv(columns: Sequence[str], rows: Iterable[Iterable[object]]) -> str:
    """Return a table as CSV (RFC 4180: CRLF, doubled quotes) with its header."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(columns)
    for row in rows:
        writer.writerow(map(cell, row))
    return text.getvalue()


def read_cell(text: str) -> str:
    """Return the text that ``cell`` was given."""
    return text.removeprefix(MARK)
