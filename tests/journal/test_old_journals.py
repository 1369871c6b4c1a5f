"""Every journal that a version of the program ever wrote is still read."""

import json
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from itertools import compress
from pathlib import Path

import pytest

from benchassist.clock import SimulatedClock
from benchassist.domain.events import KINDS
from benchassist.journal.codec import canonical
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.session import Session
from tests.journals.make import line_of, standing

KEPT = Path(__file__).parents[1] / "journals"
OLD = sorted(path.parent for path in KEPT.glob("*/expected.jsonl"))
BENCHES = sorted(path.parent for path in KEPT.glob("*/standing.json"))


def as_read(journal):
    return [canonical(line_of(entry)) for entry in journal.entries()]


def of_today(folder):
    """Return whether each entry of a folder was stored in today's version of it."""
    with closing(sqlite3.connect(folder / "journal.sqlite")) as db:
        rows = db.execute("SELECT kind, version FROM events ORDER BY seq").fetchall()
    return [KINDS[kind].version == version for kind, version in rows]


def test_there_is_one_of_every_format():
    assert "format-1" in {folder.name for folder in OLD}


@pytest.mark.parametrize("old", OLD, ids=lambda folder: folder.name)
def test_an_old_journal_opens_reads_and_goes_on(old, tmp_path, spot):
    folder = tmp_path / "copy"
    shutil.copytree(old, folder)
    expected = (old / "expected.jsonl").read_text("utf-8").splitlines()

    with ReadOnlyJournal.open(folder) as reader:
        found = as_read(reader)
        # One of an older version has today's shape, which its upcast's own test pins.
        same = of_today(folder)
        assert len(found) == len(expected)
        assert list(compress(found, same)) == list(compress(expected, same))
        assert reader.walk(1, len(expected)).faults == ()
    with Journal.open(folder) as journal:
        assert journal.opening.damage == ()
        assert journal.opening.witness == "agrees"
        assert journal.walk_index(1, len(expected)).faults == ()
        journal.append([spot(1)])
        assert as_read(journal)[:-1] == found


@pytest.mark.parametrize(
    ("release", "least"), [("release-1", 74), ("release-2", 113), ("release-3", 127)]
)
def test_a_release_left_one_of_every_kind_that_it_could_write(release, least):
    with ReadOnlyJournal.open(KEPT / f"{release}-kinds") as reader:
        found = {type(entry.event).__name__ for entry in reader.entries()}

    assert len(found) >= least
    assert found <= KINDS.keys()


@pytest.mark.parametrize("with_snapshot", [True, False])
@pytest.mark.parametrize("old", BENCHES, ids=lambda folder: folder.name)
def test_the_store_of_a_bench_at_work_opens_and_goes_on(old, tmp_path, with_snapshot):
    folder = tmp_path / "copy"
    shutil.copytree(old, folder)
    if not with_snapshot:
        with sqlite3.connect(folder / "journal.sqlite") as db:
            db.execute("DELETE FROM snapshots")
        db.close()

    clock = SimulatedClock(datetime(2026, 3, 2, 13, 5, tzinfo=UTC))
    session = Session(Journal.open(folder), clock)
    try:
        assert session.journal.opening.damage == ()
        found = standing(session.bench)
        assert found == json.loads((old / "standing.json").read_text("utf-8"))
        session.begin(kind="demo", station="EX-BENCH", zone="UTC")
        assert session.bench.seq > session.journal.opening.head.seq
    finally:
        session.close()
