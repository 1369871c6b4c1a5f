"""A store before and beside its session: its kind, its clock, its last state."""

import shutil
import sqlite3
from datetime import datetime, timedelta, timezone

import pytest

from benchassist.clock import Instant, SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.limits import LIMITS
from benchassist.journal.errors import DamagedJournalError, JournalMissingError
from benchassist.journal.files import DATABASE, ROLLBACK
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.session import Session
from benchassist.stores import (
    OtherStoreError,
    bench_clock,
    last_state,
    latest,
    open_store,
    paced,
    reading,
)

NOON = datetime(2026, 5, 14, 12, 0, tzinfo=timezone(timedelta(hours=2)))
HOUR_MS = 3_600_000
KINDS = ("real", "demo", "training", "rehearsal")


def new_store(folder, kind, clock=None):
    session = Session.open(
        Journal.open(folder),
        clock or SimulatedClock(NOON),
        kind=kind,
        station="EX-BENCH",
        zone="Europe/Berlin",
    )
    session.handle(cm.ClaimStation("OP-1"))
    return session


# --- kinds -----------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["real", "demo", "training"])
def test_a_new_folder_and_a_store_of_its_kind_are_opened(tmp_path, kind):
    open_store(tmp_path, kind).close()
    new_store(tmp_path, kind).close()

    with open_store(tmp_path, kind) as journal:
        assert journal.store.kind == kind


@pytest.mark.parametrize(
    ("kind", "wanted"),
    [
        ("training", "real"),
        ("real", "training"),
        ("training", "demo"),
        ("demo", "training"),
        ("rehearsal", "training"),
        ("real", "demo"),
    ],
)
def test_a_store_of_another_kind_is_refused_in_a_sentence_and_let_go(
    tmp_path, kind, wanted
):
    new_store(tmp_path, kind).close()

    with pytest.raises(OtherStoreError) as told:
        open_store(tmp_path, wanted)

    assert str(tmp_path) in str(told.value)
    assert kind in str(told.value)
    assert str(told.value).count(".") == 1
    Journal.open(tmp_path).close()  # the lock was given back


@pytest.mark.parametrize("kind", ["demo", "rehearsal"])
def test_an_example_may_be_looked_at_from_any_folder_and_stays_one(tmp_path, kind):
    new_store(tmp_path, kind).close()

    with open_store(tmp_path, "real") as journal:
        assert journal.store.kind == kind


# --- the clock -------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["real", "demo", "rehearsal"])
def test_only_a_training_bench_has_a_clock_of_its_own(tmp_path, kind):
    new_store(tmp_path, kind).close()
    real = SimulatedClock(NOON)

    with Journal.open(tmp_path) as journal:
        assert bench_clock(journal, real, 10.0) is real


def test_a_training_bench_runs_so_many_times_as_fast(tmp_path):
    real = SimulatedClock(NOON)
    new_store(tmp_path, "training", real).close()

    with Journal.open(tmp_path) as journal:
        clock = bench_clock(journal, real, 10.0)
        begun = clock.now()
        real.advance(60_000)

    assert begun == real.now().plus(-60_000)
    assert clock.now().since(begun) == 600_000
    assert clock.now().local() == NOON + timedelta(minutes=10)


def moments(folder, entry_ms, beat_ms=None, boot="boot-1"):
    """Write a training store whose last entry and beat lie so far after noon."""
    base = Instant(int(NOON.timestamp() * 1000), 120, 50_000, boot)
    with Journal.open(folder) as journal:
        kind = cm.CreateStore("training", "s", "EX-BENCH", "Europe/Berlin")
        session = Session(journal, Still(base.plus(entry_ms)))
        session.handle(kind, "tool")
        if beat_ms is not None:
            journal.beat(base.plus(beat_ms))
        return base


class Still:
    """A clock that stands."""

    def __init__(self, at):
        self._at = at

    def now(self):
        return self._at


@pytest.mark.parametrize(
    ("entry_ms", "beat_ms", "begins_ms"),
    [
        (-HOUR_MS, None, 0),  # the bench's clock was behind: it goes on now
        (HOUR_MS, None, HOUR_MS),  # it ran ahead: it goes on where it stood
        (HOUR_MS, 2 * HOUR_MS, 2 * HOUR_MS),  # it was alive after its last entry
        (2 * HOUR_MS, HOUR_MS, 2 * HOUR_MS),
    ],
)
@pytest.mark.parametrize("boot", ["boot-1", "boot-2"])
def test_reopened_it_goes_on_now_or_where_it_stood(
    tmp_path, entry_ms, beat_ms, begins_ms, boot
):
    base = moments(tmp_path, entry_ms, beat_ms)
    now = Instant(base.wall_ms, 120, base.mono_ms if boot == "boot-1" else 7, boot)

    with ReadOnlyJournal.open(tmp_path) as journal:
        begins = latest(journal, now)
        clock = bench_clock(journal, Still(now), 10.0)
        last = list(journal.entries())[-1].at

    assert begins == now.plus(begins_ms)
    # Its own time goes on without a gap, whatever the machine did meanwhile.
    assert clock.now().boot == "boot-1"
    assert clock.now().wall_ms == begins.wall_ms
    assert clock.now().since(last) == max(0, begins_ms - entry_ms)
    assert begins.wall_ms >= last.wall_ms


def test_a_wall_clock_that_was_put_back_moves_no_bench_back(tmp_path):
    base = moments(tmp_path, HOUR_MS)
    # Two hours later by the monotonic reading, but the wall was put back by three.
    now = base.plus(2 * HOUR_MS)
    now = Instant(now.wall_ms - 3 * HOUR_MS, 120, now.mono_ms, now.boot)

    with ReadOnlyJournal.open(tmp_path) as journal:
        begins = latest(journal, now)
        last = list(journal.entries())[-1].at

    assert begins.since(last) >= 0
    assert begins.wall_ms >= last.wall_ms


def test_an_empty_journal_begins_now(tmp_path):
    now = SimulatedClock(NOON).now()

    with Journal.open(tmp_path) as journal:
        assert latest(journal, now) == now


def test_what_hands_and_machine_need_is_kept_in_their_own_time(tmp_path):
    session = Session.open(
        Journal.open(tmp_path),
        SimulatedClock(NOON),
        kind="training",
        station="EX-BENCH",
        zone="UTC",
    )  # nobody has claimed it yet

    refusal = session.handle(paced(session.bench, 10.0), "tool").refusal
    limits, seq = session.bench.limits, session.bench.seq
    session.handle(paced(session.bench, 10.0), "tool")

    assert refusal is None
    for code in ("stall_ms", "undo_s", "heartbeat_s"):
        assert limits[code] == 10 * LIMITS[code].default
    assert limits["late_wet_s"] == LIMITS["late_wet_s"].default
    assert session.bench.seq == seq  # once is enough

    session.handle(paced(session.bench, 1.0), "tool")
    assert session.bench.limits["undo_s"] == LIMITS["undo_s"].default
    session.close()


# --- reading ---------------------------------------------------------------------


def test_a_store_is_read_while_its_session_holds_the_lock(tmp_path):
    session = new_store(tmp_path, "real")

    with reading(tmp_path) as journal:
        known = last_state(journal)

    assert known.bench == session.bench
    assert (known.seq, known.amiss) == (session.bench.seq, "")
    session.close()


def test_the_last_state_is_the_same_with_a_snapshot_and_without(tmp_path):
    session = new_store(tmp_path, "real")
    with reading(tmp_path) as journal:
        before = last_state(journal)
    session.save_snapshot()
    session.handle(cm.ClaimStation("OP-2"))

    with reading(tmp_path) as journal:
        after = last_state(journal)

    assert before.bench.operator == "OP-1"
    assert after.bench == session.bench
    session.close()


def test_a_snapshot_spares_what_was_damaged_before_it(tmp_path):
    session = new_store(tmp_path, "real")
    session.save_snapshot()
    session.handle(cm.ClaimStation("OP-2"))
    bench = session.bench
    session.journal.close()
    spoil(tmp_path, 3)

    with reading(tmp_path) as journal:
        known = last_state(journal)

    assert known.bench == bench
    assert known.amiss == ""


def spoil(folder, seq):
    """Change a byte of an entry, as a bad disk would."""
    with sqlite3.connect(folder / DATABASE) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute("UPDATE events SET payload = '{}' WHERE seq = ?", (seq,))
    db.close()


def test_a_damaged_journal_is_read_as_far_as_it_goes_and_that_is_said(tmp_path):
    session = new_store(tmp_path, "real")
    seq = session.bench.seq
    for who in ("OP-2", "OP-3"):
        session.handle(cm.ClaimStation(who))
    session.journal.close()
    spoil(tmp_path, seq + 1)

    with reading(tmp_path) as journal:
        known = last_state(journal)

    assert known.bench.operator == "OP-1"
    assert known.seq == seq
    assert f"entry {seq}" in known.amiss
    assert "\n" not in known.amiss


def test_entries_that_are_gone_are_said_and_nothing_behind_them_is_believed(tmp_path):
    session = new_store(tmp_path, "real")
    seq = session.bench.seq
    for who in ("OP-2", "OP-3"):
        session.handle(cm.ClaimStation(who))
    session.journal.close()
    with sqlite3.connect(tmp_path / DATABASE) as db:
        db.execute("DROP TRIGGER events_stay")
        db.execute("DELETE FROM events WHERE seq = ?", (seq + 1,))
    db.close()

    with reading(tmp_path) as journal:
        known = last_state(journal)

    assert known.bench.operator == "OP-1"
    assert f"entry {seq}" in known.amiss


def test_a_writer_that_died_within_a_commit_leaves_a_store_that_is_read(tmp_path):
    folder, left = tmp_path / "bench", tmp_path / "left"
    session = new_store(folder, "real")
    bench = session.bench
    # What the disk holds when the plug is pulled: pages written, the rollback whole.
    db = sqlite3.connect(folder / DATABASE, isolation_level=None)
    db.execute("PRAGMA journal_mode = TRUNCATE")
    db.execute("PRAGMA cache_size = 1")
    db.execute("BEGIN IMMEDIATE")
    for seq in range(200):
        row = (-seq - 1, 1, b"", b"", "x" * 4000)
        db.execute("INSERT INTO snapshots VALUES (?, ?, ?, ?, ?)", row)
    shutil.copytree(folder, left)
    db.execute("ROLLBACK")
    db.close()
    session.close()
    before = {path.name: path.read_bytes() for path in left.iterdir()}

    with reading(left) as journal:
        known = last_state(journal)

    assert (left / ROLLBACK).stat().st_size > 0
    assert known.bench == bench
    assert {path.name: path.read_bytes() for path in left.iterdir()} == before


@pytest.mark.parametrize("text", ["no journal at all", ""])
def test_a_file_that_is_no_journal_is_said(tmp_path, text):
    (tmp_path / DATABASE).write_text(text)

    with pytest.raises(DamagedJournalError), reading(tmp_path):
        pass


def test_a_folder_without_a_journal_is_said(tmp_path):
    with pytest.raises(JournalMissingError), reading(tmp_path):
        pass


def test_what_goes_wrong_while_reading_is_told_as_it_is(tmp_path):
    new_store(tmp_path, "real").close()

    with pytest.raises(LookupError, match="of the reader"), reading(tmp_path):
        raise LookupError("of the reader")


def test_reading_writes_nothing(tmp_path):
    new_store(tmp_path, "real").close()
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}

    with reading(tmp_path) as journal:
        last_state(journal)

    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_store_of_any_kind_is_read(tmp_path):
    for kind in KINDS:
        new_store(tmp_path / kind, kind).close()
        with reading(tmp_path / kind) as journal:
            assert last_state(journal).bench.store.kind == kind
