"""Cells of a table that somebody opens in a spreadsheet, which computes what it can.

A cell that would be taken for a formula, or for a number that loses its leading
zeros or its last digits, gets an apostrophe before it: the mark that spreadsheets
themselves use for text. Whoever reads the file by program takes it off again
(``read_cell``).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

MARK = "'"
FORMULA = ("=", "+", "-", "@", "\t", "\r")
DIGITS = 15  # a spreadsheet keeps no more of a number


def cell(value: object) -> object:
    """Return a value as it may stand in a cell; numbers stay numbers."""
    if not isinstance(value, str):
        return value
    zeros = value.isdigit() and (value[0] == "0" != value or len(value) > DIGITS)
    return MARK + value if zeros or value.startswith((*FORMULA, MARK)) else value


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
