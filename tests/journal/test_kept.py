"""A kept state is believed where an entry of the chain vouches for it."""

import sqlite3
from contextlib import closing

import pytest

from benchassist.domain.events import StateKept
from benchassist.journal import kept
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal


@pytest.fixture
def keep(draft):
    """Keep a state as a session does: the entry first, then the file."""

    def keep(journal, text):
        seq = journal.head.seq
        journal.append([draft(StateKept(kept.digest(text)), channel="tool")])
        journal.keep_state(seq, text)
        return seq

    return keep


def test_without_a_kept_state_there_is_none(journal):
    assert journal.kept_state() == kept.KeptState()
    assert journal.kept_state().amiss == ""


def test_the_newest_is_given(filled, keep, spot):
    with Journal.open(filled) as journal:
        keep(journal, "state at 41 ✓")
        journal.append([spot(50)])
        keep(journal, "state at the end")

        assert journal.kept_state() == kept.KeptState(43, "state at the end")
    with ReadOnlyJournal.open(filled) as reader:
        assert reader.kept_state() == kept.KeptState(43, "state at the end")


def test_two_are_kept(journal, keep, folder):
    for n in range(5):
        keep(journal, str(n))

    assert kept.found(folder) == [5, 4]
    assert {path.name for path in folder.glob("state-*")} == {"state-5", "state-4"}


def _spoil_text(folder):
    (folder / "state-2").write_text("changed")


def _make_folder(folder):
    (folder / "state-2").unlink()
    (folder / "state-2").mkdir()


def _rename(folder):
    (folder / "state-2").replace(folder / "state-3")


def _no_such_entry(folder):
    (folder / "state-2").replace(folder / "state-99")


def _other_digest(folder):
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        db.execute("DROP TRIGGER events_stay_as_they_are")
        made = f'{{"digest":"{kept.digest("changed")}"}}'
        db.execute("UPDATE events SET payload = ? WHERE seq = 3", (made,))
    _spoil_text(folder)


@pytest.mark.parametrize(
    "spoil", [_spoil_text, _make_folder, _rename, _no_such_entry, _other_digest]
)
def test_one_that_does_not_fit_is_passed_over_said_and_set_aside(
    journal, keep, folder, spoil
):
    keep(journal, "first")
    assert keep(journal, "second") == 2
    spoil(folder)

    state = journal.kept_state()

    assert (state.seq, state.text) == (1, "first")
    assert state.amiss.count(".") == 1
    assert kept.found(folder) == [1]
    assert len(list(folder.glob("set-aside-state-*"))) == 1
    assert journal.kept_state() == kept.KeptState(1, "first")


def test_a_reader_moves_nothing(journal, keep, folder):
    keep(journal, "first")
    _spoil = (folder / "state-1").write_text("changed")

    with ReadOnlyJournal.open(folder) as reader:
        assert reader.kept_state().spoilt == (1,)

    assert kept.found(folder) == [1]
