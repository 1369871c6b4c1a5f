"""The ledger keeps what counts and what may harm apart, per part, side and layer."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.ledger import (
    bounds,
    cured_by,
    excess,
    next_runs,
    over,
    owed,
    remaining,
    rule_of,
)
from benchassist.domain.plan import runs_ms
from benchassist.domain.state import Exposure, Ready
from tests.domain.builders import CROWN, DENTURE, Desk, desk_at, recipe
from tests.domain.told import report


def exposure(low, high, *, half=1, side="", layers=("body",), evidence="observed"):
    return Exposure(layers, side, half, low, high, "flash", evidence, "R")


def crown_with(*exposures, **more):
    """Return a bench and a crown on it that had these exposures."""
    desk = Desk()
    desk.take(**more)
    part = replace(desk.part(), exposures=exposures)
    return desk.bench.with_part(part), part


def test_a_coat_yet_to_be_laid_is_owed_its_whole_second_half():
    """What the coat under it had is not its own: on paper and in the day it counts."""
    desk = desk_at("checks")
    report(desk, "touched", "yes")
    part = desk.part()
    again = next(stage for stage in part.route[part.at :] if stage.half == 2)
    under = next(stage for stage in part.route if stage.half == 2)

    assert cured_by(part, again) == "coat-2-again-1"
    assert remaining(part, again) == 2200
    assert next_runs(desk.bench, part, again) == (2200,)
    assert runs_ms(desk.bench, part, again) >= 275_000
    # The one behind the part is the newest coat's that it has.
    assert (cured_by(part, under), remaining(part, under)) == ("coat-2", 0)
    desk.work(upto=again.key)
    assert cured_by(desk.part(), again) == desk.part().newest_coat


def stage_of(part, key):
    return next(stage for stage in part.route if stage.key == key)


@given(
    st.lists(
        st.tuples(
            st.integers(0, 5000),
            st.integers(0, 5000),
            st.sampled_from((1, 2)),
            st.sampled_from(("", "A", "B")),
            st.sampled_from((("body",), ("body", "coat-1"))),
        ),
        max_size=6,
    )
)
def test_bounds_add_up_by_layer_side_and_half(rows):
    part = replace(
        CROWN_PART,
        exposures=tuple(
            exposure(min(a, b), max(a, b), half=half, side=side, layers=layers)
            for a, b, half, side, layers in rows
        ),
    )

    for layer in ("body", "coat-1"):
        for side in ("", "A", "B"):
            halves = [
                bounds(part, layer=layer, side=side, half=half) for half in (1, 2)
            ]
            low, high = bounds(part, layer=layer, side=side)
            mine = [each for each in rows if layer in each[4] and each[3] == side]
            assert (
                low == sum(min(a, b) for a, b, *_ in mine) == sum(x for x, _ in halves)
            )
            assert (
                high == sum(max(a, b) for a, b, *_ in mine) == sum(x for _, x in halves)
            )
            assert low <= high


CROWN_PART = crown_with()[1]


def test_what_remains_goes_by_the_low_bound():
    _, part = crown_with(exposure(1360, 1400))

    assert remaining(part, stage_of(part, "half-1")) == 840


def test_nothing_remains_once_the_low_bound_is_there_and_it_never_goes_below():
    _, part = crown_with(exposure(2300, 2400))

    assert remaining(part, stage_of(part, "half-1")) == 0


def test_surplus_of_the_first_half_never_shortens_the_submerged_one():
    bench, part = crown_with(exposure(4400, 4400))

    assert remaining(part, stage_of(part, "half-2")) == 2200
    assert next_runs(bench, part, stage_of(part, "half-2")) == (2200,)


def test_the_submerged_count_is_owed_to_the_newest_coat_in_full():
    desk = desk_at("coat-2", phase=Ready)
    keys = [stage.key for stage in desk.part().route]
    before = replace(
        desk.part(),
        at=keys.index("half-2"),
        exposures=(
            exposure(2200, 2200),
            exposure(2200, 2200, half=2, layers=("body", "coat-1")),
        ),
    )
    first_coat = remaining(before, stage_of(before, "half-2"))
    second = replace(before, work={**before.work, "coat-2": before.work["coat-1"]})

    assert first_coat == 0
    assert remaining(second, stage_of(second, "half-2")) == 2200
    body, coat = owed(desk.bench, second)
    assert (body.low, body.owed) == (4400, 4400)
    assert (coat.layer, coat.low, coat.owed) == ("coat-2", 0, 2200)


def test_the_whole_plan_is_set_until_something_was_given():
    bench, part = crown_with()

    assert next_runs(bench, part, stage_of(part, "half-1")) == (2200,)


@pytest.mark.parametrize(
    ("low", "runs"), [(0, (2200,)), (1, (2200,)), (1360, (900,)), (2199, (100,))]
)
def test_the_remainder_is_rounded_up_to_what_the_box_can_do(low, runs):
    bench, part = crown_with(exposure(low, low))

    assert next_runs(bench, part, stage_of(part, "half-1")) == runs


def test_the_recipe_s_own_counts_win_over_the_box_s():
    desk = Desk()
    fine = recipe("EX-RC-FINE", rule=lib.CountRule(10, 500))
    desk.must(cm.FileLibrary(recipes=(fine,)))
    desk.take(recipe="EX-RC-FINE r1")

    assert rule_of(desk.bench, desk.part()) == lib.CountRule(10, 500)
    desk.take("EX-2", recipe=CROWN)
    assert rule_of(desk.bench, desk.part("EX-2")) == lib.CountRule(100, 3000)


def test_each_side_has_its_own_account():
    bench, part = crown_with(
        exposure(600, 600, side="A"), exposure(500, 600, side="B"), recipe=DENTURE
    )
    accounts = {
        (each.side, each.layer): (each.low, each.high, each.owed)
        for each in owed(bench, part)
    }

    assert accounts == {
        ("A", "body"): (600, 600, 1200),
        ("B", "body"): (500, 600, 1200),
    }


def test_a_part_back_from_a_mouth_owes_only_its_new_coat():
    desk = desk_at("submerge", variant=lib.Variant(coats=1, back_from_mouth=True))
    accounts = {each.layer: each.owed for each in owed(desk.bench, desk.part())}

    assert accounts == {"body": 0, "coat-1": 2200}
    assert excess(desk.bench, desk.part()) == 0


def test_an_account_is_as_sure_as_its_weakest_exposure():
    bench, part = crown_with(
        exposure(1360, 1400, evidence="assumed"),
        exposure(900, 900),
        exposure(2200, 2200, half=2),
    )
    (body,) = owed(bench, part)

    assert (body.evidence, body.low, body.high) == ("assumed", 4460, 4500)
    assert owed(*crown_with())[0].evidence == ""
    assert owed(*crown_with(exposure(1, 1)))[0].evidence == "observed"


def test_over_is_what_the_high_bound_exceeds_the_recipe_by():
    bench, part = crown_with(
        exposure(2200, 2200), exposure(1360, 1400, half=2), exposure(900, 900, half=2)
    )

    assert over(bench, part, "") == 100
    assert over(*crown_with(), "") == 0


def test_what_the_plan_exceeds_the_recipe_by_is_told_for_one_side():
    desk = Desk()
    desk.must(
        cm.FileLibrary(recipes=(recipe("EX-RC-4300", total=4300, sides=("A", "B")),))
    )
    desk.take(recipe="EX-RC-4300 r1", box="BX-500")

    assert excess(desk.bench, desk.part()) == 200


def test_a_coat_on_a_side_without_a_submerged_half_owes_nothing_of_its_own():
    desk = desk_at("coat-2", phase=Ready)
    part = desk.part()
    route = tuple(stage for stage in part.route if stage.key != "half-2")
    bare = replace(part, route=route)

    assert part.newest_coat == "coat-1"
    assert [each.layer for each in owed(desk.bench, part)] == ["body", "coat-1"]
    assert [each.layer for each in owed(desk.bench, bare)] == ["body"]
