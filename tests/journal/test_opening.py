import json
import random
import shutil
import sqlite3
from contextlib import closing

import pytest

from benchassist.clock import Instant, RealClock
from benchassist.domain.events import DamageAccepted, PartChosen, StoreCreated
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalBusyError,
    JournalLostError,
    JournalMissingError,
    JournalWriteError,
    NewerJournalError,
)
from benchassist.journal.files import DATABASE, HEARTBEAT, WITNESS
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.slots import SlotFile, read_slots
from benchassist.journal.writing import Journal


def witness_says(folder, **changed):
    record = {**read_slots(folder / WITNESS), **changed}
    file = SlotFile(folder / WITNESS)
    file.write(record)
    file.close()


def tamper(folder, *statements):
    """Change the file as one could who knows SQLite and takes off the guards."""
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        guards = db.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            db.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            db.execute(statement)
        for _, sql in guards:
            db.execute(sql)


def damage(folder):
    with pytest.raises(DamagedJournalError) as found:
        Journal.open(folder)
    return found.value


def test_a_new_folder_gets_a_new_journal(folder):
    with Journal.open(folder / "and" / "below") as journal:
        assert journal.opening.witness == "new"
        assert journal.opening.head.seq == 0
        assert journal.opening.links_checked == 0


def test_a_new_journal_that_was_never_written_to_opens_again(folder):
    Journal.open(folder).close()

    with Journal.open(folder) as journal:
        assert journal.opening.witness == "agrees"


def test_an_untouched_journal_opens_without_findings(filled):
    with Journal.open(filled) as journal:
        assert journal.opening.witness == "agrees"
        assert journal.opening.head.seq == 41
        assert journal.opening.links_checked == 41
        assert journal.opening.readable_to == 41
        assert journal.opening.damage == ()


def test_one_command_ahead_of_its_witness_is_normal(filled, spot):
    """The program died between the commit and the witness."""
    before = (filled / WITNESS).read_bytes()
    with Journal.open(filled) as journal:
        journal.append([spot(n) for n in range(50, 55)])
    (filled / WITNESS).write_bytes(before)

    with Journal.open(filled) as journal:
        assert journal.opening.witness == "one behind"
        assert journal.opening.damage == ()
    assert read_slots(filled / WITNESS)["seq"] == 46


def test_the_very_first_command_may_be_ahead_of_its_witness(folder, draft):
    store = StoreCreated("rehearsal", "store-1", "EX-bench", "Europe/Berlin")
    with Journal.open(folder) as journal:
        before = (folder / WITNESS).read_bytes()
        journal.append([draft(store), draft(PartChosen("EX-K-1"))])
    (folder / WITNESS).write_bytes(before)

    with Journal.open(folder) as journal:
        assert journal.opening.witness == "one behind"
        assert journal.store == store


def test_two_commands_ahead_of_its_witness_is_damage(filled, spot):
    before = (filled / WITNESS).read_bytes()
    with Journal.open(filled) as journal:
        journal.append([spot(50)])
        journal.append([spot(51)])
    (filled / WITNESS).write_bytes(before)

    assert damage(filled).findings == (
        "It ends at entry 43, but its witness file saw only 41.",
    )


def test_an_older_copy_put_back_is_damage(filled, spot):
    shutil.copy(filled / DATABASE, filled / "older")
    with Journal.open(filled) as journal:
        journal.append([spot(50)])
    shutil.move(filled / "older", filled / DATABASE)

    found = damage(filled)

    assert found.findings == ("It ends at entry 41, but entry 42 was already written.",)
    assert found.readable_to == 41


@pytest.mark.parametrize("content", [None, b"", b"x" * 1024])
def test_a_witness_that_is_gone_or_garbage_is_damage(filled, content):
    (filled / WITNESS).unlink()
    if content is not None:
        (filled / WITNESS).write_bytes(content)

    assert damage(filled).findings == (
        "Its witness file is missing or cannot be read.",
    )


def test_the_witness_of_another_store_is_damage(filled, tmp_path, draft, spot):
    with Journal.open(tmp_path / "other") as other:
        with Journal.open(filled) as journal:
            other.append([draft(journal.store)])
        for n in range(1, 41):
            other.append([spot(n)])
    shutil.copy(tmp_path / "other" / WITNESS, filled / WITNESS)

    assert damage(filled).findings == (
        "It is not the store that its witness file belongs to.",
    )


def test_another_history_of_the_same_store_is_damage(filled):
    witness_says(filled, hash="00" * 32)

    assert damage(filled).findings == ("Its entry 41 is not the one that was written.",)


@pytest.mark.parametrize("content", [None, b""])
def test_a_journal_that_is_gone_or_empty_is_not_begun_anew(filled, content):
    (filled / DATABASE).unlink()
    if content is not None:
        (filled / DATABASE).write_bytes(content)

    found = damage(filled)

    assert found.findings == (f"{DATABASE} is gone, but 41 entries were in it.",)
    assert "Nothing in it can be read." in str(found)


@pytest.mark.parametrize(
    "content",
    [b"no database", b"SQLite format 3\0", bytes(range(256)) * 80],
)
def test_a_file_that_is_no_database_is_damage(filled, content):
    (filled / DATABASE).write_bytes(content)

    with pytest.raises(DamagedJournalError):
        Journal.open(filled)
    with pytest.raises(DamagedJournalError):
        ReadOnlyJournal.open(filled)


def test_another_database_is_no_journal(folder):
    folder.mkdir()
    with closing(sqlite3.connect(folder / DATABASE)) as db:
        db.execute("CREATE TABLE other (x)")

    assert damage(folder).findings == ("journal.sqlite is no journal.",)


def test_a_later_format_says_what_to_do(filled):
    with closing(sqlite3.connect(filled / DATABASE)) as db:
        db.execute("PRAGMA user_version = 2")

    for cls in (Journal, ReadOnlyJournal):
        with pytest.raises(NewerJournalError, match="install that version"):
            cls.open(filled)


@pytest.mark.parametrize(
    "guard", ["events_stay", "texts_stay", "events_follow_one_another"]
)
def test_a_missing_guard_is_damage(filled, guard):
    with closing(sqlite3.connect(filled / DATABASE)) as db:
        db.execute(f"DROP TRIGGER {guard}")

    assert damage(filled).findings == (
        "Its tables or their guards are not as they were laid out.",
    )


@pytest.mark.parametrize(
    ("statement", "finding", "readable_to"),
    [
        (
            "UPDATE events SET operator = 'EX-OP2' WHERE seq = 20",
            "Entry 20 is not what was written: its hash does not fit.",
            19,
        ),
        ("DELETE FROM events WHERE seq = 20", "Entry 20 is missing.", 19),
        ("DELETE FROM events WHERE seq < 4", "Entries 1 to 3 are missing.", 0),
        (
            "DELETE FROM events WHERE seq > 39",
            "It ends at entry 39, but entry 41 was already written.",
            39,
        ),
        (
            "INSERT INTO texts VALUES (20, '{}', x'00', NULL)",
            "Entry 20 has a text too many.",
            19,
        ),
    ],
)
def test_who_takes_off_the_guards_is_found_out(filled, statement, finding, readable_to):
    tamper(filled, statement)

    found = damage(filled)

    assert found.findings[0] == finding
    assert found.readable_to == readable_to


def test_what_the_owner_went_on_with_stays_said_and_stops_nobody(filled, draft):
    tamper(filled, "UPDATE events SET operator = 'EX-OP2' WHERE seq = 20")
    accepted = DamageAccepted((20,), ("Entry 20.",), "set-aside-1", "seen")
    with Journal.open(filled, despite_damage=True) as journal:
        journal.append([draft(accepted)])

    with Journal.open(filled) as journal:
        assert journal.opening.damage == ()
        (note,) = journal.opening.notes
    assert note.startswith("Entry 20 is not what was written")
    assert note.endswith("The owner went on with it.")
    tamper(filled, "UPDATE events SET operator = 'EX-OP2' WHERE seq = 21")
    assert "Entry 21" in damage(filled).findings[0]  # of another he knows nothing


def test_going_on_sets_a_copy_aside_and_says_what_was_found(filled, spot):
    tamper(filled, "UPDATE events SET operator = 'EX-OP2' WHERE seq = 20")
    as_found = (filled / DATABASE).read_bytes()

    with Journal.open(filled, despite_damage=True) as journal:
        aside = journal.opening.set_aside
        assert len(journal.opening.damage) == 1
        assert (aside / DATABASE).read_bytes() == as_found
        journal.append([spot(60)])
        # The damage stays on the record for ever.
        assert [fault.seq for fault in journal.walk(1, 100).faults] == [20]
    with Journal.open(filled, despite_damage=True) as journal:
        assert journal.opening.set_aside.name == "set-aside-2"


def test_a_lost_witness_is_written_again_once_the_owner_goes_on(filled):
    (filled / WITNESS).unlink()

    Journal.open(filled, despite_damage=True).close()

    with Journal.open(filled) as journal:
        assert journal.opening.witness == "agrees"


@pytest.mark.parametrize(
    "change",
    [
        "DROP TRIGGER events_stay",
        "CREATE TRIGGER more AFTER INSERT ON events BEGIN DELETE FROM parts; END",
        "CREATE TABLE more (x)",
        "CREATE VIEW more AS SELECT 1",
    ],
)
def test_who_goes_on_has_every_guard_back_and_nothing_that_is_not_ours(filled, change):
    with closing(sqlite3.connect(filled / DATABASE)) as db:
        laid = dict(db.execute("SELECT name, sql FROM sqlite_master"))
        db.execute(change)

    Journal.open(filled, despite_damage=True).close()

    with closing(sqlite3.connect(filled / DATABASE)) as db:
        assert dict(db.execute("SELECT name, sql FROM sqlite_master")) == laid
    with Journal.open(filled) as journal:
        assert not journal.opening.damage


def test_a_journal_that_is_deleted_while_it_is_open_takes_nothing_more(filled, spot):
    with Journal.open(filled) as journal:
        (filled / DATABASE).unlink()
        with pytest.raises(JournalLostError, match="deleted or replaced"):
            journal.append([spot(60)])
        with pytest.raises(JournalWriteError, match="deleted or replaced"):
            journal.append([spot(61)])


def test_only_the_last_thousand_links_are_checked_at_opening(
    folder, draft, spot, filled
):
    with Journal.open(filled) as journal:
        journal.append([spot(n) for n in range(1500)])
    tamper(filled, "UPDATE events SET operator = 'EX-OP2' WHERE seq = 500")

    with Journal.open(filled) as journal:
        assert journal.opening.links_checked == 1000
        assert [f.seq for f in journal.walk(1, 2000).faults] == [500]
    tamper(filled, "UPDATE events SET operator = 'EX-OP2' WHERE seq = 542")
    found = damage(filled)
    assert found.readable_to is None
    assert "not known yet" in str(found)


def test_a_cut_file_is_never_a_shorter_history(filled):
    whole = (filled / DATABASE).read_bytes()
    for length in range(0, len(whole), 1024):
        (filled / DATABASE).write_bytes(whole[:length])
        with pytest.raises(DamagedJournalError):
            Journal.open(filled)


def test_a_flipped_bit_is_said_or_changed_nothing(filled):
    with ReadOnlyJournal.open(filled) as reader:
        original = list(reader.entries())
    whole = (filled / DATABASE).read_bytes()
    chance = random.Random(7)
    said = 0
    for _ in range(150):
        flipped = bytearray(whole)
        flipped[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
        (filled / DATABASE).write_bytes(flipped)
        try:
            with Journal.open(filled) as journal:
                assert list(journal.entries()) == original
                assert journal.head.seq == 41
        except (DamagedJournalError, NewerJournalError, JournalWriteError):
            said += 1

    # Most bits of a small file are free space or rebuildable tables.
    assert said > 15


def test_a_reader_reads_a_damaged_journal_as_far_as_it_goes(filled):
    tamper(filled, "UPDATE events SET payload = '{' WHERE seq = 20")

    with ReadOnlyJournal.open(filled) as reader:
        reading = reader.entries()
        assert [next(reading).seq for _ in range(19)] == list(range(1, 20))
        with pytest.raises(DamagedJournalError, match="up to 19 can still be read"):
            next(reading)
        assert [entry.seq for entry in reader.entries(after=20)] == list(range(21, 42))
        (fault,) = reader.walk(1, 100).faults
        assert fault.seq == 20


def test_a_row_that_cannot_be_read_at_all_is_walked_round(filled):
    tamper(
        filled, "UPDATE events SET payload = CAST(x'ff' AS TEXT) WHERE seq IN (20, 21)"
    )

    with ReadOnlyJournal.open(filled) as reader:
        report = reader.walk(1, 100)
        sentences = [fault.sentence for fault in report.faults]
        assert sentences == ["Entry 20 cannot be read.", "Entry 21 cannot be read."]
        assert reader.walk(22, 100).faults == ()
        assert reader.walk_index(1, 100).faults == ()


@pytest.mark.parametrize("gone", ["seq > 38", "seq BETWEEN 20 AND 38", "seq = 41"])
def test_a_walk_names_what_is_missing_at_the_end_of_its_slice(filled, gone):
    tamper(filled, f"DELETE FROM events WHERE {gone} AND seq < 41")  # noqa: S608

    with ReadOnlyJournal.open(filled) as reader:
        whole = reader.walk(1, 41)
        sliced = [fault for n in range(1, 41, 5) for fault in reader.walk(n, 5).faults]

    missing = {"seq > 38": 39, "seq BETWEEN 20 AND 38": 20, "seq = 41": None}[gone]
    firsts = [fault.seq for fault in whole.faults]
    assert firsts == ([missing] if missing else [])
    assert bool(sliced) == bool(firsts)


def test_there_is_nothing_to_read_where_there_is_no_journal(tmp_path):
    with pytest.raises(JournalMissingError, match="no journal"):
        ReadOnlyJournal.open(tmp_path)


def test_a_file_in_the_place_of_the_folder_is_said(tmp_path):
    (tmp_path / "file").write_text("")

    with pytest.raises(JournalWriteError, match="choose another"):
        Journal.open(tmp_path / "file")


def test_the_last_beat_is_what_was_beaten_last(filled, draft):
    now = draft(None).at
    with Journal.open(filled) as journal:
        assert journal.last_beat() is None
        for s in range(3):
            journal.beat(now.plus(s * 1000))
        assert journal.last_beat() == now.plus(2000)
    with ReadOnlyJournal.open(filled) as reader:
        assert reader.last_beat() == now.plus(2000)
    with Journal.open(filled) as journal:
        assert journal.last_beat() == now.plus(2000)
    assert json.loads((filled / HEARTBEAT).read_bytes()[17:512])[0] == 2


def beat_of(folder, draft, **more):
    """Beat as the program does, then close; return the beat's record."""
    with Journal.open(folder) as journal:
        journal.beat(draft(None).at)
    record = read_slots(folder / HEARTBEAT)
    if more:
        heart = SlotFile(folder / HEARTBEAT)
        heart.write(record | more)
        heart.close()
    return record


def test_a_heartbeat_names_its_store_and_its_last_entry(filled, draft):
    record = beat_of(filled, draft)

    assert record["seq"] == 41
    assert record["store"] == read_slots(filled / WITNESS)["store"]


def test_a_heartbeat_of_another_store_is_said_and_not_believed(filled, draft):
    beat_of(filled, draft, store="0" * 64, seq=99)

    with Journal.open(filled) as journal:
        (note,) = journal.opening.notes
        assert journal.opening.damage == ()
        assert journal.last_beat() is None
    assert "another store" in note
    with ReadOnlyJournal.open(filled) as reader:
        assert reader.last_beat() is None


def test_a_heartbeat_that_names_no_store_is_still_one(filled, draft):
    heart = SlotFile(filled / HEARTBEAT)
    at = draft(None).at
    heart.write({"wall_ms": 1, "offset_min": 2, "mono_ms": 3, "boot": at.boot})
    heart.close()

    with Journal.open(filled) as journal:
        assert journal.opening.notes == ()
        assert journal.last_beat() == Instant(1, 2, 3, at.boot)


def test_an_older_copy_with_its_own_witness_is_found_by_the_heartbeat(
    filled, tmp_path, draft, spot
):
    older = shutil.copytree(filled, tmp_path / "older")
    with Journal.open(filled) as journal:
        journal.append([spot(50)])
    beat_of(filled, draft)
    for name in (DATABASE, WITNESS):
        shutil.copy2(older / name, filled / name)

    (finding,) = damage(filled).findings
    assert finding.startswith("It ends at entry 41, but the program was alive with")
    assert finding.endswith("entry 42: this is an older copy.")


def test_a_journal_deleted_with_its_witness_is_not_begun_anew(filled, draft):
    beat_of(filled, draft)
    (filled / DATABASE).unlink()
    (filled / WITNESS).unlink()

    assert damage(filled).findings == (
        "journal.sqlite is gone, but 41 entries were in it.",
    )


@pytest.mark.parametrize(
    "foreign",
    [
        "CREATE TRIGGER more AFTER INSERT ON events BEGIN DELETE FROM parts; END",
        "CREATE TABLE more (x)",
        "CREATE VIEW more AS SELECT 1",
    ],
)
def test_what_was_added_to_the_tables_is_damage(filled, foreign):
    with closing(sqlite3.connect(filled / DATABASE)) as db:
        db.execute(foreign)

    assert damage(filled).findings == (
        "Its tables or their guards are not as they were laid out.",
    )


def test_a_commit_waits_for_no_reader_longer_than_a_look(filled, spot):
    with (
        Journal.open(filled) as journal,
        closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as reader,
    ):
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM events").fetchone()
        clock = RealClock()
        begun = clock.now()
        with pytest.raises(JournalBusyError):
            journal.append([spot(60)])
        waited_ms = clock.now().since(begun)
        reader.execute("COMMIT")
        journal.append([spot(60)])

        assert journal.head.seq == 42
    assert waited_ms < 200


@pytest.mark.parametrize(
    "cell",
    [
        "operator = x'4558'",
        "channel = 'nobody'",
        "boot = x'07'",
        "wall_ms = 'noon'",
        "wall_ms = -1",
        "wall_ms = 9000000000000000",
        "offset_min = 1440",
        "mono_ms = 1.5",
        "id = x''",
        "batch = 'one'",
    ],
)
def test_a_cell_that_no_entry_can_have_is_damage_and_no_crash(filled, cell):
    tamper(filled, f"UPDATE events SET {cell} WHERE seq = 20")  # noqa: S608

    with ReadOnlyJournal.open(filled) as reader:
        with pytest.raises(DamagedJournalError, match="Entry 20 cannot be understood"):
            list(reader.entries())
        assert len(list(reader.readable(0, 41))) == 40
        assert reader.walk(1, 41).faults
        assert any(reader.index_faults(41))
