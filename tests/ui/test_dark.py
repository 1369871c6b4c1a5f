"""How long the computer was off: asked in the window, answered by a held key."""

import pytest

from benchassist.domain import events as ev
from benchassist.domain.sure import asked
from tests.ui.screens import MOMENTS, Moment, Stage
from tests.ui.test_pages_under_pressure import events, hold

AWAY = Moment(
    "clock_set_while_down",
    "+2m power-loss",
    "+30s call-away\n+90s power-loss 1m up=20s clock=+47m12s\n",
)
HELD = Moment(
    "clock_set_while_down",
    "+10s press",
    "hold-part EX-31 phone\n+60s power-loss 8h up=20s\n",
)


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(moment):
        opened.append(Stage(moment, tmp_path))
        return opened[-1]

    yield open_
    for stage in opened:
        stage.close()


def options(stage):
    card = stage.window.bench._view.card
    return [] if card is None else [each.text for each in card.options]


def test_the_question_is_one_card_with_its_keys_and_a_tap_answers_nothing(open_stage):
    stage = open_stage(MOMENTS["ask how long off"])
    stage.press("1")

    assert options(stage)[0] == "Right, 48 min"
    assert events(stage, ev.DarkTold) == []


def test_a_held_key_confirms_the_clocks_and_the_card_is_gone(open_stage):
    stage = open_stage(MOMENTS["ask how long off"])
    hold(stage, "1")

    (told,) = events(stage, ev.DarkTold)
    assert told.low_ms == told.high_ms == stage.player.session.bench.dark.said[-1]
    assert asked(stage.player.session.bench, stage.player.session.now()) is None
    assert "Not sure" not in options(stage)


def test_not_sure_is_answered_by_its_key(open_stage):
    stage = open_stage(MOMENTS["ask how long off, in alcohol"])
    hold(stage, "3")

    (told,) = events(stage, ev.DarkTold)
    assert (told.low_ms, told.high_ms) == stage.player.session.bench.dark.bounds


@pytest.mark.parametrize("moment", [AWAY, HELD], ids=["away", "on hold"])
def test_on_a_card_of_a_break_the_question_stands_beside_the_way_back(
    open_stage, moment
):
    stage = open_stage(moment)

    assert len(options(stage)) > 3
    assert "Not sure" in options(stage)
