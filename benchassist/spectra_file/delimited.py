"""Spectra in rows of text: CSV in the dialects that instruments write."""

from __future__ import annotations

import csv

from benchassist.spectra_file.base import (
    SAID,
    FileSpectrum,
    fail,
    must_be_nm,
    must_be_of_use,
    unit_of,
)

MOST_LINE = 10_000  # [letters] csv itself refuses a field of 131,072 by raising


def from_delimited(text: str, name: str) -> FileSpectrum:
    """Return the spectrum in rows of a wavelength and a value.

    Rows are parted by semicolon, tab, comma or space; a comma is a decimal mark where
    it parts no cells. A header may name the unit, and so may a line ``# unit: …``.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    told = [line.lstrip("# ") for line in lines if line.startswith("#")]
    body = [line for line in lines if not line.startswith("#")]
    comma = "," if not any(";" in line or "\t" in line for line in body) else "."
    if any(len(line) > MOST_LINE for line in body):
        fail(name, f"has a line of over {MOST_LINE} letters: no row of a spectrum is")
    rows = [_cells(line) for line in body]
    header: list[str] = []
    nm: list[float] = []
    values: list[float] = []
    for row, line in zip(rows, body, strict=True):
        numbers = [_number(cell, comma) for cell in row]
        if not nm and (not numbers or numbers[0] is None):
            header = row
            continue
        _check_row(row, numbers, name, line)
        nm.append(numbers[0] or 0.0)
        values.append(numbers[1] or 0.0)
    labels = [*header[1:2], *(each for each in told if each.startswith("unit"))]
    if header:
        must_be_nm(header[0], name)
    for label in labels:
        must_be_of_use(label, name)
    unit = next((found for label in labels if (found := unit_of(label))), SAID)
    title = next((line[6:] for line in told if line.startswith("title:")), "")
    return FileSpectrum(name, title, unit, tuple(nm), tuple(values))


def _cells(line: str) -> list[str]:
    delimiter = next((mark for mark in ";\t," if mark in line), " ")
    reader = csv.reader([line], delimiter=delimiter, skipinitialspace=True)
    cells = [cell.strip() for cell in next(reader)]
    return cells[:-1] if len(cells) > 2 and not cells[-1] else cells  # noqa: PLR2004


def _number(cell: str, comma: str) -> float | None:
    """Return what a cell says, with a decimal comma where commas part no cells."""
    try:
        return float(cell.replace(",", ".") if comma == "." else cell)
    except ValueError:
        return None


def _check_row(
    row: list[str], numbers: list[float | None], name: str, line: str
) -> None:
    shown = line.strip()[:40]
    if len(row) > 2:  # noqa: PLR2004 - a wavelength and its value
        told = f"has {len(row)} columns; save the wavelength and one curve alone"
        fail(name, told)
    if len(row) < 2 or not row[1]:  # noqa: PLR2004
        fail(name, f"has a row without a value (“{shown}”); it may be cut off")
    if None in numbers:
        fail(name, f"has a row that is no pair of numbers: “{shown}”")
