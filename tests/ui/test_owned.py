"""The shelf by keys: a field says what is wrong while it is typed in, Enter keeps."""

import pytest
from PySide6.QtTest import QTest

from benchassist.ui.form import FormPage, Wrong
from tests.ui.screens import Moment, Stage

AT_WORK = Moment("day", "09:06:47 choose-part")


@pytest.fixture
def stage(tmp_path):
    """The window of a bench at work."""
    made = Stage(AT_WORK, tmp_path)
    yield made
    made.close()


def keys(stage, *names):
    for name in names:
        stage.press(name)


def field(stage, label):
    """Return the field of a label on the form that is open."""
    form = stage.window.findChild(FormPage)
    return next(
        part for part in form._inputs.values() if part.accessibleName() == label
    )


def typed(stage, label, text):
    part = field(stage, label)
    part.selectAll()
    QTest.keyClicks(part, text)


def told(stage):
    """Return what the fields say is wrong."""
    return [each.text() for each in stage.window.findChildren(Wrong) if each.text()]


def hold(stage):
    """Keep Enter down for two seconds."""
    button = next(b for b in stage.bench.hands._buttons if b.option.key == "Enter")
    stage.bench.hands.press(button)
    for _ in range(22):
        stage.look()


def test_a_lamps_beam_is_typed_over_with_a_reason_and_held(stage):
    keys(stage, "R", "3", "1")
    typed(stage, "Width it lights evenly, mm", "wide")
    assert told(stage) == ["“wide” is not a number."]
    typed(stage, "Width it lights evenly, mm", "7,5")
    assert told(stage) == []
    stage.press("Return")
    assert "Why it changes" not in told(stage)
    typed(stage, "Why it changes", "measured on paper")
    stage.press("Return")
    hold(stage)

    bench = stage.player.session.bench
    assert bench.lamps["EX-LM-A"].useful_mm == 7.5
    assert bench.filed["lamp", "EX-LM-A"].by == "OP-1"


def test_a_meter_is_entered(stage):
    keys(stage, "R", "6", "8")
    typed(stage, "Code on its label", "EX-MT-1")
    typed(stage, "Name", "lamp meter")
    typed(stage, "It reads", "lamp light")
    typed(stage, "Good until", "31.3.2027")
    assert "2027-03-31" in told(stage)[0]
    typed(stage, "Good until", "2027-03-31")
    stage.press("Return")
    hold(stage)

    assert stage.player.session.bench.meters["EX-MT-1"].until == "2027-03-31"


def test_a_resin_entered_from_the_shelf_leads_back_to_it(stage):
    keys(stage, "R", "1", "8")
    typed(stage, "Your code for it", "EX-RS-9")
    typed(stage, "Lot", "EX-LT-99")
    stage.press("Return")

    assert stage.window.pages._name == "kept material"
    assert "EX-RS-9" in stage.player.session.bench.materials


def test_what_is_retired_is_offered_no_more(stage):
    keys(stage, "R", "3", "9")
    box = field(stage, "Which")
    box.setCurrentIndex(box.findData("EX-LM-D"))
    typed(stage, "Why", "broken")
    stage.press("Return")
    hold(stage)

    bench = stage.player.session.bench
    assert ("lamp", "EX-LM-D") in bench.retired


@pytest.mark.parametrize(
    ("way", "label", "text", "seen"),
    [
        (("E", "8", "7"), "Hydrometer in it", "1.2351", "GlycerineSeen"),
        (("E", "8", "8"), "It shows", "41000", "BoxRead"),
        (("R", "8"), "Flow, L/min", "5", "LimitSet"),
    ],
)
def test_upkeep_is_entered_by_form(stage, way, label, text, seen):
    keys(stage, *way)
    typed(stage, label, text)
    if way[0] == "R":
        typed(stage, "How it is known", "flow gauge")
    stage.press("Return")
    hold(stage)

    last = list(stage.player.session.journal.entries())[-1]
    assert type(last.event).__name__ == seen
