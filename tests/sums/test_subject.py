"""What a page about light talks of: the part at hand, or any by the first recipe."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.state import Bench
from benchassist.sums.subject import (
    UnknownError,
    second_half_s,
    stand_in,
    subject,
    typed_number,
)
from benchassist.value import replace
from tests.sums.demo import demo_desk


@pytest.fixture
def desk():
    return demo_desk()


@pytest.mark.parametrize(("typed", "number"), [("2.5", 2.5), (" 2,5 ", 2.5), ("7", 7)])
def test_a_number_has_a_point_or_a_comma(typed, number):
    assert typed_number("Length", typed) == number


@pytest.mark.parametrize("typed", ["wide", "", "inf", "nan", "1,000.5"])
def test_what_is_no_number_is_refused_with_what_was_typed(typed):
    with pytest.raises(UnknownError) as refused:
        typed_number("Length", typed)
    assert str(refused.value) == f"Length: “{typed}” is not a number."


def test_it_is_about_the_part_in_front_with_its_own_lot_and_lamp(desk):
    found = subject(desk.bench, desk.now)
    assert (found.part.code, found.lamp, found.lot) == ("EX-22", "EX-LM-A", "EX-LT-C1")
    assert found.title.startswith("EX-22: ")
    assert found.title.endswith(", EX-LT-C1")
    assert subject(desk.bench, desk.now, "EX-LM-C").lamp == "EX-LM-C"

    desk.must(cm.ChoosePart("EX-21"))
    assert subject(desk.bench, desk.now).part.code == "EX-21"


def test_without_a_part_it_is_about_any_by_the_first_recipe_with_a_coat(desk):
    bench = replace(desk.bench, parts={}, focus="")
    found = subject(bench, desk.now)

    assert found.part.code == ""
    assert found.recipe.coats
    assert found.title.startswith(f"any part by {found.recipe.id}: ")
    assert bench.lots[found.lot].material == found.recipe.coat_material
    assert found.coats == max(1, found.part.variant.coats)


def test_a_stand_in_takes_what_is_on_file_and_goes_by_the_recipe_s_way(desk):
    recipe = next(iter(desk.bench.recipes.values()))
    part = stand_in(desk.bench, desk.now, recipe)
    assert part.route
    assert part.box == next(iter(desk.bench.boxes))

    bare = stand_in(Bench(), desk.now, recipe)
    assert (bare.lamp, bare.box, bare.vessel, bare.print_lot) == ("", "", "", "")
    # A count that no program of the box can set has no way, and is asked about so.
    odd = replace(recipe.rule or next(iter(desk.bench.boxes.values())).rule, step=7000)
    assert stand_in(desk.bench, desk.now, replace(recipe, rule=odd)).route == ()


def test_with_no_coat_on_file_there_is_one_sentence(desk):
    with pytest.raises(UnknownError, match="No recipe with a coat is on file"):
        subject(Bench(), desk.now)


def test_the_second_half_lasts_as_its_count_takes_at_the_box_s_rate(desk):
    """2200 flashes at 8 a second: 275 s; half of the recipe's count where none is."""
    found = subject(desk.bench, desk.now)
    assert second_half_s(desk.bench, found) == 275.0
    unplanned = replace(found, part=replace(found.part, route=()))
    assert second_half_s(desk.bench, unplanned) == found.recipe.total / 2 / 8
    with pytest.raises(UnknownError, match="No curing box"):
        second_half_s(replace(desk.bench, boxes={}), found)
