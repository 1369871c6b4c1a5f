"""Washing, drying, hand work, flips, holds, and undoing a start."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.state import InRun, OnHold, Ready, Soaking
from tests.domain.builders import CROWN, DENTURE, Desk, code_of, desk_at, names, recipe


def two_crowns(upto="", phase=None):
    """Return a desk with two crowns in one basket, worked up to a stage."""
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    if upto:
        desk.work("EX-1", upto, phase)
    return desk


# --- washing -------------------------------------------------------------------


def test_a_part_is_not_taken_out_before_its_shortest_stay():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(119)

    refusal = desk.do(cm.TakeOut("EX-1"))

    assert (code_of(refusal), refusal.numbers) == ("too-early", (("left_s", 1.0),))
    assert desk.stage() == "wash-1"


def test_the_time_in_solvent_adds_up_over_the_baths():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(180)
    desk.must(cm.TakeOut("EX-1"), cm.StartStage("EX-1"))
    desk.wait(90)
    desk.must(cm.TakeOut("EX-1"))

    assert desk.part().solvent_ms == 270_000


def test_drying_begins_by_itself_when_the_part_leaves_the_bath():
    desk = desk_at("wash-2", phase=Soaking)
    desk.wait(60)

    assert names(desk.do(cm.TakeOut("EX-1"))) == ["StageEnded", "StageStarted"]
    assert (desk.stage(), desk.part().phase) == ("dry-box", Soaking(desk.now))
    assert desk.part().dry_since == desk.now


def test_staying_too_long_in_a_bath_is_a_deviation():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(301)
    desk.must(cm.TakeOut("EX-1"))

    (found,) = desk.events(ev.DeviationOpened)
    assert (found.rule, found.parts) == ("over-wash", ("EX-1",))
    assert found.text == "Wash 1 took 5:01, at most 5:00 allowed."


def test_staying_too_long_in_all_baths_together_is_a_deviation():
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-TIGHT", solvent_max_s=300),)))
    desk.take(recipe="EX-RC-TIGHT r1")
    desk.must(cm.StartStage("EX-1"))
    desk.wait(200)
    desk.must(cm.TakeOut("EX-1"), cm.StartStage("EX-1"))
    desk.wait(101)
    desk.must(cm.TakeOut("EX-1"))

    (found,) = desk.events(ev.DeviationOpened)
    assert (found.rule, found.parts) == ("solvent-time", ("EX-1",))


def test_a_bath_without_a_longest_stay_is_never_over_washed():
    desk = Desk()
    water = recipe(
        "EX-RC-WATER", washes=(lib.BathStep("Water", 60, 0),), solvent_max_s=9999
    )
    desk.must(cm.FileLibrary(recipes=(water,)))
    desk.take(recipe="EX-RC-WATER r1")
    desk.must(cm.StartStage("EX-1"))
    desk.wait(3600)
    desk.must(cm.TakeOut("EX-1"))

    assert desk.events(ev.DeviationOpened) == []


def test_a_basket_goes_in_and_comes_out_by_one_action_and_is_credited_one_by_one():
    desk = two_crowns()

    assert names(desk.do(cm.StartStage("EX-2"))) == ["StageStarted"]
    desk.wait(130)
    desk.must(cm.TakeOut("EX-1", count=2))

    ended = [(each.part, each.elapsed_ms) for each in desk.events(ev.StageEnded)]
    assert ended == [("EX-1", 130_000), ("EX-2", 130_000)]
    assert desk.part("EX-2").solvent_ms == 130_000


def test_as_many_parts_come_out_as_went_in_or_it_is_asked():
    desk = two_crowns("wash-1", Soaking)
    desk.wait(130)

    refusal = desk.do(cm.TakeOut("EX-1", count=1))

    assert code_of(refusal) == "count-in-out"
    assert refusal.numbers == (("in", 2), ("out", 1))
    assert desk.stage("EX-2") == "wash-1"


def test_a_basket_dries_together_and_its_hand_work_is_one_by_one():
    desk = two_crowns("dry-box")
    desk.wait(900)
    desk.must(cm.FinishStage("EX-2"))
    assert (desk.stage("EX-1"), desk.stage("EX-2")) == ("half-1", "half-1")

    desk.must(cm.ConfirmLoad(("EX-1", "EX-2"), "BX-1", 2200), cm.StartRun("BX-1"))
    desk.wait(275)
    desk.must(cm.TellRunEnd("R-1", "completed"), cm.FinishStage("EX-1"))

    assert (desk.stage("EX-1"), desk.stage("EX-2")) == ("refine", "supports")


def test_one_of_a_basket_is_coated_while_the_other_is_still_at_hand_work():
    desk = two_crowns("half-1")
    desk.must(cm.ConfirmLoad(("EX-1", "EX-2"), "BX-1", 2200), cm.StartRun("BX-1"))
    desk.wait(275)
    desk.must(cm.TellRunEnd("R-1", "completed"))

    desk.work("EX-1", "coat-2")

    assert desk.stage("EX-2") == "supports"


def test_one_of_a_basket_is_rinsed_while_the_other_stays_under_glycerine():
    desk = two_crowns("half-1")
    desk.load("EX-1", "EX-2")
    desk.work("EX-1", "submerge")
    desk.work("EX-2", "submerge")
    desk.submerge("EX-1", "EX-2")
    desk.wait(61)
    desk.must(cm.StartRun("BX-1"))
    desk.wait(275)
    desk.must(cm.TellRunEnd("R-2", "stopped", 2100))
    # One is topped up alone; the other waits where it is.
    desk.work("EX-1", "rinse")
    assert desk.stage("EX-2") == "half-2"

    desk.must(cm.StartStage("EX-1"))

    assert (desk.part("EX-1").phase, desk.part("EX-2").phase.kind) == (
        Soaking(desk.now),
        "ready",
    )


def test_a_part_on_hold_is_left_out_when_its_basket_starts():
    desk = two_crowns()
    desk.must(cm.HoldPart("EX-2", "margin looks odd"), cm.StartStage("EX-1"))

    assert desk.events(ev.StageStarted)[-1].parts == ("EX-1",)
    assert desk.part("EX-2").phase.kind == "on hold"


def test_who_went_in_later_is_not_taken_out_with_the_others():
    desk = two_crowns()
    desk.must(cm.HoldPart("EX-2", "margin looks odd"), cm.StartStage("EX-1"))
    desk.wait(90)
    desk.must(cm.ResumePart("EX-2"), cm.StartStage("EX-2"))
    desk.wait(60)

    desk.must(cm.TakeOut("EX-1"))

    assert (desk.stage("EX-1"), desk.stage("EX-2")) == ("wash-2", "wash-1")
    assert code_of(desk.do(cm.TakeOut("EX-2"))) == "too-early"


def test_who_began_to_dry_later_is_not_dry_with_the_others():
    desk = two_crowns("half-1")
    desk.load("EX-1", "EX-2")
    desk.work("EX-1", "dry-coat")
    desk.wait(250)
    desk.work("EX-2", "dry-coat")
    desk.wait(50)

    desk.must(cm.FinishStage("EX-1"))

    assert (desk.stage("EX-1"), desk.stage("EX-2")) == ("mount", "dry-coat")
    assert code_of(desk.do(cm.FinishStage("EX-2"))) == "dry-before-coat"


def test_a_bath_that_runs_is_not_started_again():
    desk = desk_at("wash-1", phase=Soaking)

    assert code_of(desk.do(cm.StartStage("EX-1"))) == "not-at-stage"


def test_nothing_is_taken_out_that_is_not_in():
    desk = desk_at("wash-1", phase=Ready)

    assert code_of(desk.do(cm.TakeOut("EX-1"))) == "not-at-stage"


# --- drying and hand work ------------------------------------------------------


def test_drying_before_the_box_says_how_long_and_is_not_skipped():
    desk = desk_at("dry-box")
    desk.wait(360)

    refusal = desk.do(cm.FinishStage("EX-1"))

    assert code_of(refusal) == "dry-before-box"
    assert refusal.message == "dry 9 min more"
    assert refusal.numbers == (("left_s", 540.0), ("least_s", 900))
    assert not refusal.acceptable


@pytest.mark.parametrize(
    ("stage", "code"), [("dry-coat", "dry-before-coat"), ("dry-end", "dry-more")]
)
def test_every_other_drying_has_its_time_too(stage, code):
    desk = desk_at(stage)

    assert code_of(desk.do(cm.FinishStage("EX-1"))) == code


def test_drying_ends_when_it_is_asked_to_and_not_before():
    desk = desk_at("dry-box")
    desk.wait(900)

    assert desk.stage() == "dry-box"
    assert names(desk.do(cm.FinishStage("EX-1"))) == ["StageEnded"]
    assert desk.stage() == "half-1"


def test_a_route_without_a_wash_dries_from_the_moment_of_intake():
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-CLEAN", washes=()),)))
    desk.take(recipe="EX-RC-CLEAN r1")

    assert (desk.stage(), desk.part().phase) == ("dry-box", Soaking(desk.now))


def test_hand_work_takes_as_long_as_it_took():
    desk = desk_at("supports")
    desk.wait(240)
    desk.must(cm.FinishStage("EX-1"))

    assert desk.events(ev.StageEnded)[-1].elapsed_ms == 240_000


@pytest.mark.parametrize("stage", ["wash-1", "half-1", "coat-1", "submerge", "checks"])
def test_only_hand_work_and_drying_are_finished_by_saying_so(stage):
    desk = desk_at(stage)

    assert code_of(desk.do(cm.FinishStage("EX-1"))) == "not-at-stage"


# --- flip and hold -------------------------------------------------------------


def test_a_flip_is_its_own_confirmed_step():
    desk = desk_at("flip-1", recipe=DENTURE)
    assert desk.part().facing == "A"

    assert names(desk.do(cm.ConfirmFlip("EX-1"))) == ["FlipConfirmed", "StageEnded"]
    assert (desk.part().facing, desk.stage()) == ("B", "half-1-B")


def test_a_part_is_turned_only_where_its_route_says_so():
    desk = desk_at("half-1-A", recipe=DENTURE)

    assert code_of(desk.do(cm.ConfirmFlip("EX-1"))) == "not-at-stage"


def test_a_part_on_hold_is_not_turned():
    desk = desk_at("flip-1", recipe=DENTURE)
    desk.must(cm.HoldPart("EX-1", "phone"))

    assert code_of(desk.do(cm.ConfirmFlip("EX-1"))) == "not-at-stage"


def test_the_hold_of_the_route_ends_by_hand():
    desk = desk_at("hold", variant=lib.Variant(coats=1, hold_between=True))
    desk.must(cm.HoldPart("EX-1", "later today"))
    desk.wait(3600)

    assert names(desk.do(cm.ResumePart("EX-1"))) == ["StageEnded"]
    assert desk.stage() == "submerge"


def test_a_hold_elsewhere_brings_the_part_back_to_where_it_was():
    desk = desk_at("fit")
    desk.must(cm.HoldPart("EX-1", "phone"))
    desk.wait(60)

    assert names(desk.do(cm.ResumePart("EX-1"))) == ["HoldEnded"]
    assert (desk.stage(), desk.part().phase) == ("fit", Ready(desk.now))


def test_a_hold_longer_than_its_limit_is_a_deviation():
    desk = desk_at("hold", variant=lib.Variant(coats=1, hold_between=True))
    desk.must(cm.HoldPart("EX-1", "later today"))
    desk.away(8 * 3600 + 1)
    desk.must(cm.ResumePart("EX-1"))

    (found,) = desk.events(ev.DeviationOpened)
    assert (found.rule, found.text) == (
        "hold",
        "Held 8:00:01, at most 8:00:00 allowed.",
    )


@pytest.mark.parametrize("command", [cm.ResumePart("EX-1"), cm.TakeOut("EX-1")])
def test_a_part_that_waits_ready_is_neither_resumed_nor_taken_out(command):
    desk = desk_at("fit")

    assert code_of(desk.do(command)) == "not-at-stage"


def test_a_part_in_a_bath_is_not_put_on_hold():
    desk = desk_at("wash-1", phase=Soaking)

    assert code_of(desk.do(cm.HoldPart("EX-1", "phone"))) == "not-at-stage"


def test_a_part_on_hold_gives_its_place_in_the_box_back():
    desk = two_crowns("half-1")
    desk.must(cm.ConfirmLoad(("EX-1",), "BX-1", 2200), cm.HoldPart("EX-1", "not yet"))

    assert names(desk.do(cm.ConfirmLoad(("EX-2",), "BX-1", 2200))) == ["LoadConfirmed"]


# --- undo ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("really_ran", "kept_ms"), [("no", 0), ("yes", 6000), ("not sure", 6000)]
)
def test_undoing_a_wash_keeps_the_solvent_time_unless_it_never_was_wet(
    really_ran, kept_ms
):
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(6)

    (voided,) = desk.must(cm.VoidStart(really_ran))

    assert (voided.elapsed_ms, voided.really_ran) == (6000, really_ran)
    assert desk.part().solvent_ms == kept_ms
    assert (desk.stage(), desk.part().phase) == ("wash-1", Ready(desk.now))


def test_undo_takes_the_whole_basket_back():
    desk = two_crowns("wash-1", Soaking)
    desk.wait(3)
    desk.must(cm.VoidStart("yes"))

    assert desk.part("EX-1").solvent_ms == desk.part("EX-2").solvent_ms == 3000
    assert desk.part("EX-2").phase == Ready(desk.now)


def test_undo_is_for_ten_seconds():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(10)
    in_time = desk.bench
    desk.clock.advance(1)

    assert code_of(desk.do(cm.VoidStart("no"))) == "undo-late"
    assert in_time.last_start is not None


def test_nothing_is_undone_twice_or_before_anything_was_started():
    desk = desk_at("wash-1", phase=Ready)
    assert code_of(desk.do(cm.VoidStart("no"))) == "nothing-to-undo"

    desk.must(cm.StartStage("EX-1"), cm.VoidStart("no"))

    assert code_of(desk.do(cm.VoidStart("no"))) == "nothing-to-undo"


def test_a_start_whose_stage_is_over_is_not_undone():
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-DIP", rinse_s=5),)))
    desk.take(recipe="EX-RC-DIP r1")
    desk.work(upto="rinse")
    desk.must(cm.StartStage("EX-1"))
    desk.wait(6)
    desk.must(cm.TakeOut("EX-1"))

    assert code_of(desk.do(cm.VoidStart("yes"))) == "nothing-to-undo"
    assert desk.part().phase.kind == "soaking"


def test_a_run_that_was_told_is_not_undone():
    desk = desk_at("half-1", phase=InRun)
    desk.must(cm.TellRunEnd("R-1", "stopped", 2200, "earlier"))

    assert code_of(desk.do(cm.VoidStart("no"))) == "nothing-to-undo"
    assert desk.stage() == "supports"


def test_undoing_a_run_that_never_ran_asks_for_the_load_card_again():
    desk = desk_at("half-1", phase=InRun)
    desk.wait(4)
    desk.must(cm.VoidStart("no"))

    assert desk.part().phase == Ready(desk.now)
    assert desk.bench.runs == {}
    assert code_of(desk.do(cm.StartRun("BX-1"))) == "load-card"
    assert desk.part().exposures == ()


@pytest.mark.parametrize("really_ran", ["yes", "not sure"])
def test_undoing_a_run_that_may_have_run_asks_what_the_box_did(really_ran):
    desk = desk_at("half-1", phase=InRun)
    desk.wait(6)

    assert names(desk.do(cm.VoidStart(really_ran))) == ["StartVoided", "RunInterrupted"]
    assert desk.bench.runs["R-1"].interrupted == (0, 48)
    assert desk.part().phase == InRun("R-1")
    desk.must(cm.TellRunEnd("R-1", "stopped", 40))
    assert desk.part().exposures[0].low == 40
    assert desk.stage() == "half-1"


# --- who and what --------------------------------------------------------------


ABOUT_A_PART = [
    cm.ChoosePart("EX-9"),
    cm.ChooseEquipment("EX-9", "lamp", "LM-A"),
    cm.ChooseLot("EX-9", "coat", "L-COAT"),
    cm.StartStage("EX-9"),
    cm.TakeOut("EX-9"),
    cm.FinishStage("EX-9"),
    cm.ConfirmLoad(("EX-9",), "BX-1", 2200),
    cm.ConfirmSubmerged(("EX-9",), "BX-1", "GV-1", 2200),
    cm.ConfirmFlip("EX-9"),
    cm.WetBrush("EX-9"),
    cm.StartWalk("EX-9"),
    cm.BreakSpot("EX-9"),
    cm.HoldHere("EX-9"),
    cm.GoOn("EX-9"),
    cm.BackOne("EX-9"),
    cm.TellCoatState("EX-9", "wet and clean"),
    cm.AcceptGate("light-check", "EX-9", "why"),
    cm.OpenDeviation(("EX-9",), "it fell"),
    cm.HoldPart("EX-9", "phone"),
    cm.ResumePart("EX-9"),
    cm.RecordCheck("EX-9", "inspection"),
    cm.ReleasePart("EX-9"),
    cm.ScrapPart("EX-9", "broken"),
    cm.FormBasket(("EX-9", "EX-8")),
]


def named(command):
    return type(command).__name__


@pytest.mark.parametrize("command", ABOUT_A_PART, ids=named)
def test_a_command_about_a_part_nobody_took_in_is_refused(command):
    assert code_of(Desk().do(command)) == "no-such-part"


@pytest.mark.parametrize(
    "command",
    [each for each in ABOUT_A_PART if not isinstance(each, cm.OpenDeviation)],
    ids=named,
)
def test_a_released_part_is_touched_no_more(command):
    desk = Desk()
    desk.take("EX-9")
    desk.work("EX-9")
    before = desk.part("EX-9")

    assert code_of(desk.do(command)) == "closed"
    assert desk.part("EX-9") == before


@pytest.mark.parametrize("command", ABOUT_A_PART, ids=named)
def test_nothing_is_done_without_an_operator(command):
    desk = Desk(operator="")

    assert code_of(desk.do(command)) == "no-operator"


def test_the_stages_of_a_plain_crown_come_in_the_order_of_the_trade():
    desk = Desk()
    desk.take(recipe=CROWN)
    desk.work()

    assert [each.stage for each in desk.events(ev.StageEnded)] == [
        "wash-1",
        "wash-2",
        "dry-box",
        "half-1",
        "supports",
        "refine",
        "fit",
        "clean",
        "dry-coat",
        "mount",
        "coat-1",
        "coat-2",
        "submerge",
        "half-2",
        "rinse",
        "dry-end",
        "checks",
    ]
    assert desk.events(ev.CommandRefused) == []


def test_a_part_is_on_hold_until_it_is_resumed():
    desk = desk_at("fit")
    desk.must(cm.HoldPart("EX-1", "phone"))

    assert desk.part().phase == OnHold(desk.now)
    assert code_of(desk.do(cm.FinishStage("EX-1"))) == "not-at-stage"
