"""A vessel by the ruler, and places on a box's shelf: by keys, in the real window."""

import pytest
from PIL import Image
from PySide6.QtCore import QEvent, Qt

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.shape import BoxPlan, VesselSize
from benchassist.ui.present import box_places
from benchassist.ui.present.box_places import PlacesDraft, laid_out
from benchassist.ui.present.sheet import FillIn, Turn
from benchassist.value import replace
from tests.ui.screens import Moment, Stage

AT = ("day", "08:40:51 confirm-load", "08:40:45 end")


@pytest.fixture
def open_stage(tmp_path, _fonts):
    opened = []

    def open_(*keys):
        opened.append(Stage(Moment(*AT, keys=keys), tmp_path))
        return opened[-1]

    yield open_
    for stage in opened:
        stage.close()


def state(stage):
    return stage.player.session.bench


def events(stage, kind):
    entries = stage.player.session.journal.entries()
    return [each.event for each in entries if isinstance(each.event, kind)]


def hold(stage):
    stage._edge(QEvent.Type.KeyPress, Qt.Key.Key_Return, "")
    for _ in range(25):
        stage.look()
    stage._edge(QEvent.Type.KeyRelease, Qt.Key.Key_Return, "")
    stage.look()


def test_a_vessel_is_measured_in_a_form_and_held(open_stage):
    stage = open_stage("E", "0", "4")
    form = stage.window.pages._form
    for name, text in {"wide": "90", "deep": "90", "inside": "60"}.items():
        form._inputs[name].setText(text)

    stage.press("Return")
    assert events(stage, ev.VesselMeasured) == []
    hold(stage)

    assert state(stage).vessel_sizes[next(iter(state(stage).vessels))] == VesselSize(
        90.0, 90.0, 3.0, 60.0
    )


def test_a_vessel_in_square_millimetres_is_refused_in_its_field(open_stage):
    stage = open_stage("E", "0", "4")
    form = stage.window.pages._form
    for name, text in {"wide": "90", "deep": "90", "inside": "6000"}.items():
        form._inputs[name].setText(text)

    stage.press("Return")

    assert stage.window.pages._form._error.text().startswith("Inside: up to")


def test_places_are_spread_moved_and_held_with_a_photo(open_stage, tmp_path, qtbot):
    Image.new("RGB", (60, 40), "red").save(tmp_path / "shelf.jpg")
    stage = open_stage("E", "0", "5")
    page = stage.bench._page

    stage.press("5")  # three
    page.add_photo(str(tmp_path / "shelf.jpg"))
    qtbot.waitUntil(lambda: page._draft.plan.photo != "")
    qtbot.waitUntil(lambda: page._photo[1] != b"")
    hold(stage)

    (drawn,) = events(stage, ev.PlacesDrawn)
    assert [place.name for place in drawn.plan.places] == ["P1", "P2", "P3"]
    assert drawn.plan.photo == page._draft.plan.photo
    assert not page._plan._photo.isNull()


def test_places_on_one_another_cannot_be_held(open_stage):
    stage = open_stage("E", "0", "5")
    page = stage.bench._page
    page.did(FillIn("spot", "150, 75"))
    hold(stage)

    assert events(stage, ev.PlacesDrawn) == []
    assert "stand on one another" in page._sheet.error


@pytest.mark.parametrize(
    ("count", "rows", "across"), [(1, 1, 1), (2, 1, 2), (3, 1, 3), (4, 2, 2), (6, 2, 3)]
)
def test_places_are_spread_in_the_fewest_rows(count, rows, across):
    draft = PlacesDraft(plan=BoxPlan(200.0, 150.0), foot=(60.0, 60.0))

    places = laid_out(draft, count).places

    assert len({place.y_mm for place in places}) == rows
    assert len({place.x_mm for place in places}) == across
    assert not any(a.meets(b) for n, a in enumerate(places) for b in places[:n])


def test_what_is_no_two_numbers_is_said(open_stage):
    stage = open_stage()
    draft = box_places.begun(state(stage))

    assert (
        "Two numbers"
        in box_places.done(state(stage), draft, FillIn("shelf", "x")).error
    )


def test_a_measured_vessel_gives_its_footprint(open_stage):
    stage = open_stage()
    vessel = next(iter(state(stage).vessels))
    size = VesselSize(90.0, 70.0, 3.0, 50.0)
    stage.player.session.handle(cm.MeasureVessel(vessel, size))
    draft = replace(box_places.begun(state(stage)), thing="")

    turned = box_places.done(state(stage), draft, Turn("thing", 1))

    assert (turned.thing, turned.foot) == (vessel, (90.0, 70.0))
