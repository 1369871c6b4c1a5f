"""The pages in the whole window: seen first, then held; and the foot that waits."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QTableView

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.pedal import situation
from benchassist.domain.quiet import quiet_until
from benchassist.domain.state import Soaking
from tests.ui.screens import Moment, Stage

WASHING = Moment("count_crown", "+10s press", "+10s press\n+60s end\n")
DUE = Moment("count_crown", "+10s press", "+10s press\n+125s end\n")
TOUCHED = Moment("o9_touched_dropped", "# A glove", keys=("W", "1", "1"))
HANDED = Moment("o11_two_operators", "expect pedal handed", "+1s end\n")
GLYCERINE = Moment("day", "09:06:47 choose-part", keys=("E", "2"))


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(moment):
        opened.append(Stage(moment, tmp_path))
        return opened[-1]

    yield open_
    for stage in opened:
        stage.close()


def events(stage, kind):
    entries = stage.player.session.journal.entries()
    return [each.event for each in entries if isinstance(each.event, kind)]


def state(stage):
    return stage.player.session.bench


def title(stage):
    return stage.bench._page.accessibleName()


def steps(stage):
    """Return what the page says is to be done."""
    return [each.text for each in stage.bench._page._steps.view]


def cells(stage):
    """Return the cells of the page that is open, row by row."""
    model = stage.window.findChild(QTableView, "cells").model()
    return [
        tuple(
            model.data(model.index(row, column))
            for column in range(model.columnCount())
        )
        for row in range(model.rowCount())
    ]


def hold(stage, key):
    """Hold a key for longer than two seconds, and lift it."""
    code = getattr(Qt.Key, f"Key_{key}")
    for kind, looks in ((QEvent.Type.KeyPress, 22), (QEvent.Type.KeyRelease, 2)):
        event = QKeyEvent(kind, code, Qt.KeyboardModifier.NoModifier, "")
        event.setTimestamp(stage.hands.now().mono_ms)
        QApplication.sendEvent(stage.window.windowHandle(), event)
        for _ in range(looks):
            stage.look()


# --- what now ---------------------------------------------------------------------


def test_a_mishap_is_shown_before_it_is_held_and_a_tap_reports_nothing(open_stage):
    stage = open_stage(TOUCHED)
    shown = steps(stage)
    stage.press("Return")
    tapped = events(stage, ev.MishapReported)
    hold(stage, "Return")

    assert shown[0] == "Glove off, new glove."
    assert shown[1].startswith("Do not abrade")
    assert tapped == []
    assert [each.mishap for each in events(stage, ev.MishapReported)] == ["touched"]
    assert steps(stage) == shown[1:]
    assert stage.window.pages._name == "advice"


def test_a_mishap_is_told_of_the_part_it_was_picked_for(open_stage):
    stage = open_stage(TOUCHED)
    take = cm.TakeIn("EX-99", "EX-RC-C r1", "EX-LT-C1", "EX-LT-C2", lamp="EX-LM-A")
    stage.player.session.handle(take)
    stage.player.session.handle(cm.ChoosePart("EX-99"))
    stage.look()
    hold(stage, "Return")

    assert [each.part for each in events(stage, ev.MishapReported)] == ["EX-29"]
    assert title(stage).startswith("Touched, coat tacked")


def test_whoever_picked_the_wrong_thing_picks_anew(open_stage):
    stage = open_stage(TOUCHED)
    stage.press("0")

    assert stage.bench._page.accessibleName() == "What happened to EX-29?"
    assert events(stage, ev.MishapReported) == []


# --- glycerine --------------------------------------------------------------------


def fill_in(stage, lot):
    stage.window.pages._form._inputs["lot"].setText(lot)
    stage.press("Return")


def test_a_change_of_glycerine_is_held_before_it_is_written_down(open_stage):
    stage = open_stage(GLYCERINE)
    before = len(events(stage, ev.GlycerineFilled))
    fill_in(stage, "EX-GL-9")
    told = len(events(stage, ev.GlycerineFilled))
    stage.press("Return")
    tapped = len(events(stage, ev.GlycerineFilled))
    hold(stage, "Return")

    assert before == told == tapped
    assert events(stage, ev.GlycerineFilled)[-1] == ev.GlycerineFilled(
        "EX-GV-01", "EX-GL-9"
    )
    assert stage.window.pages._name == ""


def test_what_the_bench_would_refuse_is_said_in_the_form(open_stage):
    stage = open_stage(GLYCERINE)
    fill_in(stage, "")

    assert stage.window.pages._name == "glycerine"
    assert stage.window.pages._form._error.text()


# --- people and plan ---------------------------------------------------------------


def test_the_taker_reads_the_hand_over_with_one_key_and_the_foot_waits(open_stage):
    stage = open_stage(HANDED)
    stage.press("Space")
    refused = situation(state(stage), stage.player.session.now())
    stage.press("Return")

    assert refused == "handed"
    assert [each.who for each in events(stage, ev.HandOverRead)] == ["OP-2"]
    assert situation(state(stage), stage.player.session.now()) == "wet-hold"


@pytest.mark.parametrize("key", ["G", "A"])
def test_an_open_page_of_times_counts_on(open_stage, key):
    stage = open_stage(WASHING)
    stage.press(key)
    before = cells(stage)
    for _ in stage.pass_time(3000):
        pass

    assert cells(stage) != before
    assert len(cells(stage)) == len(before)


def test_key_o_leads_to_the_claim_from_anywhere_on_the_bench(open_stage):
    stage = open_stage(WASHING)
    stage.press("O")

    assert title(stage).startswith("People")


def test_an_unconfirmed_operator_is_claimed_by_one_key_and_a_code(open_stage):
    stage = open_stage(Moment("day", "08:40:51 confirm-load", "+11m end\n"))
    assert state(stage).unconfirmed
    stage.press("O")
    stage.bench._parts.entry._field.setText("OP-1")
    stage.press("Return")

    assert not state(stage).unconfirmed
    assert state(stage).signed_by == "OP-1"


# --- the foot at what is due ---------------------------------------------------------


def test_a_short_press_takes_out_once_when_the_foot_is_up_again(open_stage):
    stage = open_stage(DUE)
    stage.press("Space")
    ended = len(events(stage, ev.StageEnded))
    for _ in stage.pass_time(500):
        pass

    assert ended == len(events(stage, ev.StageEnded)) == 1
    assert state(stage).parts["EX-41"].stage.key == "wash-2"
    assert events(stage, ev.DueQuieted) == []


def test_a_long_press_quiets_once_and_lifting_the_foot_takes_nothing_out(open_stage):
    stage = open_stage(DUE)
    hold(stage, "Space")
    for _ in stage.pass_time(500):
        pass
    part = state(stage).parts["EX-41"]

    assert len(events(stage, ev.DueQuieted)) == 1
    assert isinstance(part.phase, Soaking)
    assert quiet_until(state(stage), part, stage.player.session.now()) is not None
