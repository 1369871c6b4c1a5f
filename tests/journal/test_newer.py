"""A store that a later program wrote is whole: it is told from damage, and left alone."""

import sqlite3
from contextlib import closing
from typing import ClassVar

import pytest

from benchassist.domain.events import KINDS, Event, ProgramOpened, StageEnded
from benchassist.journal.codec import Codec
from benchassist.journal.errors import DamagedJournalError, NewerJournalError
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.value import value


@value
class Foreseen(Event):
    part: str


@value
class StageEndedLater(StageEnded):
    version: ClassVar[int] = StageEnded.version + 1
    warm: bool = False


@value
class StageEndedOtherwise(StageEnded):
    warm: bool = False


for later in (StageEndedLater, StageEndedOtherwise):
    later.__name__ = "StageEnded"

LATER = {
    "a kind nobody knows": Foreseen("EX-K-01"),
    "a version nobody knows": StageEndedLater("EX-K-01", "wash-1", 1, 1),
    "a field nobody knows": StageEndedOtherwise("EX-K-01", "wash-1", 1, 1),
}


def write_later(folder, draft, event, version="0.9.0"):
    """Write what a later program writes: that it opened the journal, and an event."""
    known = KINDS | {type(event).__name__: type(event)}
    with Journal.open(folder, codec=Codec(known)) as journal:
        events = [ProgramOpened(version, None), event] if version else [event]
        return journal.append([draft(each) for each in events])[-1].seq


@pytest.mark.parametrize("event", LATER.values(), ids=LATER)
def test_a_form_that_is_not_known_is_said_with_who_wrote_it(filled, draft, event):
    seq = write_later(filled, draft, event)

    with ReadOnlyJournal.open(filled) as reader:
        with pytest.raises(NewerJournalError) as told:
            list(reader.entries())
        assert reader.walk(1, seq).faults == ()
        assert reader.walk_index(1, seq).faults == ()
        assert len(list(reader.entries(upto=seq - 1))) == seq - 1

    assert str(told.value) == (
        f"Entry {seq} is whole; this program does not know its form: Bench Assist"
        " 0.9.0 wrote it. Install that version to go on; nothing was changed."
    )


def test_without_a_version_it_is_a_later_one(filled, draft):
    write_later(filled, draft, Foreseen("EX-K-01"), version="")

    with (
        ReadOnlyJournal.open(filled) as reader,
        pytest.raises(NewerJournalError, match="a later version of Bench Assist wrote"),
    ):
        list(reader.entries())


def test_a_form_that_is_not_known_in_a_changed_entry_is_damage(filled, draft):
    seq = write_later(filled, draft, Foreseen("EX-K-01"))
    with closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute("UPDATE events SET payload = '{}' WHERE seq = ?", (seq,))

    with (
        ReadOnlyJournal.open(filled) as reader,
        pytest.raises(DamagedJournalError, match=f"Entry {seq} cannot be understood"),
    ):
        list(reader.entries())


def test_tables_that_a_later_program_made_are_not_made_anew(filled):
    with closing(sqlite3.connect(filled / DATABASE, isolation_level=None)) as db:
        db.execute("UPDATE projections SET version = 99")
    before = (filled / DATABASE).read_bytes()

    with pytest.raises(NewerJournalError, match="later version"):
        Journal.open(filled)

    assert (filled / DATABASE).read_bytes() == before
    with ReadOnlyJournal.open(filled) as reader:
        assert len(list(reader.entries())) == 41


def test_an_opening_that_cannot_be_read_names_no_version(filled, draft):
    """Whose program it was is a help, not a condition: the sentence comes anyhow."""
    seq = write_later(filled, draft, Foreseen("EX-K-01"))
    with closing(sqlite3.connect(filled / DATABASE)) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        db.execute("UPDATE events SET payload = '[' WHERE seq = ?", (seq - 1,))
        db.commit()

    with (
        ReadOnlyJournal.open(filled) as reader,
        pytest.raises(NewerJournalError, match="a later version of Bench Assist"),
    ):
        reader.entry(seq)
