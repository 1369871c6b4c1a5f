"""Two operators at one bench: claims, take-over, hand-over, and who did what."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.advice import hand_over_list
from benchassist.domain.holders import holder, who_tacked
from benchassist.domain.state import InRun, Paused, Ready, Soaking, Walking
from tests.domain.builders import SPLINT, Desk, code_of, desk_at, names


def at_spot_14():
    """Return an arch of OP-1 that stands after spot 14 of 60, LM-A in hand."""
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    desk.step()
    desk.step()
    desk.wait(101)  # spots 1 to 8
    desk.step()
    desk.step()
    desk.wait(6 * 13 - 3)  # spots 9 to 14
    desk.must(cm.BreakSpot("EX-1"))
    return desk


# --- claims ---------------------------------------------------------------------


def test_a_lamp_in_another_s_hand_is_refused_with_holder_and_progress():
    desk = at_spot_14()
    desk.must(cm.ClaimStation("OP-2"))
    desk.take("EX-2", lamp="LM-C")

    for command in (
        cm.ChooseEquipment("EX-2", "lamp", "LM-A"),
        cm.OpenLampSession("LM-A"),
    ):
        refusal = desk.do(command)
        assert code_of(refusal) == "claimed"
        assert refusal.message == "LM-A with OP-1, EX-1 spot 14 of 60."
        assert "take it over by hand with a reason" in refusal.remedy


@pytest.mark.parametrize(
    "command",
    [cm.GoOn("EX-1"), cm.HoldPart("EX-1", "why"), cm.ScrapPart("EX-1", "why")],
)
def test_a_part_with_another_s_wet_coat_is_not_acted_on(command):
    desk = at_spot_14()
    desk.must(cm.ClaimStation("OP-2"))

    refusal = desk.do(command)
    assert code_of(refusal) == "claimed"
    assert refusal.message == "EX-1 with OP-1, spot 14 of 60."


def test_the_foot_of_one_does_not_act_on_the_part_of_another():
    desk = at_spot_14()
    desk.must(cm.ClaimStation("OP-2"), cm.ChoosePart("EX-1"))

    assert code_of(desk.press()) == "claimed"


def test_anybody_may_look_at_a_claimed_part_and_say_that_it_fell():
    desk = at_spot_14()
    desk.must(cm.ClaimStation("OP-2"), cm.ChoosePart("EX-1"))
    report = cm.ReportMishap("EX-1", "dropped", ("bench or floor", "no"))

    assert names(desk.must(report))[0] == "MishapReported"


def test_a_coat_s_claim_goes_with_the_coat_and_a_claim_by_hand_stays():
    desk = desk_at("coat-1", phase=Ready)
    desk.work(upto="coat-1", phase=Walking)
    assert holder(desk.bench, "part", "EX-1") == "OP-1"
    desk.work(upto="coat-2", phase=Ready)
    assert holder(desk.bench, "part", "EX-1") == ""

    desk.must(cm.ClaimThing("part", "EX-1"))
    desk.work(upto="submerge", phase=Ready)
    assert holder(desk.bench, "part", "EX-1") == "OP-1"
    desk.must(cm.ClaimStation("OP-2"))
    assert code_of(desk.do(cm.ClaimThing("part", "EX-1"))) == "claimed"


def test_whoever_picks_up_another_lamp_has_put_the_first_one_down():
    desk = Desk()
    desk.must(cm.OpenLampSession("LM-A"), cm.OpenLampSession("LM-C"))

    assert (holder(desk.bench, "lamp", "LM-A"), holder(desk.bench, "lamp", "LM-C")) == (
        "",
        "OP-1",
    )
    desk.must(cm.PutDown("lamp", "LM-C"))
    assert (desk.bench.claims, desk.bench.lamp_session) == ({}, None)


def test_a_restart_keeps_what_was_claimed_by_hand_and_empties_the_hands():
    desk = at_spot_14()
    desk.must(cm.ClaimThing("lamp", "LM-C"))
    desk.do(cm.Reopen("2", desk.now), "tool")

    assert list(desk.bench.claims) == [("lamp", "LM-C")]


def test_a_released_part_is_nobody_s():
    desk = desk_at("checks")
    desk.must(cm.ClaimThing("part", "EX-1"))
    desk.work()

    assert desk.bench.claims == {("lamp", "LM-A"): desk.bench.claims["lamp", "LM-A"]}


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (cm.ClaimThing("lamp", "LM-9"), "no-equipment"),
        (cm.ClaimThing("part", "EX-9"), "no-such-part"),
        (cm.PutDown("lamp", "LM-A"), "not-claimed"),
        (cm.TakeOver("lamp", "LM-A", "why"), "not-claimed"),
        (cm.HandOver(" "), "no-operator"),
        (cm.HandOver("OP-1"), "no-operator"),
        (cm.ClaimStation(" "), "no-operator"),
    ],
)
def test_a_claim_on_nothing_is_refused_in_words(command, code):
    assert code_of(Desk().do(command)) == code


# --- take-over ------------------------------------------------------------------


def test_a_take_over_needs_a_reason_and_keeps_both_names():
    desk = at_spot_14()
    desk.must(cm.ClaimStation("OP-2"))
    assert code_of(desk.do(cm.PutDown("lamp", "LM-A"))) == "claimed"
    assert code_of(desk.do(cm.TakeOver("lamp", "LM-A", " "))) == "no-reason"

    (taken,) = desk.must(cm.TakeOver("lamp", "LM-A", "OP-1 is at the chair"))
    assert (taken.holder, taken.who, taken.reason) == (
        "OP-1",
        "OP-2",
        "OP-1 is at the chair",
    )
    assert holder(desk.bench, "lamp", "LM-A") == "OP-2"
    assert holder(desk.bench, "part", "EX-1") == "OP-1"
    desk.must(cm.OpenLampSession("LM-A"))


def test_the_station_is_not_taken_out_of_a_hand_that_tacks():
    desk = at_spot_14()
    desk.must(cm.GoOn("EX-1"))

    refusal = desk.do(cm.ClaimStation("OP-2"))
    assert (code_of(refusal), refusal.part) == ("coat-in-hand", "EX-1")
    desk.must(cm.ClaimStation("OP-1"))  # oneself may always say so again
    desk.must(cm.CallAway(), cm.ClaimStation("OP-2"))
    assert desk.bench.operator == "OP-2"


# --- hand-over ------------------------------------------------------------------


def test_the_hand_over_list_is_ranked_by_harm():
    desk = desk_at("half-1", phase=InRun, code="EX-4", box="BX-2")
    desk.take("EX-3")
    desk.work("EX-3", "dry-box", Soaking)
    desk.take("EX-2")
    desk.work("EX-2", "wash-1", Soaking)
    desk.take("EX-1", recipe=SPLINT)
    desk.bench  # noqa: B018 - what runs so far: a box, a drying basket, a wash
    wash = next(
        task for task in hand_over_list(desk.bench, desk.now) if task.part == "EX-2"
    )
    assert wash.reason == "alcohol"

    listed = [(task.part, task.reason) for task in hand_over_list(desk.bench, desk.now)]
    assert listed[0] == ("EX-2", "alcohol")
    assert listed[1] == ("EX-4", "box")
    assert {part for part, _ in listed[2:]} == {"EX-1", "EX-3"}


def test_a_wet_segment_is_handed_over_first_of_all():
    desk = at_spot_14()
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))

    assert [task.reason for task in hand_over_list(desk.bench, desk.now)][:2] == [
        "wet coat",
        "alcohol",
    ]


def test_after_a_hand_over_the_next_pair_of_hands_looks_and_confirms_its_own_glasses():
    desk = at_spot_14()
    desk.must(cm.GoOn("EX-1"))
    desk.wait(2)
    decision = desk.must(cm.HandOver("OP-2"))

    assert names(decision) == ["SpotBroken", "WalkPaused", "StationHandedOver"]
    assert desk.bench.operator == "OP-2"
    assert (
        holder(desk.bench, "lamp", "LM-A")
        == holder(desk.bench, "part", "EX-1")
        == "OP-2"
    )
    assert isinstance(desk.part().phase, Paused)
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "look-first"
    desk.must(cm.TellCoatState("EX-1", "wet and clean"))
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "lamp-session"
    desk.must(cm.OpenLampSession("LM-A"), cm.GoOn("EX-1"))


def test_the_day_log_says_who_tacked_which_spots():
    desk = at_spot_14()
    desk.must(
        cm.HandOver("OP-2"),
        cm.TellCoatState("EX-1", "wet and clean"),
        cm.OpenLampSession("LM-A"),
        cm.GoOn("EX-1"),
    )
    desk.work(upto="coat-2", phase=Ready)

    lines = [each.line for each in who_tacked(desk.entries)]
    assert lines == [
        "EX-1 coat-1, spots 1 to 14: OP-1",
        "EX-1 coat-1, spots 15 to 60: OP-2",
    ]
    assert {each.operator for each in desk.entries[-40:]} == {"OP-2"}


def test_one_wet_coat_is_one_operator_s():
    desk = at_spot_14()
    desk.take("EX-2", lamp="LM-BOTH")
    desk.must(cm.ClaimStation("OP-2"))
    desk.work("EX-2", "coat-1", Ready)

    assert names(desk.must(cm.OpenLampSession("LM-BOTH"), cm.WetBrush("EX-2"))) == [
        "BrushWetted"
    ]


# --- unconfirmed ----------------------------------------------------------------


def test_after_ten_idle_minutes_entries_are_marked_until_the_station_is_claimed():
    desk = Desk()
    desk.wait(599)
    assert desk.bench.signed_by == "OP-1"
    desk.wait(60)
    assert desk.events(ev.OperatorUnconfirmed) == [ev.OperatorUnconfirmed("OP-1")]
    assert desk.bench.signed_by == "OP-1 (unconfirmed)"
    assert desk.bench.operator == "OP-1"  # timers and lamp sessions go on

    desk.must(cm.ClaimStation("OP-1"))
    assert desk.bench.signed_by == "OP-1"


def test_whoever_acts_is_there():
    desk = Desk()
    desk.take()
    desk.wait(599)
    desk.press()
    desk.wait(599)

    assert desk.events(ev.OperatorUnconfirmed) == []


def test_nobody_is_unconfirmed_where_nobody_claimed_the_station():
    desk = Desk(operator="")
    desk.wait(1200)

    assert desk.events(ev.OperatorUnconfirmed) == []


def test_an_unconfirmed_operator_keeps_lamp_and_light_time():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"))
    desk.wait(660)
    assert desk.bench.unconfirmed
    desk.must(cm.WetBrush("EX-1"))
    desk.wait(15)
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(62)

    assert list(desk.bench.lamp_on_ms) == [("2026-05-14", "OP-1", "")]
