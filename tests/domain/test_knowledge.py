"""How well a light or a layer is known, in words and on the ladder."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import coupon as test
from benchassist.domain import library as lib
from benchassist.domain.box_light import judge_box
from benchassist.domain.coupon import Step
from benchassist.domain.knowledge import Known, document, gap_nm, layer_known, peaks
from tests.domain.builders import CURVES, Desk, box, even, line


def test_what_is_known_is_told_with_where_it_stands():
    assert Known("LM-A", "papers", (), "EX-DS-2 rev. 1").words == (
        "LM-A: from its papers (EX-DS-2 rev. 1)"
    )
    assert Known("LM-A", "guess").words == "LM-A: our guess"


@pytest.mark.parametrize(
    ("how", "rung"),
    [("nothing", 1), ("guess", 2), ("label", 2), ("papers", 4), ("measured", 4)],
)
def test_each_way_of_knowing_has_its_rung(how, rung):
    assert Known("LM-A", how).rung == rung


def test_a_document_counts_with_its_revision_alone():
    assert document(" EX-DS ", " 3 ") == "EX-DS rev. 3"
    assert document("EX-DS", " ") == ""
    assert document("", "3") == ""


def test_a_layer_of_nothing_on_file_is_not_known():
    assert layer_known(Desk().bench, ()) == Known("this layer", "nothing")


def test_a_mix_is_known_as_its_worst_parent():
    bench = Desk().bench
    found = layer_known(bench, ("EX-CC", "EX-CLASS"))

    assert (found.what, found.how) == ("EX-CLASS", "guess")


def test_a_curve_s_bands_lie_around_its_maxima_and_not_around_its_foothills():
    curve = line("x", (100, 405), (10, 460), (9, 500))

    assert peaks(curve) == ((390.0, 420.0), (445.0, 475.0))
    assert peaks(replace(curve, nm=(), values=())) == ()


def test_a_flat_top_is_one_band():
    found = peaks(even("flat", 360.0, 430.0, 5.0))

    assert len(found) == 1


def test_bands_that_touch_leave_no_gap():
    assert gap_nm(((380.0, 400.0),), ((400.0, 420.0),)) == 0.0
    assert gap_nm(((380.0, 399.0),), ((400.0, 420.0),)) == 1.0
    assert gap_nm(((421.0, 430.0),), ((400.0, 420.0),)) == 1.0
    assert gap_nm((), ((400.0, 420.0),)) is None


# --- the words of a coupon's tabs ------------------------------------------------------------


@pytest.mark.parametrize(
    ("step", "words"),
    [
        (Step("blank", "blank"), "blank, no light"),
        (Step("box", "air", seconds=12), "air tab, 12 s"),
        (Step("light", "A", 8, 1, 9), "tab 1 of 9, 8 s"),
        (Step("light", "B", 8, 2, 3, light=2), "tab 2 of 3, 8 s, light 2 of 2"),
        (Step("judge", "B", 8, 2, 3, light=2), "tab 2 of 3, 8 s"),
    ],
)
def test_a_tab_is_told_by_its_set_its_number_and_its_seconds(step, words):
    assert test.words(step) == words


# --- a box through a wall ----------------------------------------------------------------------


def box_case(**changes):
    """Return what a box known by its label does through a wall with a curve."""
    desk = Desk()
    label = box("BX-L", "", knowledge="unknown", bands=((395.0, 415.0),), **changes)
    slope = lib.Curve(
        "slope", "transmittance", (385.0, 425.0), (0.6, 1.0), "EX", "measured"
    )
    vessel = lib.Vessel("GV-S", "", "slope", 80.0, example=True)
    desk.must(
        cm.FileLibrary(
            curves=(*CURVES, slope),
            boxes=(label,),
            vessels=(vessel,),
            fills=(("GV-S", "G-1", 0),),
        )
    )
    desk.take(box="BX-L", vessel="GV-S")
    return judge_box(desk.bench, desk.part(), "L-COAT", 2200)


def test_a_wall_is_read_at_the_middle_of_a_label_s_band():
    # At 405 nm, half way between 0.6 and 1.0.
    assert box_case().through == pytest.approx(0.8)


def test_a_wall_that_was_not_measured_there_lets_nothing_through():
    desk = Desk()
    label = box("BX-L", "", knowledge="unknown", bands=((620.0, 640.0),))
    desk.must(cm.FileLibrary(boxes=(label,)))
    desk.take(box="BX-L")
    found = judge_box(desk.bench, desk.part(), "L-COAT", 2200)

    assert (found.level, found.code, found.through) == ("fail", "wall", 0.0)
