"""A label scanned where nothing is filled in: its part comes, and nothing else does."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from benchassist.domain import commands as cm
from benchassist.scan.reading import PART
from benchassist.ui.present.forms import GS_SHOWN
from benchassist.value import replace
from tests.ui.screens import Moment, Stage

BUSY = Moment("day", "08:40:51 confirm-load", "08:40:45 end")
# Before and after the brush of coat 1 is wetted.
DRY = Moment(
    "o1_plain_crown", "+3s press                           # coat 1", "+1s end\n"
)
WET = Moment(
    "o1_plain_crown", "+15s press                          # the walk", "+1s end\n"
)
GS = "\x1d"
# The GTIN of GS1's own examples with its check digit; the lots are invented.
BOTTLE = "01095060001343521729022810"


def scan(stage, text, *, apart=4):
    """Type a label as fast as a scanner does, Enter behind it."""
    for c in f"{text}\r":
        stage.hands.ms += apart
        key = Qt.Key.Key_Return if c == "\r" else ord(c.upper())
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            chord = Qt.KeyboardModifier.ControlModifier if c == GS else None
            event = QKeyEvent(kind, key, chord or Qt.KeyboardModifier.NoModifier, c)
            event.setTimestamp(stage.hands.now().mono_ms)
            QApplication.sendEvent(stage.window.windowHandle(), event)
    for _ in range(4):
        stage.look()


def told(stage):
    return stage.window.bench._view.message


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(moment):
        opened.append(Stage(moment, tmp_path))
        return opened[-1]

    yield open_
    for stage in opened:
        stage.close()


def state(stage):
    return stage.player.session.bench


def entries(stage):
    return len(list(stage.player.session.journal.entries()))


def other(stage):
    bench = state(stage)
    return next(part for part in bench.in_flight if part.code != bench.focus)


def test_our_own_label_brings_its_part_to_the_front_and_presses_nothing(open_stage):
    stage = open_stage(BUSY)
    part = other(stage)
    before = entries(stage)

    scan(stage, f"{PART}{part.code}")

    assert state(stage).focus == part.code
    assert entries(stage) == before + 1
    assert stage.window.pages._name == ""
    assert part.code in told(stage)


def test_a_scan_with_spaces_is_not_the_pedal_and_opens_no_page(open_stage):
    stage = open_stage(BUSY)
    before = entries(stage)

    scan(stage, "NO LABEL 1 OF OURS 7")

    assert entries(stage) == before
    assert stage.window.pages._name == ""
    assert stage.window.pedal.guard.counts == {}


def test_enter_behind_a_scan_confirms_nothing_on_a_form(open_stage):
    """A list has the focus there: its Enter would hand the form in."""
    stage = open_stage(Moment("day", BUSY.until, BUSY.more, keys=("L", "2")))
    assert stage.window.pages._name == "handle-bottle"
    part = other(stage)
    before = entries(stage)

    scan(stage, f"{PART}{part.code}")

    assert entries(stage) == before + 1
    assert state(stage).focus == part.code


def test_while_resin_is_wet_a_label_is_only_read_out(open_stage):
    stage = open_stage(WET)
    take_in(stage, "EX-77")
    stage.player.session.handle(cm.ChoosePart("EX-21"))
    before = entries(stage)

    scan(stage, f"{PART}EX-77")

    assert entries(stage) == before
    assert state(stage).focus == "EX-21"
    assert "It stays behind: EX-21 is wet." in told(stage)


def test_the_wet_part_itself_comes_back_by_its_label(open_stage):
    stage = open_stage(WET)
    take_in(stage, "EX-77")

    scan(stage, f"{PART}EX-21")

    assert state(stage).focus == "EX-21"


def take_in(stage, code):
    lamp = {"lamp": "EX-LM-A", "box": "EX-BX-1", "vessel": "EX-GV-01"}
    command = cm.TakeIn(
        code, "EX-RC-C r1", "EX-LT-C1", "EX-LT-C2", reason="no stain", **lamp
    )
    assert stage.player.session.handle(command).refusal is None


def test_an_unknown_code_is_one_sentence(open_stage):
    stage = open_stage(BUSY)

    scan(stage, f"{PART}EX-9999")

    assert "EX-9999 is not on this bench: look at the label again." in told(stage)


def test_another_bottle_is_offered_to_the_part_in_front_and_held(open_stage):
    stage = open_stage(DRY)
    coat = state(stage).lots["EX-LT-C2"]
    fresh = replace(coat, code="EX-LT-C7", expires="2029-02-28")
    stage.player.session.handle(cm.FileLibrary(lots=(fresh,)))

    scan(stage, f"{BOTTLE}EX-LT-C7")
    assert told(stage).startswith("EX-LT-C7: ")
    assert state(stage).parts["EX-21"].coat_lot == "EX-LT-C2"
    hold(stage, "Return")

    assert state(stage).parts["EX-21"].coat_lot == "EX-LT-C7"


def test_the_bottle_on_record_is_named_and_nothing_is_asked(open_stage):
    stage = open_stage(DRY)

    scan(stage, f"{BOTTLE}EX-LT-C2")

    assert told(stage).endswith("It is on record for EX-21 as it is.")
    assert stage.window.pages._name == ""


def test_while_the_brush_is_wet_another_bottle_is_only_named(open_stage):
    stage = open_stage(WET)
    coat = state(stage).lots["EX-LT-C2"]
    fresh = replace(coat, code="EX-LT-C7", expires="2029-02-28")
    stage.player.session.handle(cm.FileLibrary(lots=(fresh,)))

    scan(stage, f"{BOTTLE}EX-LT-C7")

    assert stage.window.pages._name == ""
    assert "EX-21 is wet" in told(stage)


def test_a_bottle_that_is_new_fills_its_form(open_stage):
    stage = open_stage(BUSY)

    scan(stage, f"{BOTTLE}EX-LT-C9{GS}")

    assert stage.window.pages._name == "bottle"
    assert stage.window.pages._form.values()["scan"] == f"{BOTTLE}EX-LT-C9{GS_SHOWN}"


def hold(stage, name):
    """Keep a key down for longer than two seconds."""
    code = getattr(Qt.Key, f"Key_{name}")
    stage._edge(QEvent.Type.KeyPress, code, "")
    for _ in range(25):
        stage.look()
    stage._edge(QEvent.Type.KeyRelease, code, "")
    stage.look()


def test_keys_of_a_hand_go_where_they_went(open_stage):
    stage = open_stage(BUSY)

    stage.press("N")

    assert stage.window.pages._name == "intake"
