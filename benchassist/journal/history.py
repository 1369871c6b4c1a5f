"""All that was told of one part, found by the index.

Its own entries, those of its box runs and its deviations that name no part, and what
a correction of it names beside them.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.domain.events import Corrected, Entry
from benchassist.domain.truth import Record, alone, concerns
from benchassist.value import replace


def told(record: Record, part: str, upto: int) -> tuple[Entry, ...]:
    """Return the entries up to ``upto`` that concern a part, as they were told.

    Each as if the part had been alone in it.
    """
    own = {entry.seq: entry for entry in record.entries_of("part", part, upto)}
    for kind in ("run", "deviation"):
        for name in _named(own.values(), kind):
            own |= {entry.seq: entry for entry in record.entries_of(kind, name, upto)}
    return tuple(
        replace(entry, event=alone(entry.event, part))
        for _, entry in sorted(own.items())
        if concerns(entry.event, part)
    )


def _named(entries: Iterable[Entry], kind: str) -> list[str]:
    names = {
        getattr(entry.event, kind, "")
        for entry in entries
        if not isinstance(entry.event, Corrected)
    }
    return sorted(name for name in names if name)
