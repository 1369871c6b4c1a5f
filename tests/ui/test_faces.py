"""The faces to coat, marked by keys and by a finger, in the real window."""

from pathlib import Path

import pytest
import trimesh
from PySide6.QtCore import QEvent, QPoint, Qt
from pytestqt.qtbot import QtBot

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.library import SpotFace
from benchassist.ui.filing import READ, read_print
from tests.ui.screens import Moment, Stage

AT = Moment("day", "08:40:51 confirm-load", "08:40:45 end")


@pytest.fixture
def stage(tmp_path, _fonts, qtbot):
    """Show the faces page of a block, 12 x 12 x 6 mm, in the real window."""
    path = tmp_path / "part.stl"
    trimesh.creation.box((12, 12, 6)).export(path)
    opened = Stage(AT, tmp_path)
    code = state(opened).focus
    shape = read_print(path, "mm")
    assert opened.player.session.handle(cm.MeasurePart(code, shape)).refusal is None
    for key in ("C", "9", "4", "6"):
        opened.press(key)
    qtbot.waitUntil(lambda: opened.bench._page._seen is not None)
    yield opened
    opened.close()
    READ.clear()


def state(stage):
    return stage.player.session.bench


def marked(stage):
    entries = stage.player.session.journal.entries()
    return [each.event for each in entries if isinstance(each.event, ev.FacesMarked)]


def hold(stage):
    stage._edge(QEvent.Type.KeyPress, Qt.Key.Key_Return, "")
    for _ in range(25):
        stage.look()
    stage._edge(QEvent.Type.KeyRelease, Qt.Key.Key_Return, "")
    stage.look()


def told(stage):
    return stage.bench._page._told.text()


def test_all_that_is_seen_from_a_side_is_marked_by_one_key(stage):
    """12 x 12 mm with 6 mm from spot to spot are 2 x 2 spots: by hand."""
    stage.press("7")
    assert "Marked: 144 mm²" in told(stage)
    assert marked(stage) == []

    hold(stage)

    (event,) = marked(stage)
    assert event.faces == (SpotFace("top", 4),)
    assert event.area_mm2 == pytest.approx(144, rel=0.01)
    part = state(stage).focused
    assert state(stage).spots_of(part) == 4
    assert stage.bench._page._title.view.right == "on record: 4 spots"
    assert "Coat these" not in [
        o.text[:10] for o in stage.bench._page._options._options
    ]


def test_sides_add_up_and_are_taken_back(stage):
    stage.press("7")
    stage.press("2")  # from the front
    stage.press("7")
    assert "Marked: 216 mm²" in told(stage)

    stage.press("8")

    assert "Marked: 144 mm²" in told(stage)


def test_a_finger_marks_where_it_goes_and_rubs_out(stage, qtbot: QtBot):
    view = stage.bench._page._view
    middle = QPoint(int(view._square().width() / 2), int(view._square().height() / 2))

    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=middle)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=middle)
    assert "Marked: 13 mm²" in told(stage) or "Marked: 12 mm²" in told(stage)

    stage.press("9")
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=middle)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=middle)

    assert "Mark with a finger" in told(stage)


def test_another_file_than_the_one_on_record_is_refused(stage, tmp_path, qtbot):
    other = tmp_path / "other.stl"
    trimesh.creation.box((12, 12, 7)).export(other)
    page = stage.bench._page
    page._skin = page._seen = None

    page._open(other)

    qtbot.waitUntil(lambda: not page._reading)
    stage.look()
    assert "another file" in stage.bench._view.message
    assert page._skin is None


def test_a_file_that_cannot_be_read_once_its_part_is_gone_is_only_said(stage, qtbot):
    page = stage.bench._page
    page._skin = page._seen = None

    page._open(Path("no such file.stl"))
    page._part = ""  # what is said to a page with nothing in front of it

    qtbot.waitUntil(lambda: not page._reading)
    stage.look()
    assert "no such file" in stage.bench._view.message


def test_the_recipe_s_faces_come_back_by_one_hold(stage):
    stage.press("7")
    hold(stage)
    for key in ("C", "9", "4"):
        stage.press(key)
    stage._edge(QEvent.Type.KeyPress, Qt.Key.Key_7, "7")
    for _ in range(25):
        stage.look()
    stage._edge(QEvent.Type.KeyRelease, Qt.Key.Key_7, "7")
    stage.look()

    assert marked(stage)[-1].faces == ()
    assert state(stage).focused.faces == ()
