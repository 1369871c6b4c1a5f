"""Walks over a journal that say what is wrong with it; nothing is mended here."""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.journal import projections
from benchassist.journal.chain import Fault, Row, blanks, faults, gap
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalError,
    NewerJournalError,
    translated,
)
from benchassist.journal.index_walk import index_faults
from benchassist.journal.rows import ROWS, Rows
from benchassist.value import value


@value
class ChainReport:
    """A walk over part of the chain: what was read, and what is wrong with it."""

    first_seq: int
    last_seq: int
    faults: tuple[Fault, ...]


class Walks(Rows):
    """The walks over the chain and over the index of what each entry concerns."""

    def walk(self, first_seq: int, count: int) -> ChainReport:
        """Check links and texts of ``count`` entries from ``first_seq``.

        Damage is reported, never raised and never mended. Call it in slices (500
        take some 10 ms) until ``last_seq`` is the head.
        """
        end = min(first_seq + count - 1, self.head.seq)
        seq, last = first_seq - 1, self._hash_at(first_seq - 1)
        found: list[Fault] = []
        while seq < end:
            upto = min(seq + ROWS, end)
            rows, unreadable = self._rows_left(seq, upto)
            lost = {fault.seq for fault in unreadable}
            found += unreadable
            found += [f for f in faults(seq, last, rows) if f.seq not in lost]
            found += self._blanked_in_vain(rows)
            seq, last = (rows[-1].seq, rows[-1].hash) if rows else (seq, None)
            if seq < upto:
                if not lost.issuperset(range(seq + 1, upto + 1)):
                    found.append(gap(seq + 1, upto))
                seq, last = upto, None
        return ChainReport(first_seq, end, tuple(sorted(found, key=_by_seq)))

    def walk_index(self, first_seq: int, count: int) -> ChainReport:
        """Check that ``count`` entries are found under all that they concern.

        As ``walk``, and some five times as slow. ``Journal.rebuild_projections``
        mends what it finds.
        """
        end = min(first_seq + count - 1, self.head.seq)
        found = [
            fault
            for start in range(first_seq - 1, end, ROWS)
            for row in self._rows_left(start, min(start + ROWS, end))[0]
            if (fault := self._index_fault(row))
        ]
        return ChainReport(first_seq, end, tuple(found))

    def index_faults(self, upto: int) -> Iterator[str]:
        """Yield "" for each slice that was looked at, a sentence for each fault.

        The index is what answers questions; ``walk`` guards the entries themselves.
        """

        def missing(start: int, end: int) -> tuple[str, ...]:
            found = self.walk_index(start + 1, end - start).faults
            return tuple(fault.sentence for fault in found)

        with translated(self.folder):
            yield from index_faults(self._db, upto, self.entries, missing)

    def _blanked_in_vain(self, rows: list[Row]) -> Iterator[Fault]:
        """Yield a fault for each text that is gone without an act that names it."""
        for row in rows:
            if row.blanked_by is None or not isinstance(row.blanked_by, int):
                continue
            acts, _ = self._rows_left(row.blanked_by - 1, row.blanked_by)
            if not any(blanks(act, row.seq) for act in acts):
                yield Fault(
                    row.seq,
                    f"The text of entry {row.seq} is gone, and no act took it away.",
                )

    def _index_fault(self, row: Row) -> Fault | None:
        try:
            entry = self._entry(row)
        except NewerJournalError:
            return None  # whole, and nothing that this program could look up
        except (JournalError, TypeError, ValueError):
            return Fault(row.seq, f"Entry {row.seq} cannot be understood.")
        try:
            with translated(self.folder):
                there = all(
                    self._db.execute(
                        "SELECT 1 FROM touches WHERE subject_kind = ? AND subject = ?"
                        " AND seq = ? AND role = ?",
                        touch,
                    ).fetchone()
                    for touch in projections.touches(entry)
                )
        except DamagedJournalError:
            there = False
        if there:
            return None
        return Fault(row.seq, f"Entry {row.seq} is missing from the index.")


def _by_seq(fault: Fault) -> int:
    return fault.seq
