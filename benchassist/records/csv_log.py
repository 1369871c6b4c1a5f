"""A day's logs as comma-separated values (RFC 4180), one row for each entry.

``cells`` says what is written where a spreadsheet would compute.
"""

from __future__ import annotations

from benchassist.journal.codec import canonical
from benchassist.records import cells
from benchassist.records.day_log import DayLog
from benchassist.records.rows import COLUMNS, rows


def as_csv(log: DayLog) -> str:
    """Return the logs as CSV with a header; the event is one cell of JSON."""
    found = (tuple(row.values()) for row in rows(log))
    return cells.as_csv(
        tuple(COLUMNS),
        (
            (*plain, canonical(told) if told else "", canonical(event))
            for *plain, told, event in found
        ),
    )
