"""The real window at real moments: read, found by keys, calm, on both screens.

Each moment is reached through the engine by a rehearsed script and by real keys.
"""

from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QLabel,
    QLineEdit,
    QTableView,
    QWidget,
)

from benchassist.domain import commands as cm
from benchassist.ui.band import StateBand, inks_of
from benchassist.ui.countdown import CountdownView
from benchassist.ui.entry import Entry
from benchassist.ui.foot import Foot
from benchassist.ui.hold import Pressable
from benchassist.ui.ledger import GateList, LedgerBars
from benchassist.ui.lines import FarLine, MessageLine
from benchassist.ui.paint import Painted
from benchassist.ui.panels import DRAWER_KEY, PanelGrid
from benchassist.ui.rail import Rail
from benchassist.ui.rows import RowList
from benchassist.ui.sheet import Steps
from benchassist.ui.sound.sounding import CHECK, OFF
from benchassist.ui.spotmap import WetBar
from benchassist.ui.theme import READ
from benchassist.ui.title import TitleRow
from tests.ui import measures
from tests.ui.measures import LEAST_MM, cap_mm, pixels_of, text_of, texts
from tests.ui.screens import MOMENTS, Stage

pytestmark = pytest.mark.slow  # once, in the checkout

# Width and height in pixels, mm a pixel, theme.
GLASSES = {
    "small dark": ((1366, 768), 0.253, "dark"),
    "small light": ((1366, 768), 0.253, "light"),
    "large dark": ((1920, 1080), 0.277, "dark"),
    "large light": ((1920, 1080), 0.277, "light"),
    "narrow dark": ((1024, 768), 0.253, "dark"),
    "wide dark": ((2560, 1440), 0.233, "dark"),
}
EACH_KIND = {
    *("wait", "do", "hold", "stop", "ask", "queue", "resume card", "what now"),
    *("walk light", "do four panels", "parts", "day", "light", "training"),
}
PAGES = tuple(name for name, moment in MOMENTS.items() if moment.keys)
FLICKER_HZ = 2.0  # the most; WCAG 2 allows three flashes a second

# What is lit at three points of the square a shape is drawn in: its middle, near a
# corner, and halfway between.
PROBES = (0.5, 0.09, 0.25)
SHAPES = {
    "WAIT": (False, False, False),
    "DO": (True, True, True),
    "HOLD": (True, True, False),
    "STOP": (True, False, True),
    "ASK": (False, False, True),
}


@pytest.fixture
def open_stage(tmp_path, _fonts):
    """Return what opens the window of a moment on a screen; closed at the end."""
    opened = []

    def open_(name, glass="small dark"):
        opened.append(Stage(MOMENTS[name], tmp_path))
        opened[-1].show_on(*GLASSES[glass])
        return opened[-1]

    yield open_
    for made in opened:
        made.close()


@pytest.fixture(scope="module")
def stage(moment, tmp_path_factory, _fonts):
    made = Stage(MOMENTS[moment], tmp_path_factory.mktemp("screens"))
    yield made
    made.close()


@pytest.fixture(scope="module")
def seen(stage, glass):
    """Show the moment on a screen in a theme."""
    stage.show_on(*GLASSES[glass])
    return stage


def pytest_generate_tests(metafunc):
    """Take every moment on every screen, the finer ones on three of the four."""
    if "moment" in metafunc.fixturenames:
        pairs = [
            (moment, glass)
            for moment in MOMENTS
            for glass in GLASSES
            if glass in ("small dark", "small light", "large dark")
            or moment in EACH_KIND
        ]
        metafunc.parametrize(("moment", "glass"), pairs, scope="module")


# --- read -------------------------------------------------------------------------


def test_letters_are_as_high_as_the_distance_asks(seen):
    assert not measures.too_small(seen.bench)


def test_no_text_is_cut_covered_or_crossed_by_another(seen):
    assert not measures.cut(seen.bench)
    assert not measures.covered(seen.bench)
    assert not measures.overlapping(seen.bench)


def test_text_stands_out_by_its_roles_and_in_the_picture(seen):
    assert not measures.faint(seen.bench)
    assert not measures.faint_in_picture(seen.bench)


def test_what_is_far_is_there_word_for_word(seen):
    view, runs = seen.bench._view, texts(seen.bench)
    must = text_of(runs, "must")

    if seen.bench._page is not None:
        near = text_of(runs, "near")
        assert view.band.word in near.split()
        assert view.band.code in must
        assert view.slim.next_code in must
        return
    assert text_of(runs, "code") == view.band.code
    assert view.band.word in must.split()
    assert view.next_line in must or (view.next_short and view.next_short in must)
    assert view.pedal_line in must or (view.pedal_short and view.pedal_short in must)
    assert view.headline in must
    if seen.bench._page is None and view.countdown:
        assert text_of(runs, "digits") == view.countdown.big
        assert view.countdown.unit in must


def test_a_card_is_there_word_for_word(seen):
    view = seen.bench._view
    if view.card is None or view.light is not None or seen.bench._page is not None:
        return
    near = text_of(texts(seen.bench), "near")

    for sentence in (view.card.title, *view.card.lines):
        assert sentence in near


def test_the_state_is_told_by_shape_as_well_as_by_word(seen):
    if seen.bench._page is not None:
        return
    band = seen.bench.findChild(StateBand)
    word = band.runs()[0]
    square = band.square()
    picture = band.grab().toImage()

    def lit(share):
        at = square.topLeft() + (square.bottomRight() - square.topLeft()) * share
        seen_there = picture.pixelColor(at.toPoint()).lightness()
        inks = inks_of(seen.bench.theme.palette, word.text)
        return abs(seen_there - _lightness(inks.shape)) < abs(
            seen_there - _lightness(inks.ground)
        )

    assert tuple(lit(share) for share in PROBES) == SHAPES[word.text]


def _lightness(colour):
    return QColor(colour).lightness()


def test_the_mark_of_the_store_is_in_sight(seen, moment):
    mark = "TRAINING" if MOMENTS[moment].kind == "training" else "EXAMPLE"

    assert mark in text_of(texts(seen.bench), "near").split()


def test_controls_of_pages_are_read_near(seen):
    page = seen.bench._page
    if page is None:
        return
    small = [
        part
        for kind in (QLabel, QLineEdit, QComboBox, QTableView)
        for part in page.findChildren(kind)
        if part.isVisible() and cap_mm(part.font(), seen.bench.theme) < LEAST_MM["near"]
    ]

    assert not small


# --- by keys, and by a screen reader ------------------------------------------------


def test_every_button_in_sight_answers_to_a_key_of_its_own(seen):
    buttons = [
        button
        for button in seen.bench.findChildren(Pressable)
        if button.isVisible() and button.option is not None
    ]
    keys = [button.option.key.upper() for button in buttons]

    assert all(keys)
    assert len(set(keys)) == len(keys)
    assert "SPACE" not in keys
    assert set(buttons) == {
        button for button in seen.bench.hands._buttons if button.option is not None
    }


def test_whatever_is_painted_has_a_name_for_a_screen_reader(seen):
    nameless = [
        type(widget).__name__
        for kind in (Painted, RowList, QLineEdit, QComboBox, QTableView)
        for widget in seen.bench.findChildren(kind)
        if widget.isVisible()
        and (not callable(getattr(widget, "runs", None)) or widget.runs())
        and not (widget.accessibleName() or _is_inside_a_box(widget))
    ]

    assert not nameless


def _is_inside_a_box(widget):
    return isinstance(widget.parent(), QComboBox)


def test_all_thirteen_parts_are_in_the_queue_and_within_reach_of_a_key(open_stage):
    stage = open_stage("queue")
    bench = stage.player.session.bench
    rows = stage.bench._view.rows
    reached = {bench.focus}

    for key in dict.fromkeys(row.key for row in rows):
        for _ in bench.in_flight:
            stage.press(key)
            reached.add(stage.player.session.bench.focus)

    assert len(rows) == 9
    assert reached == {part.code for part in bench.in_flight}
    assert len(reached) == 13


def test_the_one_harmed_first_stays_in_sight_whoever_is_in_front(open_stage):
    stage = open_stage("queue")
    first = stage.bench._view.rows[0].code
    stage.window.resize(1366, 640)

    last = stage.bench._view.rows[-1].code
    stage.player.session.handle(cm.ChoosePart(last), "hand")
    stage.look()
    shown = stage.bench.findChild(RowList).seen()

    assert shown[0].code == first
    assert shown[-1].focused
    assert len(shown) < len(stage.bench._view.rows)


# --- what must not be missed ----------------------------------------------------------


@pytest.mark.parametrize("screen", ["small dark", "large light"])
@pytest.mark.parametrize("name", ["wait", "walk light", "stop", "what now"])
def test_that_there_is_no_sound_is_said_as_long_as_it_is_true(open_stage, name, screen):
    stage = open_stage(name, screen)
    palette = stage.bench.theme.palette

    for _ in range(3):
        stage.window.heard = (OFF,)
        stage.hands.ms += 3_600_000
        stage.look()
        told = [run for _, run, _ in texts(stage.bench) if run.text == OFF]

        assert [run.ink for run in told] == [palette.attention]
        assert not measures.covered(stage.bench)
    stage.window.heard = ()
    stage.look()

    assert OFF not in text_of(texts(stage.bench), "near")


LATE = "EX-RC-12 and 11 more: Tacked coat. Cover it. (K: quiet)"


@pytest.mark.parametrize("screen", ["small dark", "large light", "narrow dark"])
@pytest.mark.parametrize("name", ["wait", "walk light", "stop", "what now"])
def test_no_alarm_moves_what_is_under_it_and_each_says_what_it_is(
    open_stage, name, screen
):
    stage = open_stage(name, screen)
    parts = stage.bench._parts
    stood = {
        each: each.geometry() for each in parts.everything() if each is not parts.status
    }
    for heard in ((LATE,), (OFF, LATE), (CHECK, LATE)):
        stage.window.heard = heard
        stage.look()
        said = [run.text for run in parts.status.runs()]

        for alarm in heard:
            assert any(alarm.startswith(text) and len(text) > 8 for text in said)
        assert not measures.cut(stage.bench)
        assert {each: each.geometry() for each in stood} == stood


SAID = (
    "EX-04: taken out.",
    "Not counted: EX-04 is out of the wash already; the press came too soon.",
    (
        "Nothing was filed: the library names a lamp, EX-LM-Q, whose spectrum is of no file"
        " beside it; put it there or leave the lamp out, then read the library again."
    ),
)


def test_what_is_said_is_seen_whole_and_covers_nothing_that_is_pressed_or_read(seen):
    for sentence in SAID:
        seen.window.say(sentence)
        message = seen.bench.findChild(MessageLine)
        box, lying = message.geometry(), []
        for widget in seen.bench.findChildren(QWidget):
            if not widget.isVisible() or widget in (message, seen.bench._page):
                continue
            if isinstance(widget, Rail | Foot | Pressable | QLabel | QAbstractItemView):
                at = widget.rect().translated(widget.mapTo(seen.bench, QPoint(0, 0)))
                lying += [widget] if at.intersects(box) else []
        lying += [
            run.text
            for widget, run, at in texts(seen.bench)
            # A page's name gives way to what became of the press.
            if not isinstance(widget, TitleRow | Steps | MessageLine)
            and measures.ink_of(run)
            .translated(at.topLeft() - run.rect.topLeft())
            .intersects(box.toRectF())
        ]

        assert " ".join(run.text for run in message.runs()) == sentence
        assert seen.bench.childAt(box.center()) is message
        assert not lying
        assert not measures.cut(seen.bench)
        assert not measures.covered(seen.bench)
        assert not measures.too_small(seen.bench)
    seen.window.say("")


def test_the_way_of_a_part_stands_wherever_there_is_room_for_it(seen):
    bench = seen.bench
    parts, view = bench._parts, bench._view
    if bench._page or view.way is None or view.spots or view.light:
        return
    at = parts.headline.geometry()
    lying = [
        each.geometry()
        for each in parts.everything()
        if each.isVisible()
        and each.y() >= at.bottom()
        and each.x() < at.right()
        and each not in (parts.way, bench._ring)
    ]
    least = parts.way.height_for() + 2 * bench.theme.px(3.0)
    ends = sorted([(at.bottom(), at.bottom()), *((r.top(), r.bottom()) for r in lying)])
    free = max(after[0] - before[1] for before, after in pairwise(ends))

    assert parts.way.isVisible() or free < least or bench._arranged.columns == 1


def test_the_words_of_a_tray_stand_beside_its_shape(seen):
    rail = seen.bench._parts.rail
    if not rail.isVisible():
        return  # the list stands for it, and it has no size
    boxes = rail._boxes(len(rail.view))
    shapes = [
        rail.shape_box(tag, box)
        for tag, box in zip(rail.view, boxes, strict=True)
        if tag.code
    ]

    assert not [
        run.text
        for run in rail.runs()
        if any(shape.intersects(measures.ink_of(run)) for shape in shapes)
    ]


def test_a_story_says_what_it_is_of_on_one_line_and_its_recipe_beside_the_lots(
    open_stage,
):
    stage = open_stage("story")
    title = stage.bench.findChild(TitleRow)
    near = text_of(texts(stage.bench), "near")

    assert [run.text for run in title.runs()] == [
        title.view.text,
        title.view.line,
        title.view.right,
    ]
    assert cap_mm(title.runs()[1].face.font, stage.bench.theme) >= READ
    assert "IFU EX-IFU-3" in near
    assert "validated here" in near


def test_what_an_option_of_a_page_needs_is_asked_in_sight(open_stage):
    stage = open_stage("deviations")

    stage.press("1")
    entry = stage.bench.findChild(Entry)

    assert entry.isVisible()
    assert stage.bench.childAt(entry.geometry().center()) in entry.children()
    assert not measures.covered(stage.bench)


def test_a_slow_lamp_is_accepted_by_a_key_that_is_shown(open_stage):
    stage = open_stage("stop slow lamp")

    keys = [b.option.key for b in stage.bench.hands._buttons if b.option]
    shown = text_of(texts(stage.bench), "near")

    assert {"8", "9"} <= set(keys)
    assert "Accept here" in shown
    assert "Accept 30 days" in shown


@pytest.mark.parametrize("name", ["do four panels", "stop four panels"])
def test_panels_fold_from_the_last_and_a_key_brings_them_out(open_stage, name):
    stage = open_stage(name)
    panels = stage.bench._view.panels
    first, last = panels[0].title, panels[-1].lines[0]
    grid, drawer = stage.bench.findChildren(PanelGrid)
    words = " ".join(run.text for run in grid.runs())
    inside = 0
    while not drawer.isVisible() and inside < 4:
        stage.press("Question")
        inside += 1
    brought = " ".join(run.text for run in drawer.runs())
    told = stage.bench.findChild(Foot).runs()[-1].text
    stage.press("Question")

    assert first in words
    assert f"{DRAWER_KEY}: " in words
    assert last not in words
    assert last in brought
    assert told == "Back"
    assert not drawer.isVisible()
    assert stage.bench.findChild(RowList).isVisible()


def test_a_drawer_shows_near_things_whole_and_leaves_the_far_ones(open_stage):
    stage = open_stage("do four panels")
    for kind in (LedgerBars, PanelGrid):
        stage.press("Question")

        assert any(found.isVisible() for found in stage.bench.findChildren(kind))
        assert not measures.cut(stage.bench)
        assert not measures.covered(stage.bench)
    assert not stage.bench.findChild(GateList).isVisible()


# --- calm -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["wait", "do late", "stop", "walk light", "what now"])
def test_nothing_moves_while_the_bench_stands_still(open_stage, name):
    stage = open_stage(name)
    before = stage.window.grab().toImage()

    for _ in range(12):
        stage.look()

        assert stage.window.grab().toImage() == before


@pytest.mark.parametrize("name", ["do late", "walk light"])
def test_no_point_of_the_screen_flickers(open_stage, name):
    stage = open_stage(name)
    frames = [grey_of(stage.window.grab()) for _ in stage.pass_time(2000)]
    flips = np.zeros(frames[0].shape, int)
    towards = np.zeros(frames[0].shape, int)
    for one, other in pairwise(frames):
        step = np.sign(np.where(abs(other - one) > 25, other - one, 0))
        flips += (step != 0) & (towards != 0) & (step != towards)
        towards = np.where(step != 0, step, towards)

    assert flips.max() <= 2 * FLICKER_HZ * 2
    assert any((one != frames[0]).any() for one in frames)


def grey_of(pixmap):
    pixels = pixels_of(pixmap.toImage()).astype(int)
    return (
        (pixels >> 16) * 0.2126 + (pixels >> 8 & 255) * 0.7152 + (pixels & 255) * 0.0722
    )


def test_only_what_shows_time_moves_as_time_passes(open_stage):
    stage = open_stage("walk light")
    kinds = (CountdownView, StateBand, WetBar, FarLine, Rail)
    still = np.ones((768, 1366), bool)
    before = pixels_of(stage.window.grab().toImage())
    for _ in stage.pass_time(2500):
        pass
    after = pixels_of(stage.window.grab().toImage())

    for kind in kinds:
        for part in stage.bench.findChildren(kind):
            rect = part.geometry()
            still[rect.top() : rect.bottom() + 1, rect.left() : rect.right() + 1] = (
                False
            )

    assert (before != after).any()
    assert not (before != after)[still].any()


@pytest.mark.parametrize(("reduced", "fewest", "most"), [(True, 0, 2), (False, 8, 20)])
def test_with_reduced_motion_bars_do_not_glide(open_stage, reduced, fewest, most):
    stage = open_stage("walk light")
    stage.window.pages.set_up(reduced_motion=reduced)
    stage.look()
    looks = [
        ([run.text for _, run, _ in texts(stage.bench)], stage.window.grab().toImage())
        for _ in stage.pass_time(2000)
    ]

    moved = [
        words == said and picture != before
        for (words, before), (said, picture) in pairwise(looks)
    ]

    assert fewest <= sum(moved) <= most


def test_a_signature_is_written_over_the_turn_of_a_minute(open_stage):
    stage = open_stage("sign")
    stage.press("Return")
    entry = stage.bench.findChild(Entry)
    entry._field.setText("OP-1")
    for _ in stage.pass_time(61_000):
        pass
    assert entry.isVisible()
    assert entry._field.text() == "OP-1"

    stage.bench.key_down("Enter")
    for _ in range(30):
        stage.look()
    assert stage.player.session.bench.parts["EX-21"].phase.how == "released"


@pytest.mark.parametrize("name", ["wait", "menu"])
@pytest.mark.parametrize("glass", ["small dark", "large light"])
def test_that_nothing_is_recorded_is_as_loud_as_a_stop(open_stage, name, glass):
    stage = open_stage(name, glass)
    stage.player.session.unwritten = True
    stage.look()
    stage.window.pedal.typing_changed.emit(*(True,))  # and a hand types
    stage.look()
    palette = stage.bench._theme.palette
    said = "not recorded" if stage.bench._page else "nothing is recorded: stop"
    (run,) = (each for _, each, _ in texts(stage.bench) if each.text == said)

    assert (run.ink, run.ground) == (palette.ink, palette.plate)
    assert not measures.faint_in_picture(stage.bench)
