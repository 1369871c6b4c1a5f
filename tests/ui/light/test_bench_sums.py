"""Spots, working curves, advisors and room light, against sums done by hand.

The worked examples are common practice without a source unless a test names one; they
are checked to the digit that the bench reads.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain.state import Walking
from benchassist.sums.spot_map import usual
from benchassist.sums.subject import UnknownError, subject
from benchassist.ui.present.physics import (
    advisors,
    spots,
    working_curve,
    working_time,
)
from tests.domain.builders import SPLINT, desk_at


def about(desk, code=""):
    if code:
        desk.must(cm.ChoosePart(code))
    return subject(desk.bench, desk.now)


# --- spots ---------------------------------------------------------------------


def view_of(desk, **changes):
    found = about(desk)
    geometry = usual(desk.bench, found)
    values = {name: str(value) for name, value in changes.items()}
    return spots.spots_view(desk.bench, found, spots.typed(values, geometry))


def test_an_arch_of_118_mm_takes_60_spots_in_8_segments_and_15_minutes(desk):
    """118 mm, 8 mm beam, 25 % overlap, 3 faces: 20 x 3 spots; 8 x 15 s + 60 x 13 s."""
    about(desk, "EX-21")
    view = view_of(desk)

    assert view.lines[0] == "60 spots of 10 s in 8 segments of up to 8."
    assert view.lines[1] == "Light 10:00, hands 15:00 a coat."
    assert [(face.title, len(face.spots)) for face in view.faces] == [
        ("outer", 20),
        ("biting", 20),
        ("inner", 20),
    ]
    assert view.arch


@pytest.mark.parametrize(("beam", "faces", "count"), [(10, 3, 48), (8, 2, 40)])
def test_other_beams_and_faces_take_other_counts(desk, beam, faces, count):
    about(desk, "EX-21")
    view = view_of(desk, beam_mm=beam, faces=faces)

    assert view.lines[0].startswith(f"{count} spots ")


def test_a_square_lattice_has_holes_below_29_per_cent_and_none_above(desk):
    """Identity: half the diagonal of the pitch is the radius at 1 - 1/sqrt(2)."""
    plane = {"shape": "rectangle"}
    about(desk)
    wide = spots.typed(plane, usual(desk.bench, about(desk)))
    for overlap, covers in ((25, False), (30, True)):
        sized = spots.typed(
            {"length_mm": "60", "width_mm": "60", "overlap": str(overlap)}, wide
        )
        view = spots.spots_view(desk.bench, about(desk), sized)
        assert all(face.covers for face in view.faces) is covers
        assert any("leave holes" in text for text in view.warnings) is not covers


def test_the_dose_at_the_worst_point_is_told_and_where_it_falls_short(desk):
    about(desk, "EX-21")
    view = view_of(desk)

    assert any(text.startswith("Worst point 0 J/cm² of 0.42") for text in view.lines)
    assert "The worst point has no light at all." in view.warnings


def test_the_spots_of_a_walk_stand_on_the_map_as_they_are():
    desk = desk_at("coat-1", phase=Walking, recipe=SPLINT)
    desk.wait(13)

    view = view_of(desk)

    first = view.faces[0]
    assert first.title == "Outer"
    assert [spot.state for spot in first.spots[:3]] == ["done", "now", "open"]
    assert [spot.segment for spot in first.spots[:9]] == [1] * 8 + [2]


def test_a_geometry_that_is_not_the_recipes_is_told(desk):
    view = view_of(desk)

    assert any("The recipe walks 5 spots" in text for text in view.lines)
    assert {spot.state for face in view.faces for spot in face.spots} == {"open"}


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"length_mm": "wide"}, "Length: “wide” is not a number."),
        ({"length_mm": "0"}, "Length: type millimetres"),
        ({"beam_mm": "1e9"}, "Useful beam: type millimetres"),
        ({"faces": "9"}, "Faces: a crown has 1 to 5"),
        ({"overlap": "99"}, "Overlap: type a percentage"),
        ({"overlap": "nan"}, "Overlap: “nan” is not a number."),
        ({"faces": "inf"}, "Faces"),
    ],
)
def test_a_size_that_cannot_be_is_refused_in_one_sentence(desk, typed, words):
    with pytest.raises(UnknownError) as caught:
        spots.typed(typed, usual(desk.bench, about(desk)))

    assert words in str(caught.value)


def test_an_arch_too_narrow_for_its_band_is_told(desk):
    about(desk, "EX-21")

    with pytest.raises(UnknownError, match="too wide for the arch"):
        view_of(desk, length_mm=10, width_mm=9)


def test_more_spots_than_a_hand_can_place_are_refused(desk):
    with pytest.raises(UnknownError, match="more than a hand can place"):
        view_of(desk, length_mm=900, width_mm=900, beam_mm=1)


# --- working curve -------------------------------------------------------------


def test_typed_pairs_are_read_with_points_or_commas():
    assert working_curve.parse_points("10 120; 20,5 190\n40 0;") == (
        (10.0, 120.0),
        (20.5, 190.0),
        (40.0, 0.0),
    )


@pytest.mark.parametrize(
    "text", ["10", "10 20 30", "ten 20", "0 20", "-1 20", "10 -1", "nan 1", "1 inf"]
)
def test_what_is_no_pair_is_refused_in_one_sentence(text):
    with pytest.raises(UnknownError) as caught:
        working_curve.parse_points(text)

    assert str(caught.value).startswith(f"“{text}”")


def test_seconds_become_effective_exposures_of_the_lamp_today(desk):
    desk.must(cm.ReadLamp("EX-LM-A", 80))
    found = working_curve.exposures(desk.bench, about(desk), ((10.0, 100.0),), "s")

    # 10 s at 80 % of 42 mW/cm² effective.
    assert found[0] == (pytest.approx(336.5, rel=2e-3), 100.0)


def test_until_one_is_fitted_the_curve_is_an_assumption_and_says_so(desk):
    used = working_curve.in_use(desk.bench, about(desk))

    assert not used.own
    assert used.source.startswith("assumed")
    assert (
        "by an assumed working curve"
        in working_curve.reach(desk.bench, about(desk), 5000.0)[0]
    )


def test_the_practices_own_fit_is_used_from_then_on_with_its_record(desk):
    points = ((1000.0, 69.315), (2000.0, 138.629), (4000.0, 207.944))
    desk.must(cm.FitWorkingCurve("EX-LM-A", "EX-RS-C", points, "EX-WC-1"))

    used = working_curve.in_use(desk.bench, about(desk))

    assert used.own
    assert (used.dp_um, used.ec_mj_cm2) == (
        pytest.approx(100, rel=1e-3),
        pytest.approx(500, rel=1e-3),
    )
    assert used.source == "fitted here to 3 points: EX-WC-1"
    # 100 um x ln(600 / 500) = 18 um of 25.
    assert working_curve.reach(desk.bench, about(desk), 600.0) == [
        "There it cures 18 of 25 µm, by your working curve."
    ]
    other_lamp = subject(desk.bench, desk.now, "EX-LM-C")
    assert not working_curve.in_use(desk.bench, other_lamp).own


def test_points_are_shown_with_their_fit_and_intervals_before_they_are_kept(desk):
    points = ((1000.0, 70.0), (2000.0, 137.0), (4000.0, 209.0), (500.0, 0.0))

    view = working_curve.curve_view(desk.bench, about(desk), points)

    assert view.keepable
    assert any("These 3 points, with 95 %: Dp 100 µm (" in t for t in view.lines)
    assert view.plot.dots[0].x == (1000.0, 2000.0, 4000.0)
    assert [line.label for line in view.plot.lines] == [
        "fit to these points",
        "in use: assumed",
    ]


def test_until_something_is_measured_the_curve_is_shown_through_one_coat(desk):
    plot = working_curve.curve_view(desk.bench, about(desk), ()).plot
    (line,), (low, high), (_, top) = plot.lines, plot.x_range, plot.y_range

    assert not plot.dots
    assert top > 25.0
    shown = [y for x, y in zip(line.x, line.y, strict=True) if low <= x <= high]
    assert shown[0] == 0.0
    # Neither a wall nor a floor: a good part of the width lies between.
    between = [y for y in shown if 0.0 < y < top]
    assert len(between) > len(shown) / 5
    assert max(shown) >= top


def test_points_that_cannot_be_fitted_say_why(desk):
    falling = ((1000.0, 90.0), (2000.0, 60.0))

    view = working_curve.curve_view(desk.bench, about(desk), falling)

    assert not view.keepable
    assert any("does not grow with exposure" in text for text in view.lines)


# --- advisors ------------------------------------------------------------------


def advice(desk, name, code="", **values):
    if code:
        desk.must(cm.ChoosePart(code))
    found = advisors.advisors(desk.bench, desk.bench.focused)
    one = next(each for each in found if each.name == name)
    return advisors.typed(one, {key: str(value) for key, value in values.items()})


PURE = {"wt_percent": 100, "celsius": 20}


def test_a_splint_floats_and_needs_two_grams(desk):
    """12 cm³ at 1.19 in glycerine of 1.261 (handbook): 0.85 gf, 2.0 g of steel."""
    told = advice(desk, "float", "EX-21", **PURE)

    assert told.word == "FLOATS"
    assert told.line.startswith("0.85 gf upwards: hold it with 2.0 g")
    assert told.more[0].startswith("Hold from the peg")


def test_a_filled_crown_sinks_until_air_is_caught_in_it(desk):
    """0.45 cm³ at 1.52: 0.09 cm³ of air, a bubble of 5.6 mm, floats it."""
    told = advice(desk, "float", "EX-22", **PURE)
    assert told.word == "SINKS"
    assert "0.092 cm³ of trapped air, a 5.6 mm bubble" in told.line

    assert advice(desk, "float", trapped_air_cm3=0.1, **PURE).word == "FLOATS"


@pytest.mark.parametrize(
    ("mm", "celsius", "word"),
    [(0.3, 23, "WAIT 8:4"), (0.5, 23, "WAIT 3:0"), (0.2, 23, "BRUSH OFF")],
)
def test_a_bubble_is_waited_for_or_brushed_off(desk, mm, celsius, word):
    """Stokes, pure glycerine, 30 mm: 8.7 and 3.1 min; below 0.3 mm never."""
    told = advice(
        desk, "bubble", diameter_mm=mm, depth_mm=30, wt_percent=100, celsius=celsius
    )

    assert told.word.startswith(word)


def test_a_vessel_says_how_far_to_fill_before_the_part_goes_in(desk):
    """12 cm³ in 80 cm² lift the level by 1.5 mm; 3 + 14 + 5 mm have to be covered."""
    told = advice(desk, "vessel", "EX-21")

    assert (told.word, told.line) == ("FITS", "Fill to 20.5 mm before it goes in.")
    assert any("1.5 mm" in text for text in told.more)
    assert any("needs your own validation" in text for text in told.more)
    assert advice(desk, "vessel", part_mm=40).word == "TOO HIGH"


def test_a_wall_that_was_never_measured_is_told(desk):
    desk.must(cm.ChooseEquipment("EX-22", "vessel", "EX-GV-04"))

    told = advice(desk, "vessel", "EX-22")

    assert any("never measured" in text for text in told.more)


def test_what_is_left_on_a_part_is_held_against_what_can_burn(desk):
    """NIOSH: 2.0 % by volume; 0.31 mL in 5 L, and 80 cm² x 30 um is 0.24 mL."""
    told = advice(desk, "drying", "EX-21")

    assert told.word == "77%"
    assert any("0.31 mL in this chamber" in text for text in told.more)
    assert any("the drying gate stands" in text for text in told.more)


def test_a_litre_of_alcohol_holds_about_thirty_splints(desk):
    """5 wt% of 785 g take 41 g of resin, 31 parts of 1.3 g (it brings volume too)."""
    told = advice(desk, "bath", "EX-21")

    assert told.word in {"30 PARTS LEFT", "31 PARTS LEFT"}
    assert advice(desk, "bath", parts_done=40).word == "SPENT"


def test_nitrogen_is_flushed_for_a_computed_time(desk):
    """(10 L / 5 L/min) ln(20.9 / 0.1) = 10.7 min."""
    assert advice(desk, "purge").word == "PURGE 10:42"
    told = advice(desk, "purge", chamber_l=400.0)
    assert told.tone == "attention"
    assert told.more[0].endswith("Is it in litres? 1000 cm3 is 1.")


@pytest.mark.parametrize(
    ("stage", "first"),
    [("wash-1", "bath"), ("dry-box", "drying"), ("submerge", "vessel")],
)
def test_the_stage_asks_its_own_advisors_first(stage, first):
    desk = desk_at(stage)

    found = advisors.advisors(desk.bench, desk.part())

    assert found[0].name == first
    assert {each.name for each in found} == set(advisors.ALL)


def test_without_a_part_all_advisors_answer(desk):
    for each in advisors.advisors(desk.bench, None):
        assert advisors.typed(each, {}).word


NUMBERS = st.one_of(
    st.text(max_size=8),
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.sampled_from(["", "-1", "0", "1e400", "nan", "inf", "1,5"]),
)


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_whatever_is_typed_an_advisor_answers_in_a_sentence(data):
    one = data.draw(st.sampled_from(advisors.advisors(BENCH, None)))
    values = {field.name: data.draw(NUMBERS) for field in one.fields}

    told = advisors.typed(one, values)

    assert told.line
    assert "\n" not in told.line
    assert "nan" not in told.word.lower()
    assert told.word or told.tone == "stop"


BENCH = desk_at("wash-1").bench


# --- room light ----------------------------------------------------------------


def test_an_open_dish_is_told_from_its_early_end_to_its_late_one(desk):
    """1296 klx·s at 0.75 klx are 28:48; 30 % less are 20:10."""
    desk.must(
        cm.RecordSmear("EX-RS-C", "bench", 8.0, 162.0),
        cm.ChangeDish("EX-LT-C1", "open", "bench", 0.75),
    )
    row = working_time.room_view(desk.bench, desk.now).dishes[0]
    assert row.left == "20:10 to 28:48 left"

    desk.away(1300)
    row = working_time.room_view(desk.bench, desk.now).dishes[0]
    assert row.left == "7:08 at most, may drag now"
    assert row.tone == "attention"

    desk.away(500)
    row = working_time.room_view(desk.bench, desk.now).dishes[0]
    assert row.left == "used up: throw it away"


def test_without_a_test_of_its_own_nobody_says_how_long(desk):
    desk.must(cm.ChangeDish("EX-LT-C1", "open", "bench", 0.75))
    view = working_time.room_view(desk.bench, desk.now)

    assert view.dishes[0].left == "no smear test of it yet"
    assert "only a shape" in view.note


@pytest.mark.parametrize("klx", ["", "bright"])
def test_a_number_that_is_none_is_refused_in_one_sentence(klx):
    values = {"lot": "EX-LT-C1", "light": "bench", "klx": klx, "minutes": "3"}

    for make in (working_time.dish_command, working_time.smear_command):
        with pytest.raises(UnknownError, match="is not a number"):
            make(values | {"material": "EX-RS-C"})
