"""Mishaps of bench and box: dropped, stopped, floated, washed too long, not dry."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.coat import coat_state
from benchassist.domain.mishaps import MISHAPS
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import OnHold, Ready, Soaking, Walking
from tests.domain.builders import Desk, code_of, desk_at, names
from tests.domain.told import all_answers, at, finish, fork, keys, report, rules

# --- dropped ---------------------------------------------------------------------------


def test_dropped_in_glycerine_with_the_coat_wet_leads_to_no_cure():
    # The second half of the touched-and-dropped case: rinse 60 s, dry 15 min.
    desk = at("tacked")
    report(desk, "touched", "strip and recoat")
    desk.work(upto="coat-2-again-1", phase=Walking)
    told, *rest = report(desk, "dropped", "glycerine and out again", "no")

    assert told.title == "Dropped in glycerine, coat wet"
    assert told.steps[0].startswith("Do not cure it")
    assert told.steps[1] == "Swab the wet coat off before rinsing."
    assert told.steps[2] == "Discard the glycerine in GV-1; fill it anew."
    assert told.steps[3] == "Rinse 60 s, wipe with alcohol, dry 15 min."
    assert keys(desk)[:6] == [
        "swab-2", "rinse", "swab-3", "assess", "dry-again-2", "coat-2-again-2",
    ]  # fmt: skip
    part = desk.part()
    rinse, dry = part.route[part.at + 1], part.route[part.at + 4]
    assert (rinse.min_s, dry.min_s) == (60, 900)
    assert (part.coats, part.reworks) == (2, 2)  # nothing of the wet coat had set
    assert rules(desk) == ["touched-tacked", "dropped-wet"]
    assert "GlycerineSpoilt" in names((told, *rest))
    desk.work(upto="coat-2-again-2", phase=Ready)
    refusal = desk.do(cm.WetBrush("EX-1"))
    assert code_of(refusal) == "box-free-for-coat"
    assert "wet coat of EX-1 fell in" in refusal.message
    desk.must(cm.FillGlycerine("GV-1", "G-2"))
    finish(desk)
    assert desk.part().coats == 3


def test_glycerine_spoilt_by_one_is_a_deviation_of_all_that_lie_in_it():
    desk = at("degassing", code="EX-2")
    desk.take(box="BX-2")
    desk.work("EX-1", "coat-1", Walking)
    report(desk, "dropped", "glycerine and out again", "no")

    (deviation,) = desk.events(ev.DeviationOpened)
    assert deviation.parts == ("EX-1", "EX-2")


def test_fished_out_and_put_back_counts_once_more_and_asks_for_debris():
    desk = at("degassing")
    assert desk.bench.fills["GV-1"].immersions == 3
    told, *_ = report(desk, "dropped", "glycerine and back under", "no")

    assert told.steps[0] == "Fished out and back under: GV-1 counts 4 of 5."
    assert desk.bench.fills["GV-1"].immersions == 4
    assert rules(desk) == []
    assert "debris in the glycerine" in desk.bench.checks_of(desk.part())
    desk.work(upto="checks")
    assert code_of(desk.do(cm.RecordCheck("EX-1", "smell"))) == "no-such-check"
    desk.must(
        *(cm.RecordCheck("EX-1", c) for c in desk.bench.recipe_of(desk.part()).checks)
    )
    refusal = desk.sign()
    assert "debris in the glycerine" in refusal.message


def test_put_back_past_the_limit_is_a_deviation():
    desk = at("degassing", vessel="GV-2")
    report(desk, "dropped", "glycerine and back under", "no")

    assert desk.bench.fills["GV-2"].immersions == 6
    assert rules(desk) == ["glycerine-count"]


def test_nothing_is_laid_over_a_film_of_glycerine():
    desk = at("tacked, a coat ahead")
    report(desk, "dropped", "glycerine and out again", "no")

    assert keys(desk)[:5] == ["rinse", "swab", "dry-again", "assess", "coat-2"]
    assert desk.part().reworks == 0


def test_alcohol_takes_an_uncured_coat_off_and_is_dried_out_of_a_bare_part():
    desk = at("tacked")
    report(desk, "dropped", "alcohol", "no")
    assert desk.part().work.keys() == {"coat-1"}

    desk = at("bare")
    report(desk, "dropped", "alcohol", "no")
    assert isinstance(desk.part().phase, Soaking)
    assert (desk.stage(), desk.part().stage.min_s) == ("dry-again", 900)


@pytest.mark.parametrize("state", ["bare", "wet", "tacked", "cured"])
def test_cracked_where_it_bears_asks_for_scrap_and_keeps_the_part_from_release(state):
    desk = at(state)
    told, *_ = report(desk, "cracked", "margin or connector")

    assert told.scrap
    assert rules(desk) == ["cracked"]
    desk.must(cm.ScrapPart("EX-1", "connector cracked"))


# --- the box ------------------------------------------------------------------------------


def two_in_run():
    """Return two crowns in one submerged run of 2200, at its end."""
    desk = Desk()
    for code in ("EX-1", "EX-2"):
        desk.take(code)
        desk.work(code, "submerge", Ready)
    desk.submerge("EX-1", "EX-2")
    desk.wait(60)
    desk.must(cm.StartRun("BX-1"))
    desk.wait(275)
    return desk


def test_a_wrong_count_is_credited_to_every_part_of_the_run_and_the_rest_is_owed():
    # 1000 of 2200 were set: 1200 are owed to both, same immersion if not lifted.
    desk = two_in_run()
    told, *rest = report(desk, "wrong-program", "1000")

    credited = [event for event in rest if isinstance(event, ev.DoseCredited)]
    assert [(each.part, each.low, each.evidence) for each in credited] == [
        ("EX-1", 1000, "observed"),
        ("EX-2", 1000, "observed"),
    ]
    assert told.steps == (
        "Credited to EX-1 and EX-2: 1000 flashes, as read.",
        "Still owed: 1200 flashes. Set 1200 for the next run.",
        "Leave it under: a run without lifting is the same immersion.",
    )
    (deviation,) = desk.events(ev.DeviationOpened)
    assert (deviation.rule, deviation.parts) == ("wrong-program", ("EX-1", "EX-2"))
    assert desk.count("EX-1", "EX-2") == 1200
    assert desk.bench.fills["GV-1"].immersions == 4


def test_more_than_planned_is_over_and_wrong_and_both_stay_open():
    desk = two_in_run()
    told, *_ = report(desk, "wrong-program", "3000")

    assert "This half is complete, 800 more than planned." in told.steps
    assert rules(desk) == ["over-dose", "wrong-program"]
    assert len({each.deviation for each in desk.events(ev.DeviationOpened)}) == 2


def test_a_counter_that_is_lost_is_an_interval_and_never_a_guess():
    desk = two_in_run()
    report(desk, "box-stopped", "", "no")

    assert rules(desk) == ["run-end-not-seen"]
    (first, *_) = desk.events(ev.DoseCredited)[-2:]
    assert (first.low, first.high, first.evidence) == (0, 2200, "assumed")


def test_a_blip_that_stopped_the_box_only_leaves_the_walk_alone():
    desk = at("in the second run", code="EX-2", box="BX-2")
    desk.take()
    desk.work("EX-1", "coat-1", Walking)
    told, *_ = report(desk, "power-blip", "yes", "500", "no")

    assert isinstance(desk.part().phase, Walking)
    assert told.steps[0] == "Credited to EX-2: 500 flashes, as read."
    assert rules(desk) == ["power-blip"]
    assert desk.events(ev.DeviationOpened)[0].parts == ("EX-2",)


@pytest.mark.parametrize("lamp", ["yes", "not sure"])
def test_a_blip_that_may_have_stopped_the_lamp_starts_the_spot_whole(lamp):
    desk = at("wet")
    desk.wait(4)
    decision = report(desk, "power-blip", lamp)

    assert names(decision) == ["MishapReported", "SpotBroken", "WalkPaused"]


def test_nothing_stopped_is_on_the_record_too():
    desk = at("in the first run")
    (told,) = report(desk, "power-blip", "no")

    assert told.steps == ("Nothing stopped: the record says so.",)


# --- the lamp -----------------------------------------------------------------------------


def test_a_lamp_that_died_offers_the_others_at_hand_and_goes_on_with_one_that_sets():
    desk = at("wet")
    desk.wait(4)
    (question,) = MISHAPS["lamp-died"].questions(desk.bench, desk.part(), ())
    assert "LM-BOTH" in question.options
    assert "LM-A" not in question.options

    told, *_ = report(desk, "lamp-died", "LM-BOTH")
    assert dict(told.numbers) == {"seconds": 10, "spots_left": 5}
    assert told.steps[1] == "5 spots left, 1:05 with it; 1:41 to the wet limit."
    assert desk.part().lamp == "LM-BOTH"
    desk.must(cm.OpenLampSession("LM-BOTH"), cm.GoOn("EX-1"))


@pytest.mark.parametrize("lamp", ["LM-B", "none"])
def test_without_a_lamp_that_sets_it_the_segment_is_wiped(lamp):
    desk = at("wet")
    told, *_ = report(desk, "lamp-died", lamp)

    assert any("Wipe the patch off" in step for step in told.steps)
    assert desk.part().lamp == "LM-A"
    assert desk.part().work["coat-1"].spots == ("open",) * 5


# --- glycerine -----------------------------------------------------------------------------


def test_a_splint_floats_and_a_little_steel_holds_it_down():
    # Archimedes: 12 cm³ × (1.26 - 1.19) = 0.84 gf; twice that over 1 - 1.26/7.9 = 2.0 g.
    desk = at("tacked")
    told, *_ = report(desk, "floated", "12", "1.19")

    assert told.steps[:2] == (
        "Floats: 0.84 gf upwards.",
        "Stainless steel of at least 2.0 g holds it down.",
    )
    assert "peg, stub or clip" in told.steps[2]
    assert dict(told.numbers) == {"net_gf": 0.84, "hold_down_g": 2.0}
    assert told.steps[4] == "GV-1, 80 mm, fits the chamber of BX-1."


def test_a_filled_crown_sinks_until_air_is_caught_in_it():
    # 0.45 cm³ × (1.52 / 1.26 - 1) = 0.093 cm³ of air, one bubble of 5.6 mm.
    desk = at("tacked")
    told, *_ = report(desk, "floated", "0.45", "1.52")

    assert (
        told.steps[0] == "Sinks, but fill the hollow side: 0.09 cm³ of air floats it."
    )
    assert "5.6 mm" in told.steps[1]


def test_what_rose_in_the_light_is_suspect():
    desk = at("in the second run")
    report(desk, "floated", "", "", "yes")

    assert rules(desk) == ["floated"]
    assert "tack of the face that rose" in desk.bench.checks_of(desk.part())


def test_a_bubble_of_a_third_of_a_millimetre_takes_nine_minutes():
    # Stokes at 23 °C in pure glycerol, 1078 mPa·s (Cheng 2008): 30 mm in 8.7 min.
    desk = at("degassing")
    told, *_ = report(desk, "bubbles", "rising in the glycerine", "0.3", "30")

    assert told.steps[0] == "0.3 mm rise 30 mm in 8.7 min at 23 °C."
    assert told.title == "Bubbles: wait or brush off"


def test_for_a_smaller_one_nobody_waits():
    desk = at("degassing")
    told, *_ = report(desk, "bubbles", "rising in the glycerine", "0.2", "30")

    assert told.title == "Bubbles: brush them off"
    assert told.steps[1] == "Do not wait for it."
    desk.must(cm.SetLimit("room_celsius", 30, "summer"))
    told, *_ = report(desk, "bubbles", "rising in the glycerine", "0.3", "30")
    assert dict(told.numbers) == {"rise_min": 4.9}  # warm glycerine is thinner


def test_a_crater_is_coated_over():
    desk = at("cured")
    report(desk, "bubbles", "yes")

    assert rules(desk) == ["bubble-on-the-coat-cured"]
    assert "coat-2-again-1" in keys(desk)


# --- wash and drying ---------------------------------------------------------------------


def test_over_washed_takes_the_basket_out_and_asks_how_it_looks():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")), cm.StartStage("EX-1"))
    desk.wait(420)
    told, *_ = report(desk, "over-washed", "no")

    assert told.steps[0] == "In solvent 7:00; at most 5:00 allowed."
    assert {desk.stage("EX-1"), desk.stage("EX-2")} == {"wash-2"}
    (deviation,) = desk.events(ev.DeviationOpened)
    assert (deviation.rule, deviation.parts) == ("over-wash", ("EX-1", "EX-2"))


def test_frosted_and_twice_too_long_asks_for_scrap():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(600)
    told, *_ = report(desk, "over-washed", "yes")

    assert (told.title, told.scrap) == ("Over-washed: scrap it?", True)


def test_not_dry_counts_the_drying_anew():
    desk = at("drying")
    desk.wait(880)
    report(desk, "not-dry", "before the box or the coat")

    assert isinstance(desk.part().phase, Soaking)
    desk.wait(899)
    assert code_of(desk.do(cm.FinishStage("EX-1"))) == "dry-more"
    desk.wait(1)
    desk.must(cm.FinishStage("EX-1"))
    assert desk.stage() == "half-1"


def test_solvent_in_a_running_box_stops_it_first():
    desk = at("in the first run")
    told, *_ = report(desk, "not-dry")

    assert told.steps[0].startswith("Stop the box.")
    assert rules(desk) == ["not-dry"]


@pytest.mark.parametrize(
    ("depth", "scrap"), [("surface only", False), ("into the bulk", True)]
)
def test_bloom_into_the_bulk_asks_for_scrap(depth, scrap):
    desk = at("cured")
    told, *_ = report(desk, "not-dry", "white bloom after the cure", depth)

    assert told.scrap is scrap
    assert rules(desk) == ["bloom"]


def test_a_part_on_hold_that_was_touched_stands_at_its_new_stage():
    desk = at("tacked")
    desk.must(cm.HoldPart("EX-1", "the phone"))
    assert isinstance(desk.part().phase, OnHold)
    assert coat_state(desk.part()) == "tacked"
    report(desk, "touched", "strip and recoat")

    assert isinstance(desk.part().phase, Ready)


def test_no_branch_is_taken_on_a_closed_part():
    desk = at("cured")
    desk.work()

    assert isinstance(desk.do(cm.ReportMishap("EX-1", "touched", ("no",))), Refusal)


# --- the time in a bath ----------------------------------------------------------------


@pytest.mark.parametrize("seconds", [50, 400])
@pytest.mark.parametrize("mishap", MISHAPS)
def test_what_takes_a_part_out_of_its_bath_counts_the_time_it_had_there(
    mishap, seconds
):
    bath = at("washing")
    bath.wait(seconds)
    spent = bath.now.since(bath.part().phase.since)
    if not MISHAPS[mishap].when(bath.bench, bath.part()):
        return
    for answers in all_answers(MISHAPS[mishap], bath.bench, bath.part()):
        desk = fork(bath)
        report(desk, mishap, *answers)
        part = desk.part()
        lies = part.stage.kind == "wash" and isinstance(part.phase, Soaking)
        assert lies or part.solvent_ms == spent
        assert lies or ("over-wash" in rules(desk)) == (seconds > 300)
        assert part.code in desk.bench.advised


@pytest.mark.parametrize("state", ["drying", "degassing", "cured, drying"])
@pytest.mark.parametrize("mishap", MISHAPS)
def test_a_stay_without_solvent_that_a_mishap_ends_counts_for_nothing(mishap, state):
    lying = at(state)
    if not MISHAPS[mishap].when(lying.bench, lying.part()):
        return
    for answers in all_answers(MISHAPS[mishap], lying.bench, lying.part()):
        found = names(report(fork(lying), mishap, *answers))
        assert "RouteChanged" not in found or "StageEnded" not in found
