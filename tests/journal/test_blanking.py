import sqlite3
from contextlib import closing

import pytest

from benchassist.domain.events import DeviationOpened, PartChosen, PartScrapped
from benchassist.journal import kept
from benchassist.journal.codec import BLANKED, Codec
from benchassist.journal.errors import UnwritableEventError
from benchassist.journal.files import DATABASE, ROLLBACK
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.rehearsal.memory import MemoryJournal
from tests.journal.conftest import STORE

NAME = "Ermintrude Quux"  # an invented name that should not have been typed


@pytest.fixture
def codec(all_kinds):
    return Codec(kinds=all_kinds)


@pytest.fixture
def act(draft, all_kinds):
    def make(*entries, reason="a name was typed"):
        return draft(all_kinds["TextBlanked"](entries, reason), channel="hand")

    return make


@pytest.fixture
def journal(journal, folder, codec, draft):
    journal.close()
    with Journal.open(folder, codec=codec) as opened:
        opened.append([draft(PartScrapped("EX-K-01", f"called {NAME}"))])
        opened.append(
            [draft(DeviationOpened("EX-D-1", "late", ("EX-K-01",), f"by {NAME}"))]
        )
        opened.append([draft(PartScrapped("EX-K-02", "cracked"))])
        yield opened


def test_the_text_goes_and_everything_else_stays(journal, folder, act, codec):
    before = list(journal.entries())

    entry = journal.blank_text(act(2, 3))

    after = list(journal.entries())
    assert after[0] == before[0]
    assert after[1].event == PartScrapped("EX-K-01", BLANKED)
    assert after[2].event == DeviationOpened("EX-D-1", "late", ("EX-K-01",), BLANKED)
    assert after[3] == before[3]
    assert after[4] == entry
    assert entry.event.entries == (2, 3)
    assert journal.walk(1, 10).faults == ()
    assert journal.walk_index(1, 10).faults == ()
    journal.close()
    with Journal.open(folder, codec=codec) as again:
        assert again.opening.damage == ()
        assert list(again.entries()) == after


def test_no_byte_of_it_stays_in_the_folder(journal, folder, act):
    journal.keep_state(4, f"a state that repeats {NAME}")
    kept.set_aside(folder, 4)
    journal.keep_state(4, f"a state that repeats {NAME}")
    assert NAME.encode() in (folder / DATABASE).read_bytes()

    journal.blank_text(act(2, 3))

    assert NAME.encode() not in (folder / DATABASE).read_bytes()
    assert (folder / ROLLBACK).stat().st_size == 0
    assert not [path.name for path in folder.iterdir() if "state" in path.name]


def test_the_digest_that_stays_is_salted(journal):
    texts = [PartScrapped("EX-K-03", "cracked"), PartScrapped("EX-K-04", "cracked")]
    at = next(journal.entries()).at
    journal.append([_draft(event, at) for event in texts])

    digests = journal._db.execute(
        "SELECT text_digest FROM events WHERE seq IN (4, 5, 6)"
    ).fetchall()

    assert len(set(digests)) == 3


@pytest.mark.parametrize("entries", [(1,), (99,), (2, 2), (2, 1)])
def test_an_act_that_names_no_text_changes_nothing(journal, act, entries):
    before = list(journal.entries())

    with pytest.raises(UnwritableEventError, match="no text"):
        journal.blank_text(act(*entries))

    assert list(journal.entries()) == before
    assert journal.head.seq == 4


def test_a_text_is_blanked_once(journal, act):
    journal.blank_text(act(2))

    with pytest.raises(UnwritableEventError, match="Entry 2 has no text"):
        journal.blank_text(act(2))


def test_the_reason_of_an_act_can_be_blanked_too(journal, act):
    journal.blank_text(act(2, reason=f"removed {NAME}"))
    journal.blank_text(act(5))

    assert [entry.event.reason for entry in journal.entries(4)] == [
        BLANKED,
        "a name was typed",
    ]


def test_the_act_and_the_blanking_cannot_be_had_apart(journal, act, draft):
    with pytest.raises(UnwritableEventError, match="blank_text"):
        journal.append([act(2)])
    with pytest.raises(UnwritableEventError, match="TextBlanked"):
        journal.blank_text(draft(PartScrapped("EX-K-01", "no act")))


def test_a_text_that_is_gone_without_an_act_is_damage(journal, folder, codec):
    journal._db.execute("DROP TRIGGER texts_are_only_blanked")
    journal._db.execute("UPDATE texts SET body = NULL, salt = NULL WHERE seq = 2")

    with ReadOnlyJournal.open(folder, codec) as reader:
        (fault,) = reader.walk(1, 10).faults
    assert fault.sentence == "The text of entry 2 is missing."


def _draft(event, at):
    from benchassist.journal.drafts import Draft  # noqa: PLC0415

    return Draft(at, "EX-OP1", "hand", event)


@pytest.mark.parametrize("by", [1, 4, 5, 99])
def test_a_text_that_no_act_took_away_is_a_fault(journal, folder, act, by):
    at = next(journal.entries()).at
    journal.append([_draft(PartScrapped("EX-K-05", "kept"), at)])
    last = journal.head.seq
    journal.blank_text(act(2))
    journal.close()
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        db.execute("DROP TRIGGER texts_are_only_blanked")
        db.execute(
            "UPDATE texts SET body = NULL, salt = NULL, blanked_by = ? WHERE seq = ?",
            (by if by != 5 else last + 1, last),
        )

    with ReadOnlyJournal.open(folder) as reader:
        faults = reader.walk(1, 99).faults

    assert [fault.seq for fault in faults] == [last] * len(faults)
    assert faults


def test_in_memory_as_on_disk_an_act_is_written_whole_or_not_at_all(act, draft):
    book = MemoryJournal()
    book.append([draft(STORE)])
    before = book.head
    with pytest.raises(UnwritableEventError, match="no text"):
        book.blank_text(act(1))

    assert book.head == before
    book.append([draft(PartChosen("EX-K-01"))])
    assert [entry.seq for entry in book.entries()] == [1, 2]
