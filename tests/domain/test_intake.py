"""The store, the library, equipment, and taking parts in."""

import math

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.deciders.limits import limit_amiss
from benchassist.domain.limits import BOUNDS, LIMITS, bounds_of, limit
from benchassist.domain.state import Bench, Ready, Soaking, Store
from tests.domain.builders import (
    CROWN,
    LIBRARY,
    LOTS,
    RECIPES,
    Desk,
    code_of,
    coupon,
    desk_at,
    names,
    recipe,
)


def filed(**entries):
    return cm.FileLibrary(**entries)


# --- the store -----------------------------------------------------------------


def test_a_store_begins_with_its_kind_and_every_limit_with_its_source():
    desk = Desk(filed=None, operator="")

    assert isinstance(desk.entries[0].event, ev.StoreCreated)
    assert desk.bench.store == Store("rehearsal", "EX-STORE", "EX-STATION", "UTC")
    assert {each.code: each.value for each in desk.events(ev.LimitSet)} == {
        code: found.default for code, found in LIMITS.items()
    }
    assert all(each.source for each in desk.events(ev.LimitSet))


def test_the_kind_of_a_store_never_changes():
    desk = Desk()

    assert code_of(desk.do(cm.CreateStore("real", "X", "X", "UTC"))) == "store-exists"
    assert desk.bench.store.kind == "rehearsal"


def test_a_limit_nobody_set_is_its_default():
    assert limit(Bench(), "glycerine_immersions") == 5


# --- the library ---------------------------------------------------------------


def test_a_library_is_filed_whole():
    desk = Desk()
    bench = desk.bench

    assert len(bench.curves) == len(LIBRARY.curves)
    assert set(bench.lots) == {each.code for each in LOTS}
    assert bench.recipes[CROWN] == RECIPES[0]
    assert bench.readings["LM-A"].value == 100
    assert bench.fills["GV-1"].immersions == 2


@pytest.mark.parametrize(
    ("entries", "names_it"),
    [
        ({"lots": (lib.Lot("L-X", "EX-NOWHERE", ""),)}, "EX-NOWHERE"),
        ({"lots": (lib.Lot("L-X", "EX-C", "", (("L-NOWHERE", 1.0),)),)}, "L-NOWHERE"),
        ({"recipes": (recipe("EX-X", material="EX-NOWHERE"),)}, "EX-NOWHERE"),
        ({"readings": (("LM-NOWHERE", 100.0),)}, "LM-NOWHERE"),
        ({"fills": (("GV-NOWHERE", "G-1", 0),)}, "GV-NOWHERE"),
        ({"coupons": ((coupon(lamp="LM-NOWHERE"), ""),)}, "LM-NOWHERE"),
        ({"coupons": ((coupon(material="EX-NOWHERE"), ""),)}, "EX-NOWHERE"),
        ({"coupons": ((coupon(box="BX-NOWHERE"), ""),)}, "BX-NOWHERE"),
        ({"coupons": ((coupon(vessel="GV-NOWHERE"), ""),)}, "GV-NOWHERE"),
        ({"lamps": (lib.Lamp("LM-X", "", "measured", "nowhere", 100.0),)}, "nowhere"),
        ({"vessels": (lib.Vessel("GV-X", "", "nowhere", 80.0),)}, "nowhere"),
        (
            {
                "boxes": (
                    lib.Box(
                        "BX-X",
                        "",
                        "s",
                        1.0,
                        lib.CountRule(),
                        "measured",
                        "nowhere",
                        1.0,
                    ),
                )
            },
            "nowhere",
        ),
    ],
)
def test_a_library_that_names_what_is_not_on_file_is_not_filed_at_all(
    entries, names_it
):
    desk = Desk()
    before = desk.bench
    refusal = desk.do(filed(materials=(LIBRARY.materials[0],), **entries))

    assert code_of(refusal) == "library"
    assert f"“{names_it}”, which is not on file" in refusal.message
    assert desk.bench.materials == before.materials
    assert desk.bench.lots == before.lots


def test_what_a_library_names_may_be_in_the_same_library():
    desk = Desk(filed=None)

    assert isinstance(desk.do(LIBRARY), tuple)


@pytest.mark.parametrize(
    "lots",
    [
        (lib.Lot("L-X", "EX-C", "", (("L-X", 1.0),)),),
        (
            lib.Lot("L-X", "EX-C", "", (("L-Y", 1.0),)),
            lib.Lot("L-Y", "EX-C", "", (("L-X", 1.0),)),
        ),
        (lib.Lot("L-STAIN", "EX-ST", "", (("L-MIX", 1.0),)),),
    ],
    ids=["itself", "each other", "an older one"],
)
def test_a_lot_is_never_mixed_from_itself(lots):
    refusal = Desk().do(filed(lots=lots))

    assert code_of(refusal) == "library"
    assert "mixed from itself" in refusal.message


def test_a_recipe_revision_on_file_is_never_changed():
    desk = Desk()
    assert code_of(desk.do(filed(recipes=(recipe(total=9999),)))) == "recipe-pinned"

    desk.must(filed(recipes=(recipe(), recipe(revision=2, total=9999))))

    assert desk.bench.recipes[CROWN].total == 4400
    assert desk.bench.recipes["EX-RC-CROWN r2"].total == 9999


def test_a_part_keeps_the_recipe_revision_of_its_intake():
    desk = Desk()
    desk.take()
    desk.must(filed(recipes=(recipe(revision=2, total=9999),)))

    assert desk.bench.recipe_of(desk.part()).total == 4400


def test_a_library_may_tighten_a_limit_and_never_loosen_it():
    desk = Desk()
    desk.must(filed(limits=(("glycerine_immersions", 4, "our own oil"),)))
    assert desk.bench.limits["glycerine_immersions"] == 4

    refusal = desk.do(
        filed(limits=(("light_marginal_factor", 1000, "we know better"),))
    )

    assert code_of(refusal) == "limit-loosened"
    assert desk.bench.limits["light_marginal_factor"] == 3
    assert code_of(desk.do(filed(limits=(("patience", 1, "why"),)))) == "no-such-limit"


# --- limits, readings, coupons, fills ------------------------------------------


@pytest.mark.parametrize(
    ("code", "value", "refused"),
    [
        ("glycerine_immersions", 6, True),
        ("glycerine_immersions", 5, False),
        ("glycerine_immersions", 1, False),
        ("lamp_floor", 0.69, True),
        ("lamp_floor", 0.8, False),
        ("light_pass_factor", 1.01, True),
        ("hold_limit_s", 80_000, False),
    ],
)
def test_a_limit_may_be_made_stricter_and_some_may_go_either_way(code, value, refused):
    desk = Desk()
    decision = desk.do(cm.SetLimit(code, value, "our own practice"))

    if refused:
        assert code_of(decision) == "limit-loosened"
        assert desk.bench.limits[code] == LIMITS[code].default
    else:
        assert limit(desk.bench, code) == value
        assert decision[0].source == "the practice"


def test_a_limit_is_set_with_a_reason_and_exists():
    desk = Desk()

    assert code_of(desk.do(cm.SetLimit("hold_limit_s", 3600, " "))) == "no-reason"
    assert code_of(desk.do(cm.SetLimit("patience", 60, "why"))) == "no-such-limit"


@pytest.mark.parametrize("reading", [0, -1, 1e6, math.inf, math.nan])
def test_a_reading_is_a_number_a_meter_can_show(reading):
    assert code_of(Desk().do(cm.ReadLamp("LM-A", reading))) == "reading"


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (cm.ReadLamp("LM-9", 100), "no-equipment"),
        (cm.RecordCoupon("LM-9", "EX-CC", passed=True), "no-equipment"),
        (cm.RecordCoupon("LM-A", "EX-9", passed=True), "no-equipment"),
        (cm.FillGlycerine("GV-9", "G-1"), "no-equipment"),
        (cm.FillGlycerine("GV-1", " "), "no-lot"),
        (cm.ClaimStation("  "), "no-operator"),
    ],
)
def test_what_is_not_on_file_cannot_be_used(command, code):
    assert code_of(Desk().do(command)) == code


def test_glycerine_is_not_changed_while_a_part_lies_in_it():
    desk = desk_at("half-2")
    refusal = desk.do(cm.FillGlycerine("GV-1", "G-2"))

    assert (code_of(refusal), refusal.message) == ("immersed", "EX-1 still lies in it.")
    desk.work()
    assert names(desk.do(cm.FillGlycerine("GV-1", "G-2"))) == ["GlycerineFilled"]


# --- intake --------------------------------------------------------------------


def test_a_part_is_taken_in_with_its_route_and_comes_to_the_front():
    desk = Desk()

    assert names(desk.take()) == ["PartTaken", "PartChosen"]
    assert desk.bench.focus == "EX-1"
    assert desk.part().phase == Ready(desk.now)
    assert desk.part().variant == lib.Variant(0, 2)
    assert desk.part().facing == ""


def test_the_recipe_says_how_many_layers_there_are_unless_the_part_says_otherwise():
    desk = Desk()
    desk.must(filed(recipes=(recipe("EX-RC-STAINED", stain_passes=2, coats=1),)))
    desk.take("EX-1", recipe="EX-RC-STAINED r1")
    desk.take("EX-2", recipe="EX-RC-STAINED r1", variant=lib.Variant(0, 3))

    assert desk.part("EX-1").variant == lib.Variant(2, 1)
    assert desk.part("EX-2").variant == lib.Variant(0, 3)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"part": " "}, "no-code"),
        ({"part": "EX-1"}, "code-taken"),
        ({"recipe": "EX-RC-CROWN r9"}, "no-recipe"),
        ({"print_lot": "L-9"}, "no-lot"),
        ({"coat_lot": "L-9"}, "no-lot"),
        ({"stain_lot": "L-9"}, "no-lot"),
        ({"lamp": "LM-9"}, "no-equipment"),
        ({"box": "BX-9"}, "no-equipment"),
        ({"vessel": "GV-9"}, "no-equipment"),
        ({"box": "BX-STEADY"}, "unit"),
        ({"variant": lib.Variant(1, 0)}, "route"),
        ({"variant": lib.Variant(0, 4)}, "route"),
    ],
)
def test_an_intake_that_does_not_fit_is_refused(changes, code):
    desk = Desk()
    desk.take("EX-1")
    whole = {"part": "EX-2", "recipe": CROWN, "print_lot": "L-PRINT", "box": "BX-1"}
    whole |= {"reason": "as the test wants it"}

    assert code_of(desk.do(cm.TakeIn(**(whole | changes)))) == code
    assert set(desk.bench.parts) == {"EX-1"}


def test_a_part_is_chosen_by_hand_and_choosing_it_again_says_nothing():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")

    assert names(desk.do(cm.ChoosePart("EX-1"))) == ["PartChosen"]
    assert desk.do(cm.ChoosePart("EX-1")) == ()
    assert desk.bench.focused.code == "EX-1"


# --- baskets -------------------------------------------------------------------


def test_parts_at_the_same_stage_go_into_one_basket():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code)
    (formed,) = desk.must(cm.FormBasket(("EX-1", "EX-2", "EX-1")))

    assert (formed.basket, formed.parts) == ("B-1", ("EX-1", "EX-2"))
    assert desk.bench.basket_of(desk.part("EX-3")) == ("EX-3",)


def test_a_new_basket_takes_its_parts_out_of_the_old_one():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3", "EX-4"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2", "EX-3")))
    desk.must(cm.FormBasket(("EX-3", "EX-4")))

    assert desk.bench.baskets == {"B-1": ("EX-1", "EX-2"), "B-2": ("EX-3", "EX-4")}
    desk.must(cm.FormBasket(("EX-2", "EX-3")))
    assert desk.bench.baskets == {"B-3": ("EX-2", "EX-3")}
    assert desk.bench.basket_of(desk.part("EX-1")) == ("EX-1",)
    assert desk.bench.basket_of(desk.part("EX-4")) == ("EX-4",)


def test_a_scrapped_part_leaves_its_basket():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2", "EX-3")), cm.ScrapPart("EX-2", "cracked"))

    assert desk.bench.baskets == {"B-1": ("EX-1", "EX-3")}


@pytest.mark.parametrize("parts", [(), ("EX-1",), ("EX-1", "EX-1")])
def test_one_part_is_no_basket(parts):
    desk = Desk()
    desk.take("EX-1")

    assert code_of(desk.do(cm.FormBasket(parts))) == "basket"


def test_parts_at_different_stages_or_in_a_bath_are_no_basket():
    desk = Desk()
    desk.take("EX-1")
    desk.work("EX-1", "wash-2")
    desk.take("EX-2")
    assert code_of(desk.do(cm.FormBasket(("EX-1", "EX-2")))) == "basket"

    desk.work("EX-2", "wash-1", Soaking)
    refusal = desk.do(cm.FormBasket(("EX-1", "EX-2")))

    assert refusal.message == "EX-2 is busy; put it in when it is ready."


# --- equipment and lots --------------------------------------------------------


@pytest.mark.parametrize(
    ("role", "code"), [("lamp", "LM-C"), ("box", "BX-2"), ("vessel", "GV-2")]
)
def test_other_equipment_is_chosen_by_hand(role, code):
    desk = Desk()
    desk.take()
    desk.must(cm.ChooseEquipment("EX-1", role, code))

    assert getattr(desk.part(), role) == code
    assert code_of(desk.do(cm.ChooseEquipment("EX-1", role, "X-9"))) == "no-equipment"


@pytest.mark.parametrize(
    ("role", "lot"), [("print", "L-PRINT"), ("coat", "L-COAT-2"), ("stain", "L-MIX")]
)
def test_another_lot_is_chosen_by_hand(role, lot):
    desk = Desk()
    desk.take()
    desk.must(cm.ChooseLot("EX-1", role, lot))

    assert getattr(desk.part(), f"{role}_lot") == lot
    assert code_of(desk.do(cm.ChooseLot("EX-1", role, "L-9"))) == "no-lot"


@pytest.mark.parametrize("role", ["print", "coat"])
def test_a_lot_of_another_material_than_the_recipe_says_is_refused(role):
    desk = Desk()
    desk.take()
    before = desk.part()

    assert code_of(desk.do(cm.ChooseLot("EX-1", role, "L-BLUE"))) == "lot-material"
    assert desk.part() == before


def test_a_part_under_glycerine_stays_in_its_vessel():
    desk = desk_at("half-2")

    assert code_of(desk.do(cm.ChooseEquipment("EX-1", "vessel", "GV-2"))) == "immersed"


def test_a_box_whose_counts_cannot_give_the_plan_is_not_taken():
    desk = Desk()
    desk.must(filed(recipes=(recipe("EX-RC-4500", total=4500),)))
    desk.take(recipe="EX-RC-4500 r1", box="BX-500")

    assert code_of(desk.do(cm.ChooseEquipment("EX-1", "box", "BX-1"))) == "box-differs"
    assert (
        code_of(desk.do(cm.ChooseEquipment("EX-1", "box", "BX-PROGRAMS")))
        == "box-differs"
    )
    assert code_of(desk.do(cm.ChooseEquipment("EX-1", "box", "BX-STEADY"))) == "unit"


def test_a_box_left_open_at_intake_has_to_fit_the_plan_and_the_unit():
    desk = Desk()
    desk.take(box="")

    assert code_of(desk.do(cm.ChooseEquipment("EX-1", "box", "BX-STEADY"))) == "unit"
    assert (
        code_of(desk.do(cm.ChooseEquipment("EX-1", "box", "BX-500"))) == "box-differs"
    )
    desk.must(cm.ChooseEquipment("EX-1", "box", "BX-1"))
    assert desk.work().phase.how == "released"


def test_a_box_that_cannot_halve_the_count_is_not_taken():
    desk = Desk()
    one = lib.Box(
        "BX-ONE",
        "",
        "flash",
        8.0,
        lib.CountRule(programs=(4400,)),
        "measured",
        "box-405",
        100.0,
    )
    desk.must(filed(boxes=(one,)))
    desk.take()

    assert (
        code_of(desk.do(cm.ChooseEquipment("EX-1", "box", "BX-ONE"))) == "box-differs"
    )


@pytest.mark.parametrize("code", ["ex-1", "Ex-1", "EX-1"])
def test_capitals_do_not_tell_two_codes_apart(code):
    desk = Desk()
    desk.take("EX-1")
    full = {"lamp": "LM-A", "box": "BX-1", "vessel": "GV-1"}
    take = cm.TakeIn(code, CROWN, "L-PRINT", "L-COAT", "L-STAIN", **full)
    refusal = desk.do(take)

    assert code_of(refusal) == "code-taken"
    assert refusal.message == "EX-1 is already on this bench."


# --- what a limit may be ---------------------------------------------------------


def test_every_limit_has_a_least_and_a_most_with_a_reason_and_its_default_between():
    for code, found in LIMITS.items():
        least, most, why = bounds_of(code)
        assert least <= found.default <= most, code
        assert 0 <= least < most < math.inf, code
        assert why, code
    assert set(BOUNDS) <= set(LIMITS)


@pytest.mark.parametrize("code", LIMITS)
def test_a_limit_is_refused_in_one_sentence_beyond_its_bounds(code):
    least, most, why = bounds_of(code)
    for beyond in (most * 1.01, least - 0.01, math.nan, math.inf, -1.0, 1e9):
        refusal = Desk().do(cm.SetLimit(code, beyond, "as we like it"))
        assert code_of(refusal) in ("limit-bounds", "limit-loosened"), beyond
    for within in (least, most):
        if limit_amiss(code, within) is None:
            desk = Desk()
            desk.must(cm.SetLimit(code, within, "as we like it"))
            assert desk.bench.limits[code] == within
    assert why in _bounds_sentence(code)


def _bounds_sentence(code):
    found = LIMITS[code]
    least, most, _ = bounds_of(code)
    beyond = least - 0.01 if found.tighten == "down" else most + 1
    refusal = limit_amiss(code, beyond)
    assert refusal.code == "limit-bounds"
    assert refusal.message.count(".") == 1 + refusal.message.count(".", 0, -1)
    return refusal.message


def test_a_stall_of_a_million_seconds_and_a_heart_that_stands_are_refused():
    for code, value in (("stall_ms", 1e9), ("heartbeat_s", 0)):
        library = filed(limits=((code, value, "typed wrong"),))
        assert code_of(Desk().do(library)) == "limit-bounds"
        fast = Desk(kind="training", operator="")
        assert isinstance(fast.do(filed(limits=((code, 20_000, "fast"),))), tuple)
