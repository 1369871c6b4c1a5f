"""A day's logs as JSON Lines: one JSON object for each entry, UTF-8."""

from __future__ import annotations

from benchassist.journal.codec import canonical
from benchassist.records.day_log import DayLog
from benchassist.records.rows import rows


def as_json_lines(log: DayLog) -> str:
    """Return the logs as JSON Lines; the event is an object within each."""
    return "".join(f"{canonical(row)}\n" for row in rows(log))
