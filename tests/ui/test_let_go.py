"""What is kept down fills its own line; let go too soon is said there, and for a while."""

import pytest
from PySide6.QtCore import QEvent, Qt

from benchassist.domain.pedal_guard import LONG_MS
from benchassist.ui.hold import HOLD_MS, HOLD_WORDS, SAID_MS, TOO_SOON
from benchassist.ui.pedal_line import LET_GO
from tests.ui.screens import MOMENTS, Stage

DOWN, UP = QEvent.Type.KeyPress, QEvent.Type.KeyRelease


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(name):
        opened.append(Stage(MOMENTS[name], tmp_path))
        return opened[-1]

    yield open_
    for made in opened:
        made.close()


def pass_ms(stage, ms):
    for _ in range(ms // 100):
        stage.look()


def foot(stage, kind):
    stage._edge(kind, Qt.Key.Key_Space, " ")
    stage.look()


def test_the_pedal_line_fills_with_what_a_long_press_does_and_then_it_is_done(
    open_stage,
):
    stage = open_stage("do by hand")
    line, part = stage.bench._parts.pedal, stage.player.session.bench.focus
    pass_ms(stage, 1500)  # the screen has settled
    before = stage.player.session.bench.parts[part].at
    usual = line.view

    foot(stage, DOWN)
    assert (line.share, line.view) == (0.0, usual)
    pass_ms(stage, 700)
    assert line.share == pytest.approx(800 / LONG_MS, abs=0.1)
    assert line.view.text == "keep down: done"
    pass_ms(stage, LONG_MS)

    assert stage.player.session.bench.parts[part].at == before + 1
    assert line.share == 0.0


def test_a_foot_that_lets_go_too_soon_is_told_so_in_its_line_and_a_tap_is_not(
    open_stage,
):
    stage = open_stage("do by hand")
    line = stage.bench._parts.pedal
    pass_ms(stage, 1500)
    usual = line.view
    foot(stage, DOWN)
    foot(stage, UP)
    pass_ms(stage, 200)
    assert line.view == usual

    pass_ms(stage, 1000)
    foot(stage, DOWN)
    pass_ms(stage, 900)
    foot(stage, UP)
    pass_ms(stage, 200)

    assert line.view == LET_GO
    assert line.share == 0.0
    pass_ms(stage, SAID_MS)
    assert line.view == usual


def words(button):
    return [run.text for run in button.runs()]


def test_a_hand_that_lets_go_too_soon_is_told_so_on_what_it_held(open_stage):
    stage = open_stage("ask load")
    button = next(b for b in stage.bench.hands._buttons if b.option.key == "Enter")
    assert HOLD_WORDS in words(button)

    stage._edge(DOWN, Qt.Key.Key_Return, "")
    pass_ms(stage, HOLD_MS // 2)
    stage._edge(UP, Qt.Key.Key_Return, "")
    pass_ms(stage, 200)

    assert set(TOO_SOON) & set(words(button))
    pass_ms(stage, SAID_MS)
    assert HOLD_WORDS in words(button)
