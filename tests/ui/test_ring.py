"""Tab walks all that can be done on the bench, in reading order; Enter does it."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QApplication

from benchassist.domain.state import Bench as State
from benchassist.ui.hold import HOLD_MS, Pressable
from benchassist.ui.light import LIGHT_PAGES
from tests.ui.every_page import pages
from tests.ui.screens import MOMENTS, Stage

BENCHES = [name for name, moment in MOMENTS.items() if not moment.keys]


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(name):
        opened.append(Stage(MOMENTS[name], tmp_path))
        opened[-1].show_on((1366, 768), 0.253, "dark")
        return opened[-1]

    yield open_
    for made in opened:
        made.close()


def names(stage):
    return [stop.name for stop in stage.bench._ring.stops]


def visible_options(stage):
    return {
        f"key {button.option.key}"
        for button in stage.bench.findChildren(Pressable)
        if button.isVisible() and button.option is not None
    }


@pytest.mark.slow
@pytest.mark.parametrize("name", BENCHES)
def test_tab_walks_every_thing_that_can_be_done_once_and_comes_back(open_stage, name):
    stage = open_stage(name)
    ring = stage.bench._ring
    first, walked = ring.framed.name, []
    for _ in ring.stops:
        walked.append(ring.framed.name)
        stage.press("Tab")

    assert ring.framed.name == first
    assert sorted(walked) == sorted(names(stage))
    assert len(set(walked)) == len(walked)
    assert {each for each in walked if each.startswith("key")} == visible_options(stage)
    parts = {row.code for row in stage.bench._parts.rows.seen()}
    if stage.bench._parts.rows.isVisible():
        told = {each.removeprefix("part ") for each in walked if "part" in each}
        assert told | {stage.bench._view.band.code} >= parts
    assert [each for each in walked if each == "place M"] == ["place M"]


def test_the_frame_goes_in_reading_order_and_stands_on_what_it_names(open_stage):
    stage = open_stage("queue")
    ring = stage.bench._ring
    tops = [stop.where.top() for stop in ring.stops if "part" in stop.name]

    assert tops == sorted(tops)
    assert names(stage)[-1].startswith("place")
    assert ring.framed.name == "front"
    stage.press("Tab")
    assert ring.geometry().adjusted(1, 1, -1, -1) == ring.framed.where


def test_a_coupon_in_front_is_framed_and_no_tray_behind_it(open_stage):
    stage = open_stage("coupon before a part")
    framed = stage.bench._ring.framed

    assert "part EX-51" in names(stage)
    assert (framed.name, framed.what) == ("front", "T-1")
    assert framed.where == stage.bench._parts.band.geometry()
    stage.press("Return")
    assert stage.bench._view.band.code == "T-1"


def test_enter_does_what_is_framed(open_stage):
    stage = open_stage("queue")
    ring = stage.bench._ring
    while not ring.framed.name.startswith("part EX-1"):
        stage.press("Tab")
    code = ring.framed.name.removeprefix("part ")
    assert stage.player.session.bench.focus != code

    stage.press("Return")

    state: State = stage.player.session.bench
    assert state.focus == code
    assert ring.framed.name in {"front", "key Enter"}


def test_enter_on_a_place_goes_there(open_stage):
    stage = open_stage("queue")
    while stage.bench._ring.framed.name != "place D":
        stage.press("Backtab")
    stage.press("Return")

    assert stage.window.pages._name == "day"
    assert stage.bench._ring.framed.name == "place Esc"


def test_what_has_to_be_held_is_held_by_enter_and_let_go(open_stage):
    stage = open_stage("ask load")
    ring = stage.bench._ring
    held = stage.bench.hands
    assert ring.framed.name == "key Enter"
    stage._edge(QEvent.Type.KeyPress, Qt.Key.Key_Return, "")
    for _ in range(5):
        stage.look()
    assert held._held is not None
    stage._edge(QEvent.Type.KeyRelease, Qt.Key.Key_Return, "")
    for _ in range(3):
        stage.look()
    assert held._held is None
    for _ in range(HOLD_MS // 100):
        stage.look()
    assert not stage.player.session.bench.loads


# --- pages ----------------------------------------------------------------------------


def framed_inside(page):
    """Return what a page frames itself: a tile, a row, the field that has the focus."""
    tiles = [
        each
        for each in page.findChildren(Pressable)
        if each.isVisible() and getattr(each, "framed", False)
    ]
    field = QApplication.focusWidget()
    return tiles + [field] * (field is not None and page.isAncestorOf(field))


@pytest.mark.slow
def test_on_every_page_exactly_one_thing_is_framed_and_tab_walks_all_of_it(open_stage):
    stage = open_stage("queue")
    bench = stage.bench
    for name in pages(stage):
        page, ring = bench._page, bench._ring
        own = framed_inside(page)
        assert (ring.isVisible(), len(own)) in {(True, 0), (False, 1)}, name
        if not ring.isVisible():
            continue
        first, walked = ring.framed.name, []
        told = {stop.name for stop in ring.stops if stop.kind == "act"}
        assert first.startswith(("key", "row", "place Esc")), name
        assert first == "key Enter" or first not in told, name
        for _ in ring.stops:
            stage.press("Tab")
            walked.append(ring.framed.name)
        assert len(set(walked)) == len(walked), name
        keys = {f"key {each.option.key}" for each in page.buttons() if each.isVisible()}
        assert {each for each in walked if each.startswith("key")} == keys, name
        assert [each for each in walked if each == "place M"] == ["place M"], name


def tab_to(stage, name):
    for _ in stage.bench._ring.stops:
        if stage.bench._ring.framed.name == name:
            return
        stage.press("Tab")
    raise AssertionError(name)


def test_enter_on_a_page_asks_or_goes_back_and_tells_nothing_unchosen(open_stage):
    stage = open_stage("queue")
    stage.press("F")
    assert stage.bench._ring.framed.name == "key 1"
    stage.press("Return")
    assert stage.bench._answers.asking
    assert stage.bench._ring.isHidden()
    stage.press("Escape")
    stage.press("Escape")
    for key in "Y1":
        stage.press(key)
    told = stage.player.session.bench.routines
    assert stage.bench._ring.framed.name == "place Esc"
    stage.press("Return")
    assert stage.window.pages.check is None
    assert stage.player.session.bench.routines == told

    stage.press("E")
    tab_to(stage, "key 8")
    stage.press("Return")
    assert stage.window.pages._name == "upkeep"


def test_arrows_walk_the_tiles_of_a_page_round_and_enter_chooses(open_stage):
    stage = open_stage("queue")
    stage.press("Q")
    ring, walked = stage.bench._ring, []
    for key in ("Right", "Right", "Right", "Down", "Left", "Up", "Up"):
        walked.append(ring.framed.name[-1])
        stage.press(key)
    assert "".join(walked) == "1231463"
    assert ring.framed.name == "key 9"
    stage.press("Return")
    assert stage.window.pages._name == list(LIGHT_PAGES)[8]


def test_a_frame_is_not_kept_on_the_same_key_of_another_question(open_stage):
    stage = open_stage("what now")
    stage.press("Tab")
    assert stage.bench._ring.framed.name == "key 2"
    stage.press("Return")
    stage.look()
    assert stage.bench._ring.framed.name == "key 1"


def test_a_row_of_a_page_is_walked_and_picked(open_stage):
    stage = open_stage("queue")
    stage.press("R")
    stage.press("3")
    tab_to(stage, "row 2")
    ring = stage.bench._ring
    assert ring.geometry().adjusted(1, 1, -1, -1) == ring.framed.where
    stage.press("Return")

    assert stage.window.pages._name == "kept lamp EX-LM-B"


def test_a_card_that_asks_for_one_thing_frames_it(open_stage):
    stage = open_stage("locked")
    assert stage.bench._ring.framed.name == "key O"
    stage.press("Return")

    assert stage.bench._answers.asking
