"""What is known of a part beside its stages: shape, faces, photos, a note; and room."""

import pytest

from benchassist.domain import baths
from benchassist.domain import commands as cm
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.library import SpotFace
from benchassist.domain.mishaps import MISHAPS
from benchassist.domain.mishaps.kind import Case
from benchassist.domain.names import person_in
from benchassist.domain.outcome import Refusal
from benchassist.domain.shape import BoxPlace, BoxPlan, PartShape, VesselSize
from benchassist.domain.size import room_for, size_of
from benchassist.domain.state import Ready
from benchassist.value import replace
from tests.domain.builders import Desk, code_of, desk_at

DIGEST = "ab" * 32
CUBE = PartShape(DIGEST, "mm", 600.0, 1000.0, True, 10.0, 10.0, 10.0)  # noqa: FBT003
SIZE = VesselSize(90.0, 90.0, 3.0, 60.0)


def taken():
    desk = Desk()
    desk.take("EX-1")
    return desk


# --- the print file -------------------------------------------------------------------


def test_a_print_file_says_how_large_its_part_is():
    desk = taken()
    assert not size_of(desk.bench, desk.part("EX-1")).measured

    desk.must(cm.MeasurePart("EX-1", CUBE))

    size = size_of(desk.bench, desk.part("EX-1"))
    assert (size.volume_cm3, size.area_cm2, size.height_mm) == (1.0, 6.0, 10.0)
    assert size.measured


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"digest": "none"}, "digest"),
        ({"height_mm": 900.0}, "unit"),
        ({"volume_mm3": 1001.0}, "solid"),
        ({"volume_mm3": 0.0}, "solid"),
        ({"area_mm2": 0.0}, "solid"),
        ({"outline_mm": ((0.0, 0.0),) * 65}, "points"),
    ],
)
def test_a_shape_that_cannot_be_a_part_is_refused(change, word):
    desk = taken()

    refusal = desk.do(cm.MeasurePart("EX-1", replace(CUBE, **change)))

    assert isinstance(refusal, Refusal)
    assert word in refusal.message


def test_a_part_may_be_as_long_as_the_longest_and_no_longer():
    for longest, fits in ((400.0, True), (400.1, False)):
        lying = replace(CUBE, width_mm=longest)
        assert isinstance(taken().do(cm.MeasurePart("EX-1", lying)), tuple) == fits


@pytest.mark.parametrize("volume", [1000.0, 1000.0 * (1 + 1e-6)])
def test_a_part_may_fill_its_box_up_to_rounding(volume):
    desk = taken()
    desk.must(cm.MeasurePart("EX-1", replace(CUBE, volume_mm3=volume)))

    assert size_of(desk.bench, desk.part("EX-1")).measured


def test_a_bath_counts_a_measured_part_by_its_skin():
    """600 mm² under 100 µm of film of 1.1 g/cm³ are 0.066 g: by hand."""
    small, usual = desk_at("wash-1"), desk_at("wash-1")
    for desk in (small, usual):
        title = desk.part("EX-1").stage.title
        desk.must(cm.FillBath(title, 1.0, ""))
    small.must(cm.MeasurePart("EX-1", CUBE))
    for desk in (small, usual):
        desk.work("EX-1", upto="dry-box")

    held, by_class = (baths.load(each.bench, title, "crown") for each in (small, usual))

    assert by_class.percent == pytest.approx(100 * 0.055 / 785.055, rel=1e-3)
    assert held.percent == pytest.approx(100 * 0.066 / 785.066, rel=1e-3)


# --- faces ----------------------------------------------------------------------------


def test_marked_faces_are_what_is_coated_until_the_recipe_s_are_again():
    desk = taken()
    usual = desk.bench.spots_of(desk.part("EX-1"))

    desk.must(cm.MarkFaces("EX-1", (SpotFace("top", 3), SpotFace("front", 4)), 80.0))
    assert desk.bench.spots_of(desk.part("EX-1")) == 7

    desk.must(cm.MarkFaces("EX-1"))
    assert desk.bench.spots_of(desk.part("EX-1")) == usual


def test_a_coat_is_laid_on_the_marked_faces():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.MarkFaces("EX-1", (SpotFace("top", 2),), 20.0))

    desk.work("EX-1", upto="coat-2")

    assert desk.part("EX-1").work["coat-1"].spots == ("done", "done")


def test_faces_are_not_changed_under_a_coat():
    desk = desk_at("coat-2", phase=Ready)

    assert code_of(desk.do(cm.MarkFaces("EX-1", (SpotFace("top", 2),)))) == "coated"


@pytest.mark.parametrize(
    "faces",
    [
        (SpotFace("top", 0),),
        (SpotFace("top", 2), SpotFace("top", 3)),
        (SpotFace(" ", 2),),
        (SpotFace("top", 201),),
    ],
)
def test_faces_that_cannot_be_walked_are_refused(faces):
    assert code_of(taken().do(cm.MarkFaces("EX-1", faces))) == "faces"


# --- photos and notes -----------------------------------------------------------------


def test_a_photo_is_on_the_part_s_record_once():
    desk = taken()

    desk.must(cm.KeepPhoto("EX-1", DIGEST))

    assert desk.part("EX-1").photos == (DIGEST,)
    assert code_of(desk.do(cm.KeepPhoto("EX-1", DIGEST))) == "photo"
    assert code_of(desk.do(cm.KeepPhoto("EX-1", "x"))) == "photo"
    named = cm.KeepPhoto("EX-1", "ef" * 32, "Mrs Muster")
    assert code_of(desk.do(named)) == "name"
    assert code_of(desk.do(cm.KeepPhoto("EX-9", DIGEST))) == "no-such-part"


def test_a_part_has_room_for_a_dozen_photos():
    desk = taken()
    for n in range(12):
        desk.must(cm.KeepPhoto("EX-1", f"{n:064x}"))

    assert code_of(desk.do(cm.KeepPhoto("EX-1", DIGEST))) == "photo"


def test_a_note_is_kept_and_one_that_names_somebody_only_when_a_hand_is_sure():
    desk = taken()
    desk.must(cm.NotePart("EX-1", " contact mesial tight "))
    assert desk.part("EX-1").note == "contact mesial tight"

    refusal = desk.do(cm.NotePart("EX-1", "call Mrs Example first"))
    assert code_of(refusal) == "name"
    assert "Example" not in refusal.message

    desk.must(cm.NotePart("EX-1", "Contact Point tight", sure=True))
    assert desk.part("EX-1").note == "Contact Point tight"
    assert code_of(desk.do(cm.NotePart("EX-1", "x" * 401))) == "note"


@pytest.mark.parametrize(
    "text",
    [
        "call Mrs Example first",
        "dr. Example wants it darker",
        "for Anna Example",
        "born 1961-04-12",
        "12.04.1961",
        "ring 0171 555 0199",
        "+44 20 7946 0018",
    ],
)
def test_what_reads_like_a_person_is_noticed(text):
    assert person_in(text, year=2026)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "contact mesial tight, EX-S2 at the neck",
        "Margin thin at 12, print 2026-05-14",
        "2200 flashes, 15 min dry",
        "DR area dull",
        "OP-1 looked twice",
    ],
)
def test_shop_words_are_no_person(text):
    assert person_in(text, year=2026) == ""


# --- room -----------------------------------------------------------------------------


def going_in(**vessel):
    desk = desk_at("submerge", phase=Ready)
    desk.must(cm.MeasurePart("EX-1", CUBE))
    part = desk.part("EX-1")
    desk.must(cm.MeasureVessel(part.vessel, replace(SIZE, **vessel)))
    return desk


def verdict(desk):
    part = desk.part("EX-1")
    return GATES["vessel-room"].check(desk.bench, ask_for(desk.bench, part), desk.now)


def test_how_high_to_fill_is_the_level_less_what_the_part_lifts():
    """3 + 10 + 5 mm over the floor; 1 cm³ in 60 cm² lifts 0.17 mm: by hand."""
    desk = going_in()

    room = room_for(desk.bench, [desk.part("EX-1")])

    assert room.sure
    assert room.fit.level_with_part_mm == 18.0
    assert room.fit.fill_before_mm == pytest.approx(18.0 - 10.0 / 60.0)
    assert verdict(desk).level == "pass"


def test_a_part_too_high_for_its_vessel_is_asked_about():
    desk = going_in()
    tall = replace(CUBE, height_mm=70.0)
    desk.must(cm.MeasurePart("EX-1", tall))

    found = verdict(desk)

    assert found.level == "marginal"
    assert dict(found.numbers)["needed_mm"] == 3 + 3 + 70 + 5 + 5
    assert found.scope


def test_by_class_alone_nothing_is_called_too_high():
    desk = desk_at("submerge", phase=Ready)
    assert verdict(desk).level == "pass"
    desk.must(cm.MeasureVessel(desk.part("EX-1").vessel, SIZE))

    assert verdict(desk).level == "pass"
    assert not room_for(desk.bench, [desk.part("EX-1")]).sure


def test_a_vessel_too_high_for_the_chamber_is_asked_about():
    desk = going_in()
    part = desk.part("EX-1")
    vessel = desk.bench.vessels[part.vessel]
    box = replace(desk.bench.boxes[part.box], chamber_height_mm=vessel.height_mm + 4)
    bench = replace(desk.bench, boxes={part.box: box})

    found = GATES["vessel-room"].check(bench, ask_for(bench, part), desk.now)

    assert found.level == "marginal"


@pytest.mark.parametrize(
    "change",
    [{"wide_mm": 0.0}, {"floor_mm": 80.0}, {"floor_mm": 0.0}, {"inside_cm2": 82.0}],
)
def test_a_vessel_that_cannot_be_is_refused(change):
    desk = desk_at("submerge", phase=Ready)

    size = replace(SIZE, **change)

    assert code_of(desk.do(cm.MeasureVessel("GV-1", size))) == "size"
    elsewhere = cm.MeasureVessel("GV-NONE", SIZE)
    assert code_of(desk.do(elsewhere)) == "no-equipment"


# --- places in the box ----------------------------------------------------------------

P1, P2 = BoxPlace("P1", 50, 50, 80, 80), BoxPlace("P2", 150, 50, 80, 80)


def draw(*places, **more):
    plan = replace(BoxPlan(200.0, 100.0, places or (P1, P2)), **more)
    return cm.DrawPlaces("BX-1", plan)


def test_places_stand_apart_on_the_shelf():
    desk = taken()

    desk.must(draw(P1, P2, photo=DIGEST))

    assert [each.name for each in desk.bench.box_plans["BX-1"].places] == ["P1", "P2"]


@pytest.mark.parametrize(
    ("other", "word"),
    [
        (replace(P2, x_mm=120), "on one another"),
        (replace(P2, x_mm=133), "leave 5 mm"),
        (replace(P2, x_mm=161), "stands out"),
        (replace(P2, y_mm=39), "stands out"),
        (replace(P2, wide_mm=0), "stands out"),
        (replace(P2, name="P1"), "stands twice"),
        (replace(P2, name=""), "a mark of its own"),
    ],
)
def test_places_that_cannot_be_are_refused(other, word):
    refusal = taken().do(draw(P1, other))

    assert code_of(refusal) == "places"
    assert word in refusal.message


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ({"wide_mm": 0.0}, "write millimetres"),
        ({"deep_mm": 1e4}, "write millimetres"),
        ({"photo": "none"}, "no digest"),
        ({"places": tuple(replace(P1, name=f"P{n}") for n in range(99))}, "up to"),
    ],
)
def test_a_shelf_that_cannot_be_is_refused(more, word):
    refusal = taken().do(draw(**more))

    assert code_of(refusal) == "places"
    assert word in refusal.message


def test_a_box_that_is_not_there_has_no_places():
    command = cm.DrawPlaces("BX-9", BoxPlan(200.0, 100.0))

    assert code_of(taken().do(command)) == "no-equipment"


def test_a_measured_part_that_floats_needs_no_volume_typed():
    """12 cm³ of a splint's 1.19 g/cm³ in 1.26: 0.84 gf and 2.0 g of steel, by hand."""
    desk = desk_at("submerge", phase=Ready)
    part = desk.part("EX-1")
    lying = replace(CUBE, volume_mm3=12_000.0, width_mm=40.0, depth_mm=40.0)
    desk.must(cm.MeasurePart("EX-1", lying))
    mishap = MISHAPS["floated"]

    found = mishap.branch(Case(desk.bench, desk.part("EX-1"), ("", "1.19"), desk.now))

    assert dict(found.numbers)["net_gf"] == pytest.approx(0.84)
    assert part.shape is None
    untold = mishap.branch(Case(desk.bench, desk.part("EX-1"), ("", ""), desk.now))
    assert "Its density is its class's: weigh it to be sure." in untold.steps


def test_no_parts_have_no_room_to_ask_for():
    assert room_for(taken().bench, ()) is None
