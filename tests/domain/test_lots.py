"""Bottles, baskets, warnings accepted for a thing, limits by a validation record."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.gates import GATES, ask_for, is_open
from benchassist.domain.layer import lots_in
from benchassist.domain.limits import limit_on
from benchassist.domain.shelf import fitting
from benchassist.domain.state import Brushing, Paused, Ready
from tests.domain.builders import CROWN, Desk, code_of, names, recipe

DAY_MS = 24 * 3600 * 1000


def brushing(**more):
    desk = Desk()
    desk.take(**more)
    desk.work(upto="coat-1", phase=Brushing)
    return desk


def judged(desk, gate, code="EX-1"):
    return GATES[gate].check(desk.bench, ask_for(desk.bench, desk.part(code)), desk.now)


# --- another bottle in mid-coat -----------------------------------------------------


def test_another_bottle_in_mid_coat_is_on_record_with_the_one_before():
    desk = brushing(recipe="EX-RC-SPLINT r1")
    desk.work(upto="coat-1", phase=Ready)  # one segment of the first coat is tacked
    assert desk.part().work["coat-1"].lots == ("L-COAT",)

    desk.must(cm.ChooseLot("EX-1", "coat", "L-COAT-2"))
    desk.work(upto="coat-1", phase=Brushing)

    assert desk.events(ev.BrushWetted)[-1].lot == "L-COAT-2"
    work = desk.part().work["coat-1"]
    assert work.lot == "L-COAT-2"
    assert work.lots == ("L-COAT", "L-COAT-2")


def test_a_bottle_taken_with_the_brush_wet_is_in_the_layer_at_once():
    desk = brushing()
    desk.must(cm.ChooseLot("EX-1", "coat", "L-COAT-2"))

    assert desk.part().work["coat-1"].lots == ("L-COAT", "L-COAT-2")
    assert lots_in(desk.part(), "coat-1") == ("L-COAT", "L-COAT-2")


def test_an_expired_bottle_is_not_taken_in_mid_coat():
    desk = brushing()
    refusal = desk.do(cm.ChooseLot("EX-1", "coat", "L-OLD"))

    assert code_of(refusal) == "lot-expiry"
    assert "L-COAT" in refusal.remedy
    assert desk.part().work["coat-1"].lots == ("L-COAT",)


def test_under_the_lamp_no_bottle_is_changed_until_the_walk_stands():
    desk = brushing()
    desk.clock.advance(15_000)
    desk.must(cm.StartWalk("EX-1"))
    assert code_of(desk.do(cm.ChooseLot("EX-1", "coat", "L-COAT-2"))) == "lit"

    desk.must(cm.BreakSpot("EX-1"))
    assert isinstance(desk.part().phase, Paused)
    desk.must(cm.ChooseLot("EX-1", "coat", "L-COAT-2"))
    assert desk.part().work["coat-1"].lots == ("L-COAT", "L-COAT-2")


def test_box_and_vessel_are_judged_on_every_bottle_of_a_layer():
    desk = Desk()
    blue = replace(desk.bench.materials["EX-SB"], code="EX-CB")
    desk.must(
        cm.FileLibrary(
            materials=(blue,),
            lots=(lib.Lot("L-CB", "EX-CB", ""),),
            recipes=(recipe("EX-RC-ANY", coat_material=""),),
        )
    )
    desk.take(recipe="EX-RC-ANY r1")
    desk.work(upto="coat-1", phase=Brushing)
    desk.must(cm.ChooseLot("EX-1", "coat", "L-CB"))
    desk.must(cm.ChooseLot("EX-1", "coat", "L-COAT"))

    assert desk.part().work["coat-1"].lots == ("L-COAT", "L-CB")
    assert judged(desk, "box-light").level == "fail"  # the box has no blue at all


def test_a_bottle_put_away_is_offered_to_no_part():
    desk = Desk()
    crown = desk.bench.recipes[CROWN]
    assert fitting(desk.bench, crown, "coat", desk.now) == ("L-COAT", "L-COAT-2")
    assert code_of(desk.do(cm.CloseLot("L-COAT", " "))) == "no-reason"
    desk.must(cm.CloseLot("L-COAT", "empty"))
    assert code_of(desk.do(cm.CloseLot("L-COAT", "empty"))) == "lot-closed"
    assert code_of(desk.do(cm.CloseLot("L-9", "empty"))) == "no-lot"

    assert fitting(desk.bench, crown, "coat", desk.now) == ("L-COAT-2",)
    desk.take(coat_lot="L-COAT-2")
    assert code_of(desk.do(cm.ChooseLot("EX-1", "coat", "L-COAT"))) == "lot-closed"


def test_a_part_planned_for_a_bottle_that_is_gone_is_stopped_at_the_brush():
    desk = Desk()
    desk.take()
    desk.must(cm.CloseLot("L-COAT", "dropped"))
    desk.work(upto="coat-1", phase=Ready)

    refusal = desk.do(cm.WetBrush("EX-1"))
    assert code_of(refusal) == "lot-expiry"
    desk.must(cm.ChooseLot("EX-1", "coat", "L-COAT-2"))
    assert judged(desk, "lot-expiry").level == "pass"


def test_a_coat_may_be_of_the_print_resin_where_the_recipe_says_so():
    desk = Desk()
    own = recipe("EX-RC-SAME", coat_material="EX-C")
    desk.must(cm.FileLibrary(recipes=(own,)))

    assert fitting(desk.bench, own, "coat", desk.now) == ("L-PRINT", "L-PRINT-2")
    assert fitting(desk.bench, own, "stain", desk.now) == (
        "L-STAIN",
        "L-BLUE",
        "L-MIX",
    )


# --- gaps and departures at intake --------------------------------------------------

WHOLE = {
    "part": "EX-1",
    "recipe": CROWN,
    "print_lot": "L-PRINT",
    "coat_lot": "L-COAT",
    "lamp": "LM-A",
    "box": "BX-1",
    "vessel": "GV-1",
}


@pytest.mark.parametrize(
    ("field", "told"),
    [
        ("print_lot", "No print lot"),
        ("coat_lot", "No coat lot"),
        ("lamp", "No lamp"),
        ("box", "No curing box"),
        ("vessel", "No vessel"),
    ],
)
def test_a_gap_is_refused_at_intake_and_chosen_later_with_a_reason(field, told):
    desk = Desk()
    refusal = desk.do(cm.TakeIn(**{**WHOLE, field: ""}))
    assert code_of(refusal) == "gap"
    assert told in refusal.message
    assert refusal.remedy.startswith("Choose ")

    desk.must(cm.TakeIn(**{**WHOLE, field: ""}, reason="on its way"))
    assert desk.events(ev.PartTaken)[0].reason == "on its way"


def test_a_stain_without_its_lot_is_a_gap_too():
    desk = Desk()
    variant = lib.Variant(1, 2)
    refusal = desk.do(cm.TakeIn(**WHOLE, variant=variant))
    assert code_of(refusal) == "more-layers"  # this recipe has no stain at all
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-STAINED", stain_passes=1),)))
    refusal = desk.do(cm.TakeIn(**(WHOLE | {"recipe": "EX-RC-STAINED r1"})))
    assert code_of(refusal) == "gap"
    assert "L-STAIN" in refusal.remedy


def test_what_a_route_never_needs_is_no_gap():
    desk = Desk()
    plain = {"part": "EX-1", "recipe": CROWN, "print_lot": "L-PRINT", "box": "BX-1"}
    none = lib.Variant(0, 0, "none")

    assert names(desk.do(cm.TakeIn(**plain, variant=none)))[0] == "PartTaken"


def test_one_coat_more_than_the_recipe_says_asks_why():
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-VENEER", coats=1),)))
    veneer = WHOLE | {"recipe": "EX-RC-VENEER r1"}
    two = lib.Variant(0, 2)
    refusal = desk.do(cm.TakeIn(**veneer, variant=two))

    assert code_of(refusal) == "more-layers"
    assert "says 1 coat: 2" in refusal.message
    desk.must(cm.TakeIn(**veneer, variant=two, reason="thin at the margin"))
    assert desk.part().variant.coats == 2
    desk.must(cm.TakeIn(**(veneer | {"part": "EX-2"}), variant=lib.Variant(0, 1)))


# --- baskets ------------------------------------------------------------------------


def test_a_part_leaves_its_basket_into_a_tray_of_its_own():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2", "EX-3")))
    (left,) = desk.must(cm.LeaveBasket("EX-2"))

    assert (left.basket, left.tray) == ("B-1", 2)
    assert desk.part("EX-2").tray == 2
    assert desk.bench.basket_of(desk.part("EX-1")) == ("EX-1", "EX-3")
    assert code_of(desk.do(cm.LeaveBasket("EX-2"))) == "basket"
    assert code_of(desk.do(cm.LeaveBasket("EX-3", 2))) == "tray"
    desk.must(cm.LeaveBasket("EX-3", 7))
    assert desk.part("EX-3").tray == 7
    assert desk.bench.baskets == {}


def test_nobody_leaves_a_basket_out_of_the_bath():
    desk = Desk()
    for code in ("EX-1", "EX-2"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2")), cm.StartStage("EX-1"))

    assert code_of(desk.do(cm.LeaveBasket("EX-2"))) == "basket"


# --- a warning accepted for a thing -------------------------------------------------


def at_coat(code="EX-1", desk=None, **more):
    desk = desk or Desk()
    desk.take(code, **more)
    desk.work(code, upto="coat-1", phase=Ready)
    return desk


UNMEASURED = {"vessel": "GV-UNMEASURED"}


def test_an_unmeasured_vessel_is_accepted_once_and_not_for_every_part():
    desk = at_coat(**UNMEASURED)
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "box-light"
    accept = cm.AcceptGate("box-light", "EX-1", "to be measured", "2026-06-30")
    (taken,) = desk.must(accept)

    assert isinstance(taken, ev.ThingAccepted)
    assert taken.scope == "BX-1, GV-UNMEASURED, EX-CC"
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "lamp-session"
    at_coat("EX-2", desk, **UNMEASURED)
    assert code_of(desk.do(cm.WetBrush("EX-2"))) == "lamp-session"  # not asked again


def test_it_ends_on_its_day():
    desk = at_coat(**UNMEASURED)
    desk.must(cm.AcceptGate("box-light", "EX-1", "to be measured", "2026-05-15"))
    gate, found = GATES["box-light"], judged(desk, "box-light")
    assert is_open(desk.bench, gate, found, desk.now.plus(DAY_MS))
    assert not is_open(desk.bench, gate, found, desk.now.plus(2 * DAY_MS))


@pytest.mark.parametrize(
    "until",
    [
        *("2026-05-13", "soon", "2026-13-01", "2027-05-14", "2026-08-13"),
        *("20260531", "2026-W22-1"),  # days to a library, and never past as texts
    ],
)
def test_a_last_day_is_a_day_to_come_and_not_far(until):
    desk = at_coat(**UNMEASURED)
    refusal = desk.do(cm.AcceptGate("box-light", "EX-1", "why", until))

    assert code_of(refusal) == "until"


def test_a_weaker_lamp_than_the_one_accepted_is_asked_about_again():
    desk = at_coat(lamp="LM-C")  # slow: 17 s where 10 are planned
    desk.must(cm.AcceptGate("light-check", "EX-1", "LM-A is away", "2026-06-30"))
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "lamp-session"

    desk.must(cm.ReadLamp("LM-C", 90.0))
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "light-check"
    desk.must(cm.ReadLamp("LM-C", 110.0))
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "lamp-session"


def test_another_spectrum_of_the_thing_is_another_answer():
    desk = at_coat(**UNMEASURED)
    desk.must(cm.AcceptGate("box-light", "EX-1", "to be measured", "2026-06-30"))
    wall = replace(desk.bench.vessels["GV-UNMEASURED"], curve="wall-95")
    desk.must(cm.FileLibrary(vessels=(wall,)))

    assert desk.bench.accepted_things == {}


def test_what_is_about_a_part_is_accepted_part_by_part():
    desk = at_coat(lamp="LM-UNREAD")
    accept = cm.AcceptGate("lamp-reading-age", "EX-1", "why", "2026-06-30")

    assert code_of(desk.do(accept)) == "part-by-part"


# --- the glycerine limit ------------------------------------------------------------

RECORD = {
    "document": "EX-VAL-3",
    "revision": "2",
    "record": "EX-VR-17",
    "until": "2026-12-31",
}


def raised(value=8, **more):
    given = {"reason": "haze measured to 8", **RECORD, **more}
    return cm.SetLimit("glycerine_immersions", value, **given)


def test_the_glycerine_limit_is_raised_by_a_validation_record_alone():
    desk = Desk()
    plain = desk.do(cm.SetLimit("glycerine_immersions", 8, "we want to"))
    assert code_of(plain) == "limit-loosened"
    assert "validation record" in plain.remedy

    (validated,) = desk.must(raised())
    assert (validated.document, validated.record) == ("EX-VAL-3", "EX-VR-17")
    assert limit_on(desk.bench, "glycerine_immersions", desk.now) == 8
    later = desk.now.plus(300 * DAY_MS)
    assert limit_on(desk.bench, "glycerine_immersions", later) == 5


def test_the_gate_counts_by_the_record_while_it_holds():
    desk = Desk()
    for code in ("EX-1", "EX-2"):
        desk.take(code, vessel="GV-2")  # 4 immersions so far
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    assert judged(desk, "glycerine-count").level == "fail"

    desk.must(raised(6))
    assert judged(desk, "glycerine-count").level == "pass"
    desk.clock.advance(300 * DAY_MS)
    assert judged(desk, "glycerine-count").level == "fail"


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"revision": ""}, "no-record"),
        ({"record": " "}, "no-record"),
        ({"reason": ""}, "no-record"),
        ({"until": "2026-05-13"}, "until"),
        ({"until": ""}, "until"),
        ({"value": 21}, "limit-loosened"),
        ({"value": 5.5}, "limit-loosened"),
    ],
)
def test_a_record_is_whole_and_has_an_end(more, code):
    desk = Desk()
    assert code_of(desk.do(raised(**more))) == code
    assert desk.bench.validated == {}


def test_a_stricter_limit_ends_the_record():
    desk = Desk()
    desk.must(raised(), cm.SetLimit("glycerine_immersions", 4, "haze"))

    assert limit_on(desk.bench, "glycerine_immersions", desk.now) == 4
    other = cm.SetLimit("lamp_reading_age_h", 48, "why", **RECORD)
    assert code_of(desk.do(other)) == "limit-loosened"


def test_of_a_basket_that_parts_the_fewer_get_another_tray():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2", "EX-3")))
    assert {part.tray for part in desk.bench.parts.values()} == {1}
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    trays = {code: part.tray for code, part in desk.bench.parts.items()}
    assert trays == {"EX-1": 1, "EX-2": 1, "EX-3": 2}


def test_a_lot_that_expires_between_intake_and_coat_stops_at_the_brush_alone():
    """In date when the part came in, past its day when it is brushed."""
    desk = Desk()
    lot = desk.bench.lots["L-COAT"]
    short = replace(lot, expires=desk.now.day())
    fresh = replace(lot, code="L-FRESH", expires="2099-12-31")
    desk.must(cm.FileLibrary(lots=(short, fresh)))
    desk.take("EX-1")
    desk.work("EX-1", upto="coat-1")
    desk.wait(86_400)
    desk.must(cm.ClaimStation("OP-1"), cm.ReadLamp("LM-A", 1000.0))

    stopped = desk.do(cm.WetBrush("EX-1"))
    assert code_of(stopped) == "lot-expiry"
    desk.must(cm.ChooseLot("EX-1", "coat", "L-FRESH"))
    desk.do(cm.OpenLampSession("LM-A"))
    (wetted,) = desk.must(cm.WetBrush("EX-1"))

    assert wetted.lot == "L-FRESH"
