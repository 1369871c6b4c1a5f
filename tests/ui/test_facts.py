"""Photos, print file and note of a part: by keys, in the real window."""

import pytest
import trimesh
from PIL import Image
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QDropEvent

from benchassist.domain import events as ev
from benchassist.photo import FOLDER
from benchassist.ui.filing import photos
from benchassist.ui.places.facts import FactsPage
from tests.ui.screens import Moment, Stage

FACTS = Moment("day", "08:40:51 confirm-load", "08:40:45 end", keys=("C", "9", "4"))


@pytest.fixture
def stage(tmp_path, _fonts):
    opened = Stage(FACTS, tmp_path)
    yield opened
    opened.close()


def state(stage):
    return stage.player.session.bench


def events(stage, kind):
    entries = stage.player.session.journal.entries()
    return [each.event for each in entries if isinstance(each.event, kind)]


def page(stage):
    found = stage.bench._page
    assert isinstance(found, FactsPage)
    return found


def typed(stage, key, words):
    """Press a key that asks for words, and type them."""
    stage.press(key)
    stage.bench._answers._parts.entry._field.setText(words)
    stage.press("Return")


def said(stage):
    return stage.bench._view.message


def test_a_photo_typed_by_its_name_is_kept_bare_and_shown(stage, tmp_path, qtbot):
    Image.new("RGB", (60, 40), "red").save(tmp_path / "shot.png")
    code = state(stage).focus

    typed(stage, "2", str(tmp_path / "shot.png"))
    qtbot.waitUntil(lambda: state(stage).parts[code].photos != ())

    (kept,) = events(stage, ev.PhotoKept)
    assert kept.part == code
    assert (tmp_path / FOLDER / f"{kept.digest}.jpg").exists()
    qtbot.waitUntil(lambda: len(page(stage)._photos._shown) == 1)
    assert not page(stage)._photos._shown[0][0].isNull()


def test_a_photo_that_is_gone_is_said(stage, tmp_path, qtbot):
    Image.new("RGB", (60, 40), "red").save(tmp_path / "shot.png")
    typed(stage, "2", str(tmp_path / "shot.png"))
    qtbot.waitUntil(lambda: len(page(stage)._photos._shown) == 1)
    (path,) = (tmp_path / FOLDER).iterdir()
    path.unlink()
    (found,) = photos((path.stem,), tmp_path)
    assert found.amiss == "is missing from the store"

    page(stage)._digests = ()
    stage.press("Escape")
    for key in ("C", "9", "4"):
        stage.press(key)
    qtbot.waitUntil(lambda: "is missing from the store" in said_now(stage))


def said_now(stage):
    stage.look()
    return said(stage)


def test_what_is_no_photo_is_one_sentence_and_nothing_is_written(
    stage, tmp_path, qtbot
):
    (tmp_path / "shot.png").write_text("no picture")

    typed(stage, "2", str(tmp_path / "shot.png"))

    qtbot.waitUntil(lambda: "is no photo that can be read" in said_now(stage))
    assert events(stage, ev.PhotoKept) == []


def test_a_print_file_is_read_in_the_unit_that_was_turned_to(stage, tmp_path, qtbot):
    trimesh.creation.box((1, 1, 1)).export(tmp_path / "part.stl")
    code = state(stage).focus
    stage.press("5")  # cm

    typed(stage, "4", str(tmp_path / "part.stl"))
    qtbot.waitUntil(lambda: state(stage).parts[code].shape is not None)

    shape = state(stage).parts[code].shape
    assert shape.volume_cm3 == pytest.approx(1.0)
    assert shape.area_cm2 == pytest.approx(6.0)
    assert (shape.unit, shape.watertight) == ("cm", True)
    assert "skin 6.0 cm², volume 1.00 cm³" in said(stage)


def test_a_note_that_reads_like_a_name_is_asked_about_before_it_is_kept(stage):
    code = state(stage).focus
    typed(stage, "8", "call Mrs Example")
    assert events(stage, ev.PartNoted) == []
    assert "title and a name" in said(stage)

    stage.press("8")  # it is no name

    assert state(stage).parts[code].note == "call Mrs Example"


def test_a_plain_note_is_kept_at_once(stage):
    typed(stage, "8", "contact tight at 12")

    assert events(stage, ev.PartNoted)[0].text == "contact tight at 12"


def test_files_are_taken_where_they_are_dropped(stage, tmp_path, qtbot):
    trimesh.creation.icosphere(radius=5).export(tmp_path / "part.stl")
    Image.new("RGB", (60, 40), "red").save(tmp_path / "shot.jpg")
    files = QMimeData()
    names = ("part.stl", "shot.jpg")
    files.setUrls([QUrl.fromLocalFile(str(tmp_path / name)) for name in names])
    code = state(stage).focus

    page(stage).dropEvent(
        QDropEvent(
            QPoint(5, 5),
            Qt.DropAction.CopyAction,
            files,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
    )

    qtbot.waitUntil(
        lambda: state(stage).parts[code].shape and state(stage).parts[code].photos
    )
