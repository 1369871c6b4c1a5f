"""A tap acts at once, a hold after two seconds, and no keyboard restarts it."""

import pytest
from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QWidget

from benchassist.ui.entry import complaint_about
from benchassist.ui.hands import Hands, OptionGroup
from benchassist.ui.hold import HOLD_MS, Hold
from benchassist.ui.view import Option

TAP = Option("go on", "1", "tapped")
HELD = Option("start", "2", "held", hold=True)


@pytest.fixture
def hands(clock, ticker, qapp):
    owner = QObject()
    made = Hands(clock, ticker, owner)
    made.owner = owner
    return made


@pytest.fixture
def group(qtbot, themes, hands):
    parent = QWidget()
    qtbot.addWidget(parent)
    made = OptionGroup(themes(), hands, parent)
    made.show_view((TAP, HELD))
    made.resize(600, 120)
    parent.resize(600, 120)
    parent.show()
    hands.show_buttons(made.buttons())
    yield made
    parent.hide()


@pytest.fixture
def chosen(hands):
    heard = []
    hands.chosen.connect(heard.append)
    return heard


def test_a_tap_acts_when_the_key_goes_down(hands, group, chosen):
    assert hands.key_down("1")

    assert chosen == [TAP]


def test_a_key_that_nothing_wants_is_left_to_others(hands, group, chosen):
    assert not hands.key_down("9")

    assert chosen == []


def test_a_hold_acts_after_two_seconds_and_once(hands, group, chosen, pass_time):
    hands.key_down("2")
    pass_time(HOLD_MS - 100)
    early = list(chosen)
    pass_time(3000)

    assert early == []
    assert chosen == [HELD]


def test_a_hold_fills_a_bar_that_empties_when_let_go(hands, group, chosen, pass_time):
    button = group.buttons()[1]
    hands.key_down("2")
    pass_time(1000)
    half = button.share
    hands.key_up("2")

    assert half == pytest.approx(0.5)
    assert button.share == 0.0
    pass_time(3000)
    assert chosen == []


def test_a_key_that_is_pressed_again_while_held_does_not_restart(
    hands, group, chosen, pass_time
):
    hands.key_down("2")
    pass_time(1500)
    hands.key_down("2")
    pass_time(500)

    assert chosen == [HELD]


def test_another_key_lifted_does_not_end_a_hold(hands, group, chosen, pass_time):
    hands.key_down("2")
    pass_time(1000)
    hands.key_up("1")
    pass_time(1000)

    assert chosen == [HELD]


def test_a_stall_never_completes_a_hold_whose_release_may_lie_unread(
    hands, group, chosen, clock, ticker
):
    ticker.look()
    hands.key_down("2")
    clock.advance(5000)
    ticker.look()
    stalled = list(chosen)
    hands.key_up("2")
    clock.advance(100)
    ticker.look()

    assert stalled == []
    assert chosen == []


def test_a_hold_ends_when_its_option_is_no_longer_offered(
    hands, group, chosen, pass_time
):
    hands.key_down("2")
    pass_time(1000)
    group.show_view((TAP, Option("start", "2", "another", hold=True)))
    hands.show_buttons(group.buttons())
    pass_time(3000)

    assert chosen == []


def test_a_hold_survives_a_look_that_offers_the_same_option(
    hands, group, chosen, pass_time
):
    hands.key_down("2")
    pass_time(1000)
    group.show_view((TAP, Option("start", "2", "held", hold=True)))
    hands.show_buttons(group.buttons())
    pass_time(1000)

    assert chosen == [HELD]


def test_a_hold_survives_the_minute_that_its_words_name(
    hands, group, chosen, pass_time
):
    hands.key_down("2")
    pass_time(1000)
    group.show_view((TAP, Option("start, 10:38", "2", "held", hold=True)))
    hands.show_buttons(group.buttons())
    pass_time(1000)

    assert chosen == [HELD]


def test_an_option_that_needs_an_answer_asks_before_it_is_held(
    qtbot, themes, hands, chosen
):
    parent = QWidget()
    qtbot.addWidget(parent)
    asking = OptionGroup(themes(), hands, parent)
    option = Option("type it", "3", "count", hold=True, needs_number="Flashes")
    asking.show_view((option,))
    hands.show_buttons(asking.buttons())

    hands.key_down("3")

    assert chosen == [option]


def test_a_finger_taps_and_holds_like_a_key(qtbot, group, chosen, pass_time):
    tap, held = group.buttons()
    qtbot.mouseClick(tap, Qt.MouseButton.LeftButton)
    qtbot.mousePress(held, Qt.MouseButton.LeftButton)
    pass_time(1000)
    qtbot.mouseRelease(held, Qt.MouseButton.LeftButton)
    pass_time(2000)
    first = list(chosen)
    qtbot.mousePress(held, Qt.MouseButton.LeftButton)
    pass_time(HOLD_MS)

    assert first == [TAP]
    assert chosen == [TAP, HELD]


def test_options_stand_side_by_side_where_there_is_room(group):
    group.resize(1200, 200)
    group.arrange()
    wide = [button.y() for button in group.buttons()]
    group.resize(260, 300)
    group.arrange()
    narrow = [button.y() for button in group.buttons()]

    assert wide[0] == wide[1]
    assert narrow[0] < narrow[1]


def test_a_button_says_to_a_screen_reader_what_it_does(group):
    assert group.buttons()[1].accessibleName() == "start, key 2, keep down 2 s"


@pytest.mark.parametrize(("now_ms", "share"), [(900, 0.0), (2000, 0.5), (9000, 1.0)])
def test_the_share_of_a_hold_stays_within_its_ends(now_ms, share):
    assert Hold(1000).share(now_ms) == share


@pytest.mark.parametrize("answer", ["2200", "4.2", "4,2", "0"])
def test_a_number_is_taken_with_either_decimal_sign(answer):
    option = Option("type it", "3", "count", needs_number="Flashes")

    assert complaint_about(option, answer) == ""


@pytest.mark.parametrize("answer", ["", "12 s", "1.2.3", "-5", "²"])
def test_what_is_no_number_is_refused_in_one_sentence(answer):
    option = Option("type it", "3", "count", needs_number="Flashes")

    assert complaint_about(option, answer).endswith(".")
