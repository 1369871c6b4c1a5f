"""The bottle is asked at each coat, by the press that wets the brush."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.ui.entry import Entry
from benchassist.ui.form import ScanLine
from benchassist.ui.present.look import look
from tests.ui.screens import MOMENTS, Stage

MINE, NEW = "EX-LT-S1", "EX-LT-S7"
SCAN = f"]d2010950600013435210{NEW}\x1d17400131"


@pytest.fixture
def brush(tmp_path):
    """The window in front of the next patch of a splint's coat."""
    stage = Stage(MOMENTS["brush"], tmp_path)
    yield stage
    stage.close()


def events(stage, kind):
    entries = stage.player.session.journal.entries()
    return [each.event for each in entries if isinstance(each.event, kind)]


def scanned(stage, text):
    """Key 1, then what a scanner types, its Enter included."""
    stage.press("1")
    field = stage.bench.findChild(Entry).findChild(ScanLine)
    plain = Qt.KeyboardModifier.NoModifier
    for letter in text:
        down = QKeyEvent(QEvent.Type.KeyPress, 0, plain, letter)
        QApplication.sendEvent(field, down)
    stage.press("Return")


def wet(stage):
    stage.player.session.handle(cm.PressPedal(long=False), "pedal")
    return events(stage, ev.BrushWetted)[-1].lot


def test_the_press_that_wets_the_brush_says_which_bottle_it_is(brush):
    chosen = len(events(brush, ev.LotChosen))

    assert said(brush) == f"Coat 1 from {MINE}"
    assert wet(brush) == MINE
    assert len(events(brush, ev.LotChosen)) == chosen


def said(stage):
    """What the far headline of the bench says."""
    session = stage.player.session
    return look(session.bench, session.now()).headline


def test_another_bottle_is_scanned_and_then_brushed_from(brush):
    session = brush.player.session
    lot = session.bench.lots[MINE]
    other = lot.__class__("EX-LT-S2", lot.material, "2099-01-31")
    session.handle(cm.FileLibrary(lots=(other,)), "hand")
    brush.look()

    scanned(brush, "ex-lt-s2")

    assert said(brush) == "Coat 1 from EX-LT-S2"
    assert wet(brush) == "EX-LT-S2"
    assert session.bench.parts["EX-28"].work["coat-1"].lots == (MINE, "EX-LT-S2")


@pytest.mark.parametrize(
    ("expires", "material", "told"),
    [
        ("2026-01-31", "EX-RS-S", "expired on 2026-01-31"),
        ("2099-01-31", "EX-ST-V", "wants EX-RS-S"),
    ],
)
def test_a_bottle_that_is_not_to_be_used_is_not_taken(brush, expires, material, told):
    session = brush.player.session
    lot = session.bench.lots[MINE].__class__("EX-LT-9", material, expires)
    session.handle(cm.FileLibrary(lots=(lot,)), "hand")
    brush.look()
    heard = []
    session.subscribe(lambda outcome: heard.append(outcome.refusal))

    scanned(brush, "EX-LT-9")

    assert told in heard[-1].message
    assert wet(brush) == MINE


def test_a_bottle_thrown_away_is_not_taken(brush):
    session = brush.player.session
    lot = session.bench.lots[MINE].__class__("EX-LT-9", "EX-RS-S", "2099-01-31")
    session.handle(cm.FileLibrary(lots=(lot,)), "hand")
    session.handle(cm.CloseLot("EX-LT-9", "dropped"), "hand")
    brush.look()

    scanned(brush, "EX-LT-9")

    assert wet(brush) == MINE


def test_a_new_bottle_at_eleven_is_kept_and_taken_by_two_keys_and_a_scan(brush):
    """1, the scan with its Enter, Enter: nothing else is typed, nothing is stopped."""
    scanned(brush, SCAN)
    brush.press("Return")

    session = brush.player.session
    assert session.bench.lots[NEW].expires == "2040-01-31"
    assert session.bench.lots[NEW].material == "EX-RS-S"
    assert wet(brush) == NEW


def test_a_scan_with_a_lost_separator_says_both_readings_and_takes_neither(brush):
    heard = []
    brush.window.pages.said.connect(heard.append)

    scanned(brush, "0109506000134352" + "10EX-LT-S721SN0007")

    assert "EX-LT-S721SN0007" in heard[-1]
    assert "SN0007" in heard[-1]
    assert wet(brush) == MINE


def test_what_is_brushed_from_counts_as_opened(brush):
    session = brush.player.session

    assert session.bench.bottles[MINE].opened is not None
