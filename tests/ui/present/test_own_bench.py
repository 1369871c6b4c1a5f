"""From an empty store to the first wash by forms alone, and the shelf by forms."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Soaking
from benchassist.physics.spots import Beam, covering_lattice
from benchassist.sums.spot_map import CROWN_MM, Geometry, faces_of, overlap_of
from benchassist.ui.present import own_bench, pages, rounds, shelf
from benchassist.ui.present.forms import FormError
from benchassist.ui.present.look import look, unrecorded
from tests.domain.builders import Desk

FORMS = {**own_bench.FORMS, **shelf.FORMS}
# What a practice with a label, a leaflet and its own meter types: its own codes.
TYPED = {
    "own-who": {"who": "KR1"},
    "own-box": {
        "code": "box1",
        "counts": "2200",
        "seconds": "275",
        "height": "120",
    },
    "own-lamp": {"code": "lamp1", "mw_cm2": "1000", "reading": "810"},
    "own-resin": {"code": "rs1", "lot": "A4711", "expires": "2027-03-31"},
    "own-recipe": {
        "code": "crown1",
        "ifu": "2025-11",
        "wash_1": "120-300",
        "dry_min": "15",
        "total": "4400",
        "tack_s": "10",
    },
    "fill-bath": {"litres": "1"},
    "own-vessel": {"code": "gv1", "height": "60", "lot": "G12"},
}
CHOSEN = {
    "own-lamp": {"light": "405,460"},
    "own-resin": {"light": "405"},
    "fill-bath": {"bath": "Wash 1"},
}


def values_of(bench, name, **typed):
    """Return what a form holds: what it was filled with, and what a hand typed."""
    view = FORMS[name].view(bench)
    held = {
        field.name: field.value or (field.choices[0][0] if field.choices else "")
        for field in view.fields
    }
    assert not typed.keys() - held.keys()
    return held | typed


def handed_in(desk, name, **typed):
    return desk.do(
        FORMS[name].command(desk.bench, values_of(desk.bench, name, **typed))
    )


@pytest.fixture
def path():
    desk = Desk(kind="real", filed=None, operator="")
    for name, typed in TYPED.items():
        decision = handed_in(desk, name, **typed, **CHOSEN.get(name, {}))
        assert isinstance(decision, tuple), (name, decision)
    return desk


def test_labels_and_a_meter_are_enough_for_the_first_wash(path):
    assert sum(map(len, TYPED.values())) <= 25  # and none of them is physics
    bench = path.bench
    taken = cm.TakeIn(
        part="K-1",
        recipe="crown1 r1",
        print_lot="A4711",
        coat_lot="A4711",
        lamp="lamp1",
        box="box1",
        vessel="gv1",
        variant=bench.recipes["crown1 r1"].usual_variant,
    )
    path.must(taken, cm.StartStage("K-1"))
    assert isinstance(path.bench.parts["K-1"].phase, Soaking)
    assert bench.boxes["box1"].rate_hz == 8.0
    assert bench.readings["lamp1"].value == 810.0
    assert bench.lamps["lamp1"].bands == ((390.0, 420.0), (445.0, 475.0))


def test_the_path_says_what_is_left_and_goes_on_there():
    desk = Desk(kind="real", filed=None, operator="")
    view = own_bench.path(desk.bench, desk.now)
    assert view.options[0].text.startswith("Next: Who works here")
    assert "6 steps" in view.note
    handed_in(desk, "own-who", who="KR1")
    view = own_bench.path(desk.bench, desk.now)
    assert view.rows[0][2:4] == ("KR1", "done")
    assert view.options[0].text == "Next: Curing box"


def test_a_whole_path_offers_the_first_part(path):
    view = own_bench.path(path.bench, path.now)
    assert view.options[0].text == "Take the first part in"
    assert "coupon" in view.note


def test_every_later_names_its_cost():
    assert all(step.later for step in own_bench.STEPS)
    assert len(own_bench.STEPS) <= 9  # a digit each


@pytest.mark.parametrize(
    ("name", "typed", "told"),
    [
        (
            "own-box",
            {"code": "box1", "counts": "0", "seconds": "3", "height": "9"},
            "One full run",
        ),
        ("own-box", {"code": "", "counts": "9", "seconds": "3", "height": "9"}, "Code"),
        ("own-lamp", {"code": "l1", "reading": ""}, "no meter yet"),
        ("own-lamp", {"code": "l1", "reading": "x"}, "not a number"),
        ("own-resin", {"code": "r1"}, "Lot"),
        ("own-resin", {"code": "r1", "lot": "1", "expires": "31.3.27"}, "2027-03-31"),
        (
            "own-resin",
            {"code": "r1", "lot": "1", "light": "", "hand_s": "9"},
            "choose it",
        ),
        ("own-vessel", {"code": "gv", "height": "60"}, "Glycerine"),
        ("bottle", {"scan": "0109506000134353"}, "check digit"),
        ("bottle", {}, "scan the label"),
    ],
)
def test_what_is_wrong_is_said_with_its_field(name, typed, told):
    desk = Desk()
    with pytest.raises(FormError, match=told):
        handed_in(desk, name, **typed)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"wash_1": "300"}, "120-300"),
        ({"wash_1": "300-120"}, "more than the most"),
        ({"dry_min": "0"}, "above 0"),
        ({"item": "try-in", "coats": "1"}, "not coated"),
        ({"ifu": " "}, "Instructions"),
    ],
)
def test_a_recipe_is_as_its_papers_say(path, typed, told):
    with pytest.raises(FormError, match=told):
        handed_in(path, "own-recipe", **(TYPED["own-recipe"] | typed))


def test_a_changed_recipe_is_a_new_revision(path):
    handed_in(path, "own-recipe", **(TYPED["own-recipe"] | {"total": "4000"}))
    assert {"crown1 r1", "crown1 r2"} <= path.bench.recipes.keys()


# --- the shelf ---------------------------------------------------------------------


def test_a_new_bottle_by_scan_needs_no_other_key(path):
    # Its separator is shown, because a field drops characters that nobody can see.
    scan = "010950600013435217290228" + "10LOT-A42|21SN0007"
    (received,) = handed_in(path, "bottle", scan=scan)
    assert received.lot.code == "LOT-A42"
    assert received.lot.expires == "2029-02-28"
    assert received.lot.material == "rs1"  # of the lot that came in last


def test_the_lot_that_ends_first_stands_first(path):
    handed_in(path, "bottle", lot="B1", expires="2026-05-16")
    handed_in(path, "bottle", lot="B2", expires="2026-05-10")
    handed_in(path, "bottle", lot="B3")
    view = shelf.lots(path.bench, path.now)
    assert [row[0] for row in view.rows] == ["B2", "B1", "A4711", "B3"]
    assert [row[-1] for row in view.rows] == [
        "past its day: to nobody",
        "ends in 2 d",
        "",
        "",
    ]
    assert view.rows[-1][2] == "no expiry on file"
    handed_in(path, "close-bottle", lot="B2", reason="old")
    view = shelf.lots(path.bench, path.now)
    assert "B2" not in [row[0] for row in view.rows]
    assert view.note == "1 put away"


def test_a_mix_names_its_parents(path):
    handed_in(path, "bottle", lot="B1", expires="2026-05-16")
    handed_in(
        path, "mix", lot="M1", first="A4711", second="B1", first_g="3", second_g="7"
    )
    assert path.bench.lots["M1"].parents == (("A4711", 0.3), ("B1", 0.7))
    for typed, told in (
        (
            {"first": "B1", "second": "B1", "first_g": "1", "second_g": "1"},
            "another lot",
        ),
        ({"first": "A4711", "second": "B1", "first_g": "0"}, "above 0"),
    ):
        with pytest.raises(FormError, match=told):
            handed_in(path, "mix", lot="M2", **typed)


def test_baths_say_what_is_left(path):
    (row,) = shelf.bath_rows(path.bench)
    assert row[0] == "Wash 1"
    assert "splints left" in row[-1]
    handed_in(path, "measure-bath", density="0.796", fresh="0.785")
    (row,) = shelf.bath_rows(path.bench)
    assert row[2] == "hydrometer"
    assert isinstance(handed_in(path, "rotate-baths"), Refusal)  # there is but one


def test_a_check_is_one_screen_with_a_digit_for_each_answer(path):
    def screen():
        return rounds.view(path.bench, rounds.Round("open"), path.now)

    first = screen()
    assert [each.key for each in first.options] == ["1", "2", "3", "4"]
    path.must(first.options[0].command)
    assert screen().title != first.title
    amiss = screen().options[1]
    assert amiss.needs_text
    path.must(amiss.command.filled("sticks"))
    chosen = rounds.view(path.bench, rounds.Round(), path.now)
    assert chosen.rest.rows[0].right.endswith("was not good")


def test_a_reading_that_was_not_written_is_no_zero(path):
    for name, label in (("measure-bath", "Hydrometer in it"), ("read-box", "It shows")):
        with pytest.raises(FormError, match=rf"{label}: write a number, 0 or more\."):
            handed_in(path, name)


def test_what_is_retired_is_offered_by_no_form(path):
    path.must(cm.RetireThing("lamp", "lamp1", "sold"))
    for name in ("reading", "coupon"):
        view = pages.FORMS[name].view(path.bench)
        (lamps,) = (field.choices for field in view.fields if field.name == "lamp")
        assert lamps == (("", "none"),)
    view = FORMS["service-lamp"].view(path.bench)
    assert view.fields[0].choices == (("", "none"),)


@pytest.mark.parametrize("name", sorted(FORMS))
def test_every_form_opens_on_an_empty_bench(name):
    desk = Desk(kind="real", filed=None, operator="")
    view = FORMS[name].view(desk.bench, "wrong")
    assert view.error == "wrong"
    assert view.name == name
    assert {field.kind for field in view.fields} <= {"text", "number", "choice", "scan"}


def test_that_nothing_is_recorded_stands_in_the_feet_s_place(path):
    view = unrecorded(look(path.bench, path.now))
    assert view.pedal_line == "nothing is recorded: stop"
    assert view.slim.pedal == "not recorded"
    assert view.next_line == look(path.bench, path.now).next_line


def test_a_crown_of_usual_size_is_covered_by_the_usual_beam_and_one_spot_a_side_is_not():
    bench = Desk().bench
    size = Geometry(
        "crown", *CROWN_MM, 5, limit(bench, "beam_mm"), limit(bench, "spot_overlap")
    )
    counts = [count for _, count in own_bench.SPOTS["crown"]]

    assert overlap_of(size, counts).holes == 0
    assert overlap_of(size, (1,) * 5).holes == pytest.approx(0.12, abs=0.01)
    assert sum(counts) == sum(
        covering_lattice(face, Beam(size.beam_mm), overlap=size.overlap).spots
        for face in faces_of(size)
    )
