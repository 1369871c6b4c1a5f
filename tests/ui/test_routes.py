"""Story, recall and closing in the whole window, by real keys."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from benchassist.domain import events as ev
from benchassist.domain.recall import Sought
from benchassist.ui.listcard import ListCard
from tests.ui.screens import Moment, Stage
from tests.ui.test_fix import hold, told, typed
from tests.ui.test_ring import tab_to

RECALL = Moment("recall_mix", "# The supplier writes")
CLOSING = Moment("closed_day", "+5s do-routine caps yes")


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(moment, *keys):
        opened.append(Stage(moment, tmp_path))
        opened[-1].show_on((1366, 768), 0.253, "dark")
        for key in keys:
            opened[-1].press(key)
        opened[-1].look()
        return opened[-1]

    yield open_
    for stage in opened:
        stage.close()


def page(stage, name):
    return stage.window.pages._own[name]


def cards(stage, name):
    """Return the cards that are seen, each as its rows in words."""
    return {
        card.view.head: [
            " ".join(filter(None, (row.left, row.middle, row.right)))
            for row in card.view.rows
        ]
        for card in page(stage, name).findChildren(ListCard)
        if card.isVisible() and card.view is not None
    }


def sought(stage, text):
    stage.press("1")
    typed(stage, text)
    stage.look()


def test_a_lot_is_recalled_by_keys_and_what_has_it_is_held(open_stage):
    stage = open_stage(RECALL, "F")
    sought(stage, "EX-LT-C2")
    seen = cards(stage, "find")
    assert seen["KNOWN"] == [
        "EX-61 coat 1, coat 2; released 2 Mar, EX-P2 seen",
        "EX-62 stain 1; tray 1, in work seen",
        "EX-63 chosen as coat; tray 2, in work chosen, not used",
    ]
    assert page(stage, "find")._first.view.number == "0"
    assert page(stage, "find")._first.view.call == ("Bottle away.", "Hold trays 1, 2.")

    stage.press("2")
    assert (
        "EX-LT-M1 put away, offered to no part"
        in cards(stage, "find")["WHAT WILL CHANGE"]
    )
    hold(stage)  # without a reason there is nothing to hold
    assert not told(stage, ev.RecallOpened)
    stage.press("1")
    typed(stage, "letter of 2 March")
    hold(stage)
    (event,) = told(stage, ev.RecallOpened)
    assert (event.thing, event.reason) == ("EX-LT-C2", "letter of 2 March")
    bench = stage.player.session.bench
    assert [part.code for part in bench.under_review] == ["EX-61"]
    assert bench.open_deviations("EX-62")
    assert {"EX-LT-C2", "EX-LT-M1"} <= bench.closed_lots.keys()


def test_a_part_of_a_recall_is_judged_by_keys(open_stage):
    stage = open_stage(RECALL, "F")
    sought(stage, "EX-LT-C2")
    stage.press("2")
    stage.press("1")
    typed(stage, "letter of 2 March")
    hold(stage)
    assert page(stage, "find")._title.view.text == "EX-LT-C2"  # what came of it
    stage.press("5")
    tab_to(stage, "row EX-61")
    stage.press("Return")
    stage.look()
    assert page(stage, "find")._title.view.text == "Judge EX-61"
    stage.press("1")
    stage.window.bench._parts.entry._field.setText("EX-P2 called: comes back")
    hold(stage)
    (closed,) = told(stage, ev.DeviationClosed)
    assert (closed.decision, closed.reason) == (
        "ask prescriber",
        "EX-P2 called: comes back",
    )
    assert stage.player.session.bench.under_review == ()


def test_the_story_of_a_part_that_was_found_is_one_key_from_it(open_stage):
    stage = open_stage(RECALL, "F")
    sought(stage, "EX-LT-C2")
    tab_to(stage, "row EX-62")
    stage.press("Return")
    stage.look()
    assert page(stage, "story")._title.view.text == "Story of EX-62"


def tapped(card, left):
    (at,) = (box.center() for row, box in card.boxes() if row.left == left)
    kind, button = QEvent.Type.MouseButtonPress, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    event = QMouseEvent(kind, at, card.mapToGlobal(at), button, button, none)
    QApplication.sendEvent(card, event)


def test_a_tap_on_a_lot_looks_for_it_and_on_a_part_tells_its_story(open_stage):
    stage = open_stage(RECALL, "F")
    tapped(page(stage, "find")._rest, "EX-LT-C2")
    stage.look()
    assert page(stage, "find")._title.view.text == "EX-LT-C2"
    tapped(page(stage, "find")._rest, "EX-61")
    stage.look()
    assert page(stage, "story")._title.view.text == "Story of EX-61"


def test_the_list_is_kept_to_a_role_and_the_recall_is_of_all(open_stage):
    stage = open_stage(RECALL, "F")
    sought(stage, "EX-LT-C2")
    keys = [
        each.option.key + each.option.text for each in page(stage, "find").buttons()
    ]
    assert keys[-2:] == ["6coat: 2", "7stain: 1"]
    stage.press("7")
    stage.look()
    assert [row.split()[0] for row in cards(stage, "find")["KNOWN"]] == ["EX-62"]
    assert page(stage, "find")._rest.view.right == "stain: 1 of 3 parts; how sure"
    stage.press("2")
    assert len(cards(stage, "find")["WHAT WILL CHANGE"]) == 4
    stage.press("Escape")
    assert len(cards(stage, "find")["KNOWN"]) == 3


def test_a_drill_is_noted_as_an_exercise_and_changes_nothing_else(open_stage):
    stage = open_stage(RECALL, "F")
    before = stage.player.session.bench
    sought(stage, "EX-LT-C2")
    hold(stage, "4")
    (done,) = told(stage, ev.RoutineDone)
    assert (done.routine, done.good) == ("recall-drill", True)
    assert done.note.startswith("EX-LT-C2: 3 found, 0 not known, ")
    assert not told(stage, ev.RecallOpened)
    bench = stage.player.session.bench
    assert (bench.parts, bench.closed_lots) == (before.parts, before.closed_lots)
    stage.press("Escape")
    (row,) = cards(stage, "find")["RECALLS"]
    assert row.startswith("Drill EX-LT-C2")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("EX-LM-A", "lamp"),
        ("EX-BX-1", "box"),
        ("EX-GV-01", "vessel"),
        ("OP-1", "operator"),
        ("EX-61", "part"),
        ("2026-03-02", "day"),
        ("EX-LM-A 2026-03-02..2026-03-03", "lamp"),
    ],
)
def test_whatever_a_record_names_is_found(open_stage, text, kind):
    stage = open_stage(RECALL, "F")
    sought(stage, text)
    found = page(stage, "find")._answer

    assert isinstance(found.sought, Sought)
    assert found.sought.kind == kind
    assert any(each.part == "EX-61" for each in found.known)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("EX-LT-NONE", "Nothing in the record is called"),
        ("2026-13-45x", "is no day"),
    ],
)
def test_what_cannot_be_found_is_said_in_one_sentence(open_stage, text, words):
    stage = open_stage(RECALL, "F")
    sought(stage, text)

    assert words in stage.window._message[0]


def test_the_day_is_closed_check_by_check_and_signed(open_stage):
    stage = open_stage(CLOSING, "Y", "2")
    bench = stage.player.session
    asked = []
    for _ in range(30):
        title = page(stage, "rounds")._title.view.text
        if title == "Close the day":
            break
        asked.append(title)
        stage.press("1")
        stage.look()
    assert len(asked) == len(set(asked)) == 16
    assert page(stage, "rounds")._counts.view[0] == ("0", "in this morning")
    stage.press("1")
    stage.window.bench._parts.entry._field.setText("OP-1")
    hold(stage)
    (signed,) = told(stage, ev.DaySigned)
    assert signed.stood[0][0] == "EX-71"
    assert bench.bench.signed.who == "OP-1"
    assert page(stage, "rounds")._title.view.text == "The day is signed"


def keep_down(stage, ms):
    for kind, looks in ((QEvent.Type.KeyPress, ms // 100), (QEvent.Type.KeyRelease, 2)):
        stage._edge(kind, Qt.Key.Key_Space, " ")
        for _ in range(looks):
            stage.look()


def test_the_foot_walks_the_route_check_by_check_and_leaves_the_name_to_the_hand(
    open_stage,
):
    stage = open_stage(CLOSING, "Y", "2")
    rounds, slim = page(stage, "rounds"), stage.window.bench._parts.slim
    for _ in range(30):
        title, done = rounds._title.view.text, len(told(stage, ev.RoutineDone))
        if title == "Close the day":
            break
        for _ in range(13):  # the screen settles, then a tap says which it is
            stage.look()
        keep_down(stage, 100)
        assert rounds._title.view.text == title
        assert slim.view.slim.pedal in ("says which", "nothing")
        by_hand = slim.view.slim.pedal == "nothing"
        for _ in range(10):
            stage.look()
        keep_down(stage, 1700)
        assert len(told(stage, ev.RoutineDone)) == done + (not by_hand)
        if by_hand:
            assert stage.window._message[0] == "Where it stays is chosen by hand."
            stage.press("1")
        stage.look()
    assert rounds._title.view.text == "Close the day"
    for _ in range(13):
        stage.look()
    keep_down(stage, 100)
    assert stage.window._message[0] == "The day is signed by hand."
    stage.press("Escape")
    stage.press("Escape")
    assert stage.window.pages.check is None


def test_a_page_fills_its_pedal_while_the_foot_is_down_and_says_when_it_was_let_go(
    open_stage,
):
    stage = open_stage(CLOSING, "Y", "2", "1")
    slim = stage.window.bench._parts.slim
    for _ in range(13):
        stage.look()
    stage._edge(QEvent.Type.KeyPress, Qt.Key.Key_Space, " ")
    for _ in range(9):
        stage.look()
    assert 0.4 < slim.view.share < 0.8
    assert slim.view.off == "good"
    stage._edge(QEvent.Type.KeyRelease, Qt.Key.Key_Space, " ")
    for _ in range(2):
        stage.look()
    assert (slim.view.share, slim.view.off) == (0.0, "let go too soon")


def test_a_check_may_be_put_off_and_the_route_goes_on_where_it_was(open_stage):
    stage = open_stage(CLOSING, "Y", "2")
    first = page(stage, "rounds")._title.view.text
    stage.press("4")
    stage.look()
    assert page(stage, "rounds")._title.view.text != first
    stage.press("1")
    stage.press("D")  # something else in between
    stage.press("Y")
    rows = cards(stage, "rounds")["THEN"]
    assert any(each.startswith(first) and "put off" in each for each in rows)
    assert len(rows) == 14


def test_what_is_amiss_is_typed_and_stays_on_top(open_stage):
    stage = open_stage(CLOSING, "Y", "2", "2")
    typed(stage, "cap of the stain is missing")
    (done,) = [e for e in told(stage, ev.RoutineDone) if not e.good]
    assert done.note == "cap of the stain is missing"
    stage.press("Escape")
    (first, *_) = cards(stage, "rounds")["DUE, THE LONGEST OVERDUE FIRST"]
    assert "was not good" in first


def test_the_story_of_a_part_that_left_is_one_key_and_its_code(open_stage):
    stage = open_stage(RECALL, "P", "3")
    typed(stage, "EX-61")
    stage.look()
    seen = cards(stage, "story")
    assert page(stage, "story")._title.view.text == "Story of EX-61"
    assert "body 4400 of 4400" in seen["DOSE"]
    assert "SIGNED" in seen
    stage.press("2")
    assert any("taken in" in row for row in cards(stage, "story")["ITS WAY"])
    stage.press("PageDown")
    assert page(stage, "story")._cards[0].view.first > 0
    stage.press("Escape")
    assert "DOSE" in cards(stage, "story")


def test_a_story_of_nobody_is_said_and_the_part_in_front_comes_back(open_stage):
    stage = open_stage(RECALL, "P", "3")
    typed(stage, "EX-NOBODY")
    stage.look()
    assert "knows no part" in page(stage, "story")._title.view.line
    stage.press("Escape")
    stage.press("P")
    stage.look()
    assert page(stage, "story")._title.view.text == "Story of EX-63"


def test_the_story_of_a_part_back_from_a_mouth_owes_its_body_nothing(open_stage):
    stage = open_stage(Moment("o8_patient_in_chair", "open-lamp-session EX-LM-A"), "P")
    assert page(stage, "story")._title.view.text == "Story of EX-13"
    assert "body none owed: an earlier visit" in cards(stage, "story")["DOSE"]
