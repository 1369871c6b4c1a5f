"""Fix a record, and enter what was done away, in the whole window by real keys."""

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QTableView

from benchassist.domain import events as ev
from benchassist.domain.ledger import bounds
from benchassist.domain.state import BODY
from benchassist.ui.present.fix import WHYS
from benchassist.ui.view import Option
from tests.ui.screens import Moment, Stage

LIFTED = Moment("told_wrong_box", "# One of the two is found", keys=("Z",))
RELEASED = Moment("told_wrong_released", "+60s put-right", keys=("Z",))
TURNED = Moment("told_wrong_turn", "+20s put-right", keys=("Z",))
WASHING = Moment("late_from_paper", "11:56:00 enter-late", keys=("J",))


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(moment):
        opened.append(Stage(moment, tmp_path))
        return opened[-1]

    yield open_
    for stage in opened:
        stage.close()


def page(stage):
    return stage.window.pages._own["fix"]


def view(stage):
    return page(stage)._view


def tiles(stage):
    return [choice.text for choice in view(stage).choices]


def key_of(stage, *words):
    """Return the key of the first tile with these words; turn pages for it."""
    for _ in range(9):
        for number, choice in enumerate(view(stage).choices, start=1):
            if all(word in f"{choice.text} {choice.line}" for word in words):
                return str(number)
        stage.press("9")
    raise AssertionError(words, tiles(stage))


def pick(stage, *words):
    stage.press(key_of(stage, *words))


def typed(stage, text):
    stage.window.bench._parts.entry._field.setText(text)
    stage.press("Return")


def hold(stage, key="Return"):
    """Hold a key for longer than two seconds, and lift it."""
    code = getattr(Qt.Key, f"Key_{key}")
    for kind, looks in ((QEvent.Type.KeyPress, 22), (QEvent.Type.KeyRelease, 2)):
        event = QKeyEvent(kind, code, Qt.KeyboardModifier.NoModifier, "")
        event.setTimestamp(stage.hands.now().mono_ms)
        QApplication.sendEvent(stage.window.windowHandle(), event)
        for _ in range(looks):
            stage.look()


def told(stage, kind):
    entries = stage.player.session.journal.entries()
    return [each.event for each in entries if isinstance(each.event, kind)]


def dose(stage, code):
    part = stage.player.session.bench.parts[code]
    return bounds(part, layer=BODY, side="")


def test_a_dose_is_put_right_by_keys_and_only_by_the_hold(open_stage):
    stage = open_stage(LIFTED)
    assert view(stage).title == "Fix a record: of which part?"
    pick(stage, "EX-25")
    pick(stage, "Run 1, dose of this part", "2200")
    pick(stage, "Type it")
    typed(stage, "1000")

    last = view(stage).preview
    changes = [(each.what, each.was, each.now) for each in last.effects]
    assert (last.was, last.now) == ("2200", "1000")
    assert ("dose", "2200", "1000") in changes
    assert ("stands at", "Supports off", "First half") in changes
    assert ("to set next", "none", "1200") in changes
    hold(stage)
    assert told(stage, ev.Corrected) == []  # nobody has said why

    stage.press("3")
    stage.press("Return")
    assert told(stage, ev.Corrected) == []  # a tap records nothing
    assert dose(stage, "EX-25") == (2200, 2200)
    hold(stage)

    (event,) = told(stage, ev.Corrected)
    assert event.reason == "Lifted early"
    assert event.parts == ("EX-25",)
    assert dose(stage, "EX-25") == (1000, 1000)
    assert dose(stage, "EX-24") == (2200, 2200)
    assert view(stage).title == "EX-25: what was told wrong?"
    assert "put right before" in view(stage).choices[0].line


def test_a_released_part_is_shown_to_come_under_review_before_it_is_held(open_stage):
    stage = open_stage(RELEASED)
    pick(stage, "Another part")  # the day it was released is over
    typed(stage, "EX-99")
    assert view(stage).empty.startswith("Nothing that a hand told of EX-99")
    stage.press("Escape")
    pick(stage, "Another part")
    typed(stage, "EX-24")
    pick(stage, "Run 2, dose")
    pick(stage, "Type it")
    typed(stage, "300")
    effects = view(stage).preview.effects

    assert [each.sort for each in effects][-3:] == ["gate", "review", "record"]
    assert effects[-1].about == "2026-03-02"
    assert effects[-1].now == "+ 1 row beside"
    stage.press("1")
    hold(stage)
    bench = stage.player.session.bench
    assert [part.code for part in bench.under_review] == ["EX-24"]


def test_what_cannot_be_read_is_said_and_nothing_is_lost(open_stage):
    stage = open_stage(LIFTED)
    pick(stage, "EX-25")
    pick(stage, "Run 1, dose of this part")
    pick(stage, "Type it")
    typed(stage, "many")

    assert "Type the count in digits" in view(stage).empty
    assert page(stage).back() == "One step back"
    stage.press("Escape")
    assert view(stage).title.endswith("what was it really?")
    stage.press("Escape")
    assert view(stage).title == "EX-25: what was told wrong?"
    stage.press("Escape")
    assert view(stage).title == "Fix a record: of which part?"
    stage.press("Escape")
    assert stage.window.pages._name == ""


def test_a_turn_told_and_not_done_has_one_answer_which_is_not_asked(open_stage):
    stage = open_stage(TURNED)
    pick(stage, "EX-27")
    pick(stage, "To side B, turned")
    last = view(stage).preview

    assert last.now == "did not happen"
    assert ("side to the light", "B", "A") in [
        (each.what, each.was, each.now) for each in last.effects
    ]
    stage.press("1")
    hold(stage)
    run = next(iter(stage.player.session.bench.runs.values()))
    assert run.sides == {"EX-27": "A"}


def test_the_mouse_reaches_what_the_keys_reach(open_stage):
    stage = open_stage(LIFTED)
    for word in ("EX-25", "Run 1, run ended"):
        number = int(key_of(stage, word))
        tile = page(stage)._grid.buttons()[number - 1]
        QTest.mouseClick(tile, Qt.MouseButton.LeftButton, pos=QPoint(20, 20))
        stage.look()
    why = page(stage)._options.buttons()[0]
    QTest.mouseClick(why, Qt.MouseButton.LeftButton, pos=QPoint(20, 20))
    stage.look()
    QTest.mousePress(page(stage)._hold, Qt.MouseButton.LeftButton, pos=QPoint(20, 20))
    for _ in range(22):
        stage.look()
    QTest.mouseRelease(page(stage)._hold, Qt.MouseButton.LeftButton, pos=QPoint(20, 20))

    assert len(told(stage, ev.Corrected)) == 1
    assert dose(stage, "EX-24") == (0, 0)


def test_a_reading_and_a_lamp_in_hand_are_within_reach(open_stage):
    stage = open_stage(Moment("told_wrong_coat", "# The blue lamp", keys=("Z",)))
    pick(stage, "EX-24")
    assert key_of(stage, "Lamp in hand", "EX-LM-A")
    stage.press("Escape")
    for _ in range(9):
        if view(stage).title == "Fix a record: of which part?":
            break
        stage.press("Escape")
    pick(stage, "The shelf")
    pick(stage, "EX-LM-A, reading")
    pick(stage, "Type it")
    typed(stage, "50")

    assert {each.sort for each in view(stage).preview.effects} == {"gate"}
    stage.press("2")
    hold(stage)
    assert stage.player.session.bench.readings["EX-LM-A"].value == 50


@pytest.mark.parametrize("sort", WHYS)
def test_every_reason_is_seen_whole_on_the_smallest_bench(open_stage, sort):
    stage = open_stage(LIFTED)
    pick(stage, "EX-25")
    pick(stage, "Run 1, run ended")
    stage.show_on((1366, 768), 0.253, "dark")
    options = page(stage)._options
    texts = (*WHYS[sort], "Write why")
    for chosen in texts:
        marked = [f"✓ {text}" if text == chosen else text for text in texts]
        options.show_view(
            tuple(Option(text, str(n), None) for n, text in enumerate(marked, start=1))
        )
        assert options.height_for(options.width()) <= options.height(), chosen


# --- done away from here -----------------------------------------------------------


def fields(stage):
    found = stage.window.pages._form.findChildren(QLineEdit)
    return {each.accessibleName(): each for each in found}


def cells(stage):
    model = stage.window.findChild(QTableView, "cells").model()
    return [
        tuple(model.data(model.index(row, column)) for column in range(2))
        for row in range(model.rowCount())
    ]


def test_what_was_done_away_is_typed_shown_and_held(open_stage):
    stage = open_stage(WASHING)
    assert "Wash 1" in stage.window.pages._form.accessibleName()
    assert fields(stage)["Began"].text() == "08:55"  # as it was started here
    fields(stage)["Ended"].setText("soon")
    stage.press("Return")
    assert told(stage, ev.EnteredLate) == []
    assert stage.window.focusWidget() is fields(stage)["Ended"]  # the error names it
    fields(stage)["Ended"].setText("08:56")
    stage.press("Return")
    shown = dict(cells(stage))
    assert shown["Stands then at"] == "Wash 2"
    assert "at least 2:00 is needed" in shown["To assess"]
    stage.press("J")
    fields(stage)["Ended"].setText("08:58")
    stage.press("Return")
    assert "To assess" not in dict(cells(stage))
    stage.press("Return")  # a tap records nothing
    assert told(stage, ev.EnteredLate) == []
    hold(stage)

    (event,) = told(stage, ev.EnteredLate)
    assert f"{event.ended.local():%H:%M}" == "08:58"
    assert event.source == "paper card"
    assert stage.player.session.bench.parts["EX-21"].stage.key == "wash-2"


def test_drying_is_refused_where_it_is_typed(open_stage):
    moment = Moment("late_from_paper", "# Drying is not taken", keys=("J",))
    stage = open_stage(moment)
    fields(stage)["Ended"].setText("09:30")
    stage.press("Return")

    assert told(stage, ev.EnteredLate)[-1].stage == "wash-2"
    assert "not taken from paper" in stage.window.pages._form._error.text()
