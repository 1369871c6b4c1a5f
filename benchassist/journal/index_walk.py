"""Whether the tables that answer questions say what the entries say, and no more.

Exports, recall and intake ask those tables. A row that is missing hides an entry, one
too many shows a stranger's; both are found by making the tables again on the side.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from typing import TypeAlias

from benchassist.domain.events import Entry
from benchassist.journal import projections
from benchassist.journal.errors import JournalError

Entries: TypeAlias = Callable[[int, int], Iterable[Entry]]
Missing: TypeAlias = Callable[[int, int], Iterable[str]]

SLICE = 500  # [entries] at a time
MEND = (
    "Make the index anew: keys S, 9, 3, then 6, or “benchassist check --rebuild-index”."
)


def index_faults(
    db: sqlite3.Connection, upto: int, entries: Entries, missing: Missing
) -> Iterator[str]:
    """Yield "" after each slice of entries, and a sentence for each thing amiss.

    ``entries`` gives those after one number up to another, ``missing`` what the index
    lacks of them. Entries that cannot be read are the walk of the chain's to tell.
    """
    made = _Made()
    for start in range(0, upto, SLICE):
        end = min(start + SLICE, upto)
        for sentence in missing(start, end):
            yield f"{sentence} {MEND}"
        try:
            for entry in entries(start, end):
                made.take(entry)
        except JournalError:
            return
        yield ""
    yield from made.faults(db, upto)


class _Made:
    """The tables as the entries alone would have them."""

    def __init__(self) -> None:
        self._touches = 0
        self._parts: dict[str, tuple[str, int, int, str | None]] = {}
        self._days: dict[tuple[str, str], int] = {}

    def take(self, entry: Entry) -> None:
        """Add what an entry adds."""
        found = projections.touches(entry)
        self._touches += len(found)
        state, closed = projections.part_state(entry)
        for code in sorted({t.subject for t in found if t.subject_kind == "part"}):
            old = self._parts.get(code, (projections.IN_WORK, entry.seq, 0, None))
            self._parts[code] = (
                state or old[0],
                old[1],
                entry.seq,
                closed if state else old[3],
            )
            self._days.setdefault((entry.at.day(), code), entry.seq)

    def faults(self, db: sqlite3.Connection, upto: int) -> Iterator[str]:
        """Yield a sentence for each table that says something else."""
        (count,) = db.execute(
            "SELECT count(*) FROM touches WHERE seq <= ?", (upto,)
        ).fetchone()
        if count != self._touches:
            yield f"The index has {count} rows and should have {self._touches}. {MEND}"
        rows = db.execute(
            "SELECT part, state, first_seq, last_seq, closed_day FROM parts"
        )
        # A part that was worked on since is further on than the walk.
        there = {row[0]: row[1:] for row in rows}
        for code, row in self._parts.items():
            if code not in there:
                yield f"Part {code} is missing from the index. {MEND}"
            elif there[code] != row and there[code][2] <= upto:
                yield f"The index has another state of part {code}. {MEND}"
        for code in [c for c in there if c not in self._parts and there[c][1] <= upto]:
            yield f"The index names a part {code} that no entry names. {MEND}"
        days = db.execute(
            "SELECT day, part, first_seq FROM part_days WHERE first_seq <= ?", (upto,)
        )
        listed = {(day, part): seq for day, part, seq in days}
        for day in sorted({key[0] for key, _ in listed.items() ^ self._days.items()}):
            yield f"The index of the day {day} is not what its entries say. {MEND}"
