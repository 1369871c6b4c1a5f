"""What one command's commit costs beside raw SQLite in the same mode.

Measured in turn, one after the other, so that a busy machine slows all alike. Run
with ``-m benchmark --log-cli-level=INFO`` to read the figures.
"""

import logging
import sqlite3
from contextlib import closing
from statistics import median
from timeit import default_timer

import pytest

from benchassist.clock import RealClock
from benchassist.domain.events import (
    DoseCredited,
    RunEndObserved,
    RunStarted,
    SpotTacked,
    StageEnded,
    StoreCreated,
)
from benchassist.journal.drafts import Draft
from benchassist.journal.projections import touches
from benchassist.journal.schema import _TABLES
from benchassist.journal.writing import Journal

LOG = logging.getLogger(__name__)
COMMITS = 600
BEHIND = 20_000  # commands already in each database
GOAL = 1.5  # times raw SQLite, same mode, same bytes


def commands(clock, first, count):
    """Yield a bench's commands: mostly spots, every twentieth the end of a run."""
    for n in range(first, first + count):
        part, run, now = f"EX-K-{n // 200:05}", f"run-{n // 20}", clock.now()
        match n % 20:
            case 0:
                events = [
                    RunStarted(
                        run, "EX-BX", "EX-GV", (part,), "", 1, 2200, 10.0, "flash"
                    )
                ]
            case 1:
                events = [
                    RunEndObserved(run, "completed", 2200, 2200, "observed"),
                    DoseCredited(
                        part, run, "", 1, ("body",), 2200, 2200, "flash", "observed"
                    ),
                    StageEnded(part, "half-1", 220_000, 220_000),
                ]
            case _:
                events = [SpotTacked(part, "coat-1", n % 20, "EX-LM-A", 10_000, now)]
        yield [Draft(now, f"EX-OP{n // 400 % 3}", "pedal", event) for event in events]


class Raw:
    """SQLite in the journal's mode, with nothing of ours around it."""

    def __init__(self, path, *tables):
        self.db = sqlite3.connect(path, isolation_level=None)
        self.db.execute("PRAGMA journal_mode = TRUNCATE")
        self.db.execute("PRAGMA synchronous = EXTRA")
        for table in tables:
            self.db.execute(table)

    def write(self, statements):
        """Execute statements in one transaction; return what that took in ms."""
        start = default_timer()
        self.db.execute("BEGIN IMMEDIATE")
        for sql, rows in statements:
            self.db.executemany(sql, rows)
        self.db.execute("COMMIT")
        return (default_timer() - start) * 1000


def same_rows(entries, stored):
    """Return plain statements that store what the journal stored for a command."""
    found = [touch for entry in entries for touch in sorted(touches(entry))]
    parts = [touch for touch in found if touch.subject_kind == "part"]
    return [
        (f"INSERT INTO events VALUES ({', '.join('?' * 14)})", stored),  # noqa: S608
        ("INSERT INTO touches VALUES (?, ?, ?, ?)", found),
        (
            """INSERT INTO parts VALUES (?, 'in work', ?, ?, NULL)
            ON CONFLICT (part) DO UPDATE SET last_seq = excluded.last_seq""",
            [(touch.subject, touch.seq, touch.seq) for touch in parts],
        ),
        (
            "INSERT OR IGNORE INTO part_days VALUES (?, ?, ?)",
            [(entries[0].at.day(), touch.subject, touch.seq) for touch in parts],
        ),
    ]


def one_row(stored):
    """Return a plain statement that stores a command's events as one row of bytes."""
    size = sum(
        len(value) if isinstance(value, str | bytes) else 8
        for row in stored
        for value in row
        if value is not None
    )
    return [("INSERT INTO rows VALUES (NULL, ?)", [(b"x" * size,)])]


@pytest.mark.benchmark
def test_a_commit_costs_little_more_than_raw_sqlite(tmp_path):
    clock = RealClock()
    store = StoreCreated("rehearsal", "store-1", "EX-bench", "Europe/Berlin")
    rows = Raw(tmp_path / "rows", *_TABLES)
    row = Raw(tmp_path / "row", "CREATE TABLE rows (n INTEGER PRIMARY KEY, b BLOB)")
    taken = {"journal": [], "same rows": [], "one row of the same bytes": []}
    with Journal.open(tmp_path / "bench") as journal, closing(rows.db), closing(row.db):
        journal.append([Draft(clock.now(), "EX-OP1", "tool", store)])
        behind = [draft for each in commands(clock, 0, BEHIND) for draft in each]
        entries = journal.append(behind)
        stored = journal._db.execute("SELECT * FROM events WHERE seq > 1").fetchall()
        rows.write(same_rows(entries, stored))
        for each in stored:
            row.db.execute("BEGIN") if each is stored[0] else None
            row.db.executemany(*one_row([each])[0])
        row.db.execute("COMMIT")

        for drafts in commands(clock, BEHIND, COMMITS):
            start = default_timer()
            entries = journal.append(drafts)
            taken["journal"].append((default_timer() - start) * 1000)
            stored = journal._db.execute(
                "SELECT * FROM events WHERE seq >= ?", (entries[0].seq,)
            ).fetchall()
            taken["same rows"].append(rows.write(same_rows(entries, stored)))
            taken["one row of the same bytes"].append(row.write(one_row(stored)))

    ours = median(taken["journal"])
    for name, each in taken.items():
        LOG.info("%s: %.3f ms, ours is %.2f x", name, median(each), ours / median(each))
    assert ours <= GOAL * median(taken["same rows"])
