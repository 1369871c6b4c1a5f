"""After damage there is a way on: a backup, a copy set aside, a new store, what is left."""

# ruff: noqa: S608 - statements of our own making

import json
import shutil
import sqlite3
from contextlib import closing

import pytest

from benchassist import readable, recovery
from benchassist.cli import main
from benchassist.clock import RealClock
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.journal.errors import DamagedJournalError, JournalLockedError
from benchassist.journal.files import DATABASE, HEARTBEAT, WITNESS
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.rehearsal.demo import build_training
from benchassist.session import Session

WHY = "OP-1: the disk failed"


@pytest.fixture(scope="module")
def _made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made") / "store"
    build_training(folder, RealClock(), zone="UTC")
    return folder


@pytest.fixture
def store(_made, tmp_path):
    """A store with four parts not begun, closed in good order."""
    return shutil.copytree(_made, tmp_path / "store")


def alter(folder, *statements, guards=True):
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        laid = db.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in laid:
            db.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            db.execute(statement)
        for _, sql in laid if guards else ():
            db.execute(sql)


def seq_of(folder, kind):
    with closing(sqlite3.connect(folder / DATABASE)) as db:
        return db.execute(
            "SELECT seq FROM events WHERE kind = ? ORDER BY seq LIMIT 1", (kind,)
        ).fetchone()[0]


def edited(folder):
    """Change who took a part in; return the entry's number."""
    seq = seq_of(folder, "PartTaken")
    alter(folder, f"UPDATE events SET operator = 'OP-9' WHERE seq = {seq}")
    return seq


def unreadable(folder):
    seq = seq_of(folder, "PartTaken")
    alter(folder, f"UPDATE events SET payload = 'x' WHERE seq = {seq}")
    return seq


def events_of(folder):
    with ReadOnlyJournal.open(folder) as journal:
        return [entry.event for entry in journal.entries()]


def head(folder):
    with ReadOnlyJournal.open(folder) as journal:
        return journal.head


def more(folder, who="OP-2"):
    """Let somebody work on; return the last entry's number."""
    session = Session(Journal.open(folder), RealClock())
    session.handle(cm.ClaimStation(who))
    session.tick()
    session.close()
    return head(folder).seq


# --- looking ---------------------------------------------------------------------


def test_a_whole_store_has_no_finding_and_every_part_is_proven(store):
    broken = readable.look(store)

    assert broken.findings == ()
    assert (broken.first_bad, broken.upto) == (0, broken.last)
    assert [part.code for part in broken.parts] == ["EX-T1", "EX-T2", "EX-T3", "EX-T4"]
    assert {part.proven for part in broken.parts} == {"proven"}
    assert readable.in_words(store)[1]


def test_the_first_bad_place_is_named_and_each_part_marked(store):
    seq = edited(store)

    broken = readable.look(store)

    assert broken.first_bad == seq
    assert broken.sentence.startswith(f"Entry {seq} is not what was written")
    proven = {part.code: part.proven for part in broken.parts}
    assert proven["EX-T1"] == f"not proven: entry {seq}"
    assert proven["EX-T4"] == "proven"


def test_what_came_after_a_bad_place_is_not_shown_as_known(store):
    more(store)
    for path in store.glob("state-*"):
        path.unlink()
    seq = seq_of(store, "PartChosen")
    alter(store, f"UPDATE events SET payload = 'x' WHERE seq = {seq}")

    broken = readable.look(store)

    assert broken.upto < seq <= broken.first_bad
    assert f"after entry {broken.upto} is not known" in broken.amiss


# --- a backup --------------------------------------------------------------------


def test_a_backup_is_walked_and_says_its_end(store, tmp_path, capsys):
    more(store)
    code = main(["backup", "--data", str(store), "--out", str(tmp_path / "copy")])

    told = capsys.readouterr().out
    assert code == 0
    assert f"ends at entry {head(store).seq}, hash {head(store).hash.hex()}" in told
    assert head(tmp_path / "copy") == head(store)
    assert (tmp_path / "copy" / HEARTBEAT).read_bytes() == (
        store / HEARTBEAT
    ).read_bytes()
    Journal.open(tmp_path / "copy").close()


def test_a_backup_without_a_heartbeat_says_so(store, tmp_path):
    (store / HEARTBEAT).unlink()

    assert "no heartbeat" in recovery.backup(store, tmp_path / "copy")


def test_a_backup_of_a_damaged_store_is_said_to_be_one(store, tmp_path):
    seq = edited(store)

    with pytest.raises(readable.RecoveryError, match=f"as damaged .* Entry {seq}"):
        recovery.backup(store, tmp_path / "copy")


def test_a_backup_takes_the_place_of_what_is_damaged(store, tmp_path, capsys):
    recovery.backup(store, tmp_path / "copy")
    kept = head(store)
    last = more(store)
    edited(store)

    code = main(["restore", "--data", str(store), "--from", str(tmp_path / "copy")])

    told = capsys.readouterr().out
    assert code == 0
    assert f"ends at entry {kept.seq}" in told
    assert f"Entries {kept.seq + 1} to {last} are only there" in told
    assert head(store) == kept
    assert head(store / "set-aside-1").seq == last
    session = Session(Journal.open(store), RealClock())
    assert session.journal.opening.damage == ()
    assert len(session.bench.in_flight) == 4
    session.close()
    assert readable.look(store).findings == ()


def test_a_backup_takes_the_place_of_what_is_gone(store, tmp_path):
    recovery.backup(store, tmp_path / "copy")
    kept = head(store)
    more(store)
    (store / DATABASE).unlink()

    recovery.restore(store, tmp_path / "copy")

    assert head(store) == kept
    Journal.open(store).close()


def test_a_backup_that_is_damaged_or_of_another_store_is_refused(store, tmp_path):
    recovery.backup(store, tmp_path / "copy")
    edited(tmp_path / "copy")
    build_training(tmp_path / "other", RealClock(), zone="UTC")
    before = {path.name: path.read_bytes() for path in store.iterdir()}

    with pytest.raises(readable.RecoveryError, match="cannot take its place: Entry"):
        recovery.restore(store, tmp_path / "copy")
    with pytest.raises(readable.RecoveryError, match="of another store"):
        recovery.restore(store, tmp_path / "other")

    assert {path.name: path.read_bytes() for path in store.iterdir()} == before


def test_nothing_is_put_in_the_place_of_a_store_at_work(store, tmp_path):
    recovery.backup(store, tmp_path / "copy")
    with Journal.open(store), pytest.raises(JournalLockedError):
        recovery.restore(store, tmp_path / "copy")


# --- going on --------------------------------------------------------------------


def test_the_owner_goes_on_with_what_is_damaged_and_it_stays_said(store, capsys):
    seq = edited(store)
    with pytest.raises(DamagedJournalError):
        Journal.open(store)

    code = main(["go-on", "--data", str(store), "--reason", WHY])

    assert code == 0
    assert "set-aside-1" in capsys.readouterr().out
    (accepted,) = [e for e in events_of(store) if isinstance(e, ev.DamageAccepted)]
    assert accepted.entries == (seq,)
    assert accepted.reason == WHY
    with Journal.open(store) as journal:
        assert journal.opening.damage == ()
        assert journal.opening.notes[0].startswith(f"Entry {seq} is not what was")
    assert readable.look(store).first_bad == seq
    other = seq_of(store, "PartChosen")
    alter(store, f"UPDATE events SET operator = 'OP-9' WHERE seq = {other}")
    with pytest.raises(DamagedJournalError, match=f"Entry {other}"):
        Journal.open(store)


def test_who_goes_on_is_told_when_that_could_not_be_written_down(store):
    edited(store)
    with closing(sqlite3.connect(store / DATABASE, isolation_level=None)) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM events").fetchone()
        with pytest.raises(readable.RecoveryError, match="Another program is reading"):
            recovery.go_on(store, WHY, RealClock())
        reader.execute("COMMIT")

    with pytest.raises(DamagedJournalError):
        Journal.open(store)


def test_guards_are_put_back_by_the_owners_act_alone(store):
    alter(
        store,
        "CREATE TRIGGER more AFTER INSERT ON events BEGIN DELETE FROM parts; END",
        "CREATE TABLE more_rows (x)",
        guards=False,
    )
    with pytest.raises(DamagedJournalError, match="guards"):
        Journal.open(store)

    recovery.go_on(store, WHY, RealClock())

    Journal.open(store).close()
    with closing(sqlite3.connect(store / DATABASE)) as db, pytest.raises(sqlite3.Error):
        db.execute("DELETE FROM events")


def test_entries_that_make_no_state_are_gone_on_from_in_a_new_store(store):
    unreadable(store)

    with pytest.raises(readable.RecoveryError, match="new store, or with a backup"):
        recovery.go_on(store, WHY, RealClock())


@pytest.mark.parametrize("reason", ["", "  "])
@pytest.mark.parametrize("act", [recovery.go_on, recovery.go_on_anew])
def test_nobody_goes_on_without_a_reason(store, act, reason):
    edited(store)
    with pytest.raises(readable.RecoveryError, match="who decides"):
        act(store, reason, RealClock())
    assert not (store / "set-aside-1").exists()


@pytest.mark.parametrize("spoil", [edited, unreadable])
def test_a_new_store_goes_on_with_the_shelf_and_refers_to_the_old(store, spoil, capsys):
    old = Session(Journal.open(store), RealClock())
    bench = old.bench
    old.close()
    first = ReadOnlyJournal.open(store)
    name, last = first.first_hash(), first.head.seq
    first.close()
    seq = spoil(store)

    code = main(["go-on", "--new-store", "--data", str(store), "--reason", WHY])

    told = capsys.readouterr().out
    assert code == 0
    assert f"from entry {seq - 1} of the old" in told
    (refers,) = [e for e in events_of(store) if isinstance(e, ev.StoreContinued)]
    assert (refers.store, refers.first) == (bench.store.store_id, name)
    assert (refers.seq, refers.folder, refers.reason) == (seq - 1, "set-aside-1", WHY)
    assert head(store / "set-aside-1").seq == last
    session = Session(Journal.open(store), RealClock())
    assert session.bench.store.kind == "training"
    assert session.bench.store.store_id != bench.store.store_id
    for shelf in (
        "materials",
        "lots",
        "lamps",
        "boxes",
        "vessels",
        "recipes",
        "limits",
    ):
        assert getattr(session.bench, shelf) == getattr(bench, shelf)
    assert session.bench.parts == {}
    session.close()


def test_where_nothing_can_be_read_a_new_store_still_begins(store):
    (store / DATABASE).write_bytes(b"\x00" * 4096)

    recovery.go_on_anew(store, WHY, RealClock())

    (refers,) = [e for e in events_of(store) if isinstance(e, ev.StoreContinued)]
    assert len(refers.first) == 64
    Journal.open(store).close()


def test_a_new_store_that_cannot_be_made_leaves_the_old_as_it_was(store, monkeypatch):
    edited(store)
    before = {path.name: path.read_bytes() for path in store.iterdir()}
    monkeypatch.setattr(
        recovery, "_shelf", lambda bench: cm.FileLibrary(limits=(("nothing", 1.0, ""),))
    )

    with pytest.raises(readable.RecoveryError):
        recovery.go_on_anew(store, WHY, RealClock())

    assert {path.name: path.read_bytes() for path in store.iterdir()} == before


# --- what can be read, and what is removed ---------------------------------------------


def test_what_can_be_read_is_written_and_marked(store, tmp_path, capsys):
    seq = unreadable(store)
    last = head(store).seq

    code = main(["salvage", "--data", str(store), "--out", str(tmp_path / "out")])

    assert code == 0
    assert f"{last - 1} of {last} entries" in capsys.readouterr().out
    (path,) = (tmp_path / "out").iterdir()
    rows = [json.loads(line) for line in path.read_text("utf-8").splitlines()]
    assert {row["seq"] for row in rows} == set(range(1, last + 1)) - {seq}
    assert [row["seq"] for row in rows if row["proven"] == "NO"] == [seq - 1]


def test_what_people_typed_is_removed_by_an_act_on_record(store, capsys):
    session = Session(Journal.open(store), RealClock())
    session.handle(cm.ClaimStation("OP-1"))
    session.handle(cm.OpenDeviation(("EX-T1",), "a name nobody should have typed"))
    seq = session.bench.seq
    session.close()
    words = ["blank", "--data", str(store), "--reason", WHY]

    assert main([*words, str(seq)]) == 0
    assert "still have it" in capsys.readouterr().out
    assert b"nobody should" not in (store / DATABASE).read_bytes()
    assert main([*words, str(seq)]) == 2
    assert "no text to remove" in capsys.readouterr().err
    assert readable.look(store).findings == ()


def test_the_check_says_how_the_record_is_found(store, capsys):
    assert main(["check", "--data", str(store)]) == 0
    assert f"hash is {head(store).hash.hex()}" in capsys.readouterr().out
    alter(store, "DELETE FROM part_days")

    assert main(["check", "--data", str(store)]) == 2
    assert "--rebuild-index" in capsys.readouterr().err
    assert main(["check", "--rebuild-index", "--data", str(store)]) == 0
    seq = edited(store)
    capsys.readouterr()
    assert main(["check", "--data", str(store)]) == 2
    assert f"Entry {seq}" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["backup", "check", "restore", "go-on", "salvage"])
def test_a_folder_without_a_store_is_one_sentence(tmp_path, capsys, name):
    more = {
        "backup": ["--out", str(tmp_path / "out")],
        "restore": ["--from", str(tmp_path / "none")],
        "go-on": ["--reason", WHY],
        "salvage": ["--out", str(tmp_path / "out")],
    }

    assert main([name, "--data", str(tmp_path / "none"), *more.get(name, [])]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_the_witness_alone_lost_is_an_act_too(store):
    (store / WITNESS).unlink()
    with pytest.raises(DamagedJournalError):
        Journal.open(store)

    recovery.go_on(store, WHY, RealClock())

    Journal.open(store).close()
