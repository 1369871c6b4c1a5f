"""A correction on a real journal: live, at opening and behind a kept state it is one."""

import sqlite3

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.ledger import bounds
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import BODY
from benchassist.journal.files import DATABASE
from tests.test_session import DeskOnDisk


@pytest.fixture
def desk(tmp_path):
    """A desk with two crowns past a run that they shared."""
    desk = DeskOnDisk(tmp_path / "bench")
    for code in ("EX-1", "EX-2"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    desk.work("EX-1", "half-1")
    desk.load("EX-1", "EX-2")
    desk.must(cm.StartRun("BX-1"))
    desk.work("EX-1", "supports")
    yield desk
    desk.session.close()


def credited(desk, code):
    return next(
        entry.seq
        for entry in desk.entries
        if isinstance(entry.event, ev.DoseCredited) and entry.event.part == code
    )


def dose(desk, code):
    return bounds(desk.part(code), layer=BODY, side="")


def state(desk):
    bench = desk.bench
    return bench.parts, bench.runs, bench.loads, bench.deviations, bench.fills


def test_live_at_opening_and_behind_a_kept_state_the_parts_are_the_same(desk):
    desk.must(cm.Correct(credited(desk, "EX-2"), "low", "1000", "lifted out"))
    live = state(desk)
    assert (dose(desk, "EX-1"), dose(desk, "EX-2")) == ((2200, 2200), (1000, 1000))

    desk.session.close()  # which keeps the state
    desk.again()
    kept = state(desk)
    desk.killed()
    with sqlite3.connect(desk.folder / DATABASE) as db:
        db.execute("DELETE FROM snapshots")
    db.close()
    desk.again()

    assert kept == live
    assert state(desk) == live
    assert dose(desk, "EX-2") == (1000, 1000)


def test_a_preview_writes_nothing_and_a_refusal_is_on_the_record(desk):
    before = len(desk.entries)
    command = cm.Correct(credited(desk, "EX-2"), "low", "1000", "")
    found = desk.session.preview(command)

    assert not isinstance(found, Refusal)
    assert [change.field for change in found.changes] == ["low", "high", "gone"]
    assert len(desk.entries) == before
    assert desk.do(command).code == "no-reason"
    assert isinstance(desk.entries[-1].event, ev.CommandRefused)


def test_who_watches_puts_nothing_right(desk):
    desk.must(cm.ClaimStation("OP-1"), cm.SetLevel("OP-3", "watch"))
    desk.must(cm.ClaimStation("OP-3"))
    command = cm.Correct(credited(desk, "EX-2"), "low", "1000", "why")

    assert desk.do(command).code == "watching"


def test_what_was_told_stays_on_the_disk_as_it_was_told(desk):
    seq = credited(desk, "EX-2")
    told = desk.session.journal.entry(seq)
    desk.must(cm.Correct(seq, "low", "1000", "lifted out"))

    assert desk.session.journal.entry(seq) == told
    line = next(
        line for line in desk.session.journal.history("EX-2") if line.told.seq == seq
    )
    assert (line.told.event.low, line.entry.event.low) == (2200, 1000)
    last = desk.session.journal.head.seq
    assert desk.session.journal.walk(1, last).faults == ()
