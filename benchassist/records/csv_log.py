"""A day's logs as comma-separated values (RFC 4180), one row for each entry.

``cells`` says what is written where a spreadsheet would compute.
"""

from __future__ import annotations

import csv
import io

from benchassist.journal.codec import canonical
from benchassist.records.cells import cell
from benchassist.records.day_log import DayLog
from benchassist.records.rows import COLUMNS, rows


def as_csv(log: DayLog) -> str:
    """Return the logs as CSV with a header; the event is one cell of JSON."""
    text = io.StringIO()
    writer = csv.writer(text)  # its defaults are RFC 4180: CRLF, doubled quotes
    writer.writerow(COLUMNS)
    for row in rows(log):
        *cells, told, event = row.values()
        was = canonical(told) if told else ""
        writer.writerow((*map(cell, cells), was, canonical(event)))
    return text.getvalue()
