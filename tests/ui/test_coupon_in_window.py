"""A coupon test by real keys and the foot in the whole window, from its page to its end."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from benchassist.domain.coupon import step
from tests.ui.screens import Moment, Stage


@pytest.fixture
def stage(tmp_path, qtbot, _fonts):
    """Return the window before anything was tested, on a lamp with a label."""
    made = Stage(Moment("known_coupon", "begin-coupon EX-LM-L EX-LT-L1"), tmp_path)
    qtbot.addWidget(made.window)
    made.window.resize(1366, 768)  # a badge has room beside its title
    yield made
    made.close()


def run(stage):
    return stage.player.session.bench.coupon


def at(stage):
    found = step(run(stage))
    return found.kind, found.of, found.number


def steady(stage, key):
    """Press a key once what is shown has stood long enough to be meant."""
    for _ in range(15):
        stage.look()
    stage.press(key)


def hold(stage, key):
    """Hold a key for longer than two seconds, and lift it."""
    code = getattr(Qt.Key, f"Key_{key}")
    for kind, looks in ((QEvent.Type.KeyPress, 22), (QEvent.Type.KeyRelease, 2)):
        event = QKeyEvent(kind, code, Qt.KeyboardModifier.NoModifier, "")
        event.setTimestamp(stage.hands.now().mono_ms)
        QApplication.sendEvent(stage.window.windowHandle(), event)
        for _ in range(looks):
            stage.look()


def shown(stage):
    return stage.bench.view


def settle(stage, qtbot):
    def idle():
        stage.look()
        return stage.bench._page is None or stage.bench._page.idle

    qtbot.waitUntil(idle, timeout=20_000)


def test_a_coupon_is_begun_on_its_page_and_walked_by_keys_and_foot(stage, qtbot):
    stage.press("T")
    settle(stage, qtbot)
    assert stage.bench._page.name == "how-well"
    words = [run_.text for run_ in stage.bench._page._steps.runs()]
    assert "No seconds to give" in words
    assert "seconds unknown" in words

    steady(stage, "Return")
    assert stage.bench._page is None
    assert at(stage) == ("blank", "blank", 1)

    steady(stage, "1")  # wiped clean
    assert at(stage) == ("light", "A", 1)
    hold(stage, "Return")  # eyewear on, lamp in hand
    assert stage.player.session.bench.lamp_session.lamp == "EX-LM-L"

    steady(stage, "Space")
    assert at(stage)[0] == "lit"
    for _ in stage.pass_time(3000):
        pass
    steady(stage, "Space")  # the foot breaks it off
    assert at(stage) == ("light", "A", 1)

    steady(stage, "Space")
    for _ in stage.pass_time(9000):
        pass
    assert at(stage) == ("judge", "A", 1)
    steady(stage, "Space")  # the foot judges nothing
    assert at(stage) == ("judge", "A", 1)
    steady(stage, "2")  # gone
    assert at(stage) == ("light", "A", 1)
    assert step(run(stage)).seconds == 15


def test_a_part_in_front_takes_the_screen_and_the_page_brings_the_test_back(
    stage, qtbot
):
    stage.press("T")
    settle(stage, qtbot)
    steady(stage, "Return")
    coupon = run(stage).coupon.id
    stage.press("T")
    settle(stage, qtbot)
    options = [each.option.text for each in stage.bench._page.buttons() if each.option]

    assert f"Go on with coupon {coupon}" in options


@pytest.mark.usefixtures("_fonts")
def test_what_a_test_has_shown_is_on_the_screen_at_its_end(tmp_path, qtbot):
    made = Stage(Moment("known_coupon", "+20s judge-tab yes", "+20s end"), tmp_path)
    qtbot.addWidget(made.window)
    made.window.resize(1366, 768)  # a badge has room beside its title
    assert at(made)[:2] == ("judge", "air")
    steady(made, "1")  # sticky, as it has to be
    settle(made, qtbot)
    words = [run_.text for run_ in made.bench._page._steps.runs()]
    made.close()

    assert any(word.startswith("TESTED HERE") for word in words)


def test_what_is_typed_of_a_lamp_is_on_file(stage):
    session = stage.player.session
    stage.window.pages.open("papers")
    values = {
        "thing": "lamp EX-LM-N",
        "bands": "395-415",
        "mw_cm2": "700",
        "document": "",
        "revision": "",
        "reason": "its label",
    }
    stage.window.pages._submitted("papers", values)

    assert session.bench.lamps["EX-LM-N"].bands == ((395.0, 415.0),)
    assert session.bench.lamps["EX-LM-N"].mw_cm2 == 700


BEHIND = (
    '+1s take-in EX-29 "EX-RC-L r1" EX-LT-L1 coat_lot=EX-LT-L1 lamp=EX-LM-L box=EX-BX-M'
    " vessel=EX-GV-L\n"
)


@pytest.fixture
def behind(tmp_path, _fonts):
    """Return a window in which a part lies before the coupon test of a moment."""
    opened = []

    def open_(until, more=""):
        opened.append(Stage(Moment("known_coupon", until, more + BEHIND), tmp_path))
        opened[-1].show_on((1366, 768), 0.253, "dark")
        return opened[-1]

    yield open_
    for made in opened:
        made.close()


def test_an_open_test_behind_a_part_is_named_in_list_and_next_and_picked_there(behind):
    made = behind("+60s judge-tab yes")
    (test,) = [row for row in made.bench._view.rows if row.code == "T-1"]
    assert (test.now, test.next, test.line) == (True, True, "coupon test: go on")
    assert made.bench._view.next_line == "T-1: coupon test: go on, no hurry"
    for _ in made.bench._ring.stops:
        if made.bench._ring.framed.name != "part T-1":
            made.press("Tab")
    made.press("Return")

    assert run(made).front
    assert made.bench._view.band.code == "T-1"
    assert "T-1" not in {row.code for row in made.bench._view.rows}


def test_a_coupon_in_the_box_behind_a_part_counts_down_until_it_is_over(behind):
    made = behind("+20s box-coupon 2200", "+1s box-coupon 2200\n")
    (test,) = [row for row in made.bench._view.rows if row.code == "T-1"]
    assert (test.now, test.line, test.word) == (False, "coupon in the box", "WAIT")
    assert test.right == "4:34"  # 2200 flashes at 8 a second are 275 s, 1 s ago
    made.clock.advance(274_000)
    made.look()
    (test,) = [row for row in made.bench._view.rows if row.code == "T-1"]
    assert (test.now, test.line, test.word) == (True, "coupon test: go on", "ASK")
