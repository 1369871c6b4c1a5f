"""What now: every mishap, its questions, and its branch by state of the coat."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.mishaps import branch_for
from benchassist.domain.ledger import owed
from benchassist.domain.library import Variant
from benchassist.domain.mishaps import MISHAPS, offered
from benchassist.domain.mishaps.kind import Branch
from benchassist.domain.state import Closed, Ready, Walking
from tests.domain.builders import SPLINT, code_of, desk_at, names
from tests.domain.told import STATES, all_answers, at, finish, fork, keys, report, rules

NEVER_SAID = ("safe", "fully cured", "biocompatible", "certified")


# --- the table --------------------------------------------------------------------


def test_the_table_has_every_mishap_that_was_asked_for():
    assert set(MISHAPS) == {
        "touched", "smeared", "contaminated", "dropped", "floated", "bubbles",
        "wrong-program", "box-stopped", "power-blip", "lamp-died", "over-washed",
        "not-dry", "cracked", "late",
    }  # fmt: skip


@pytest.mark.parametrize("state", STATES)
def test_every_mishap_offered_has_a_branch_for_every_answer_and_the_part_goes_on(state):
    desk = at(state)
    seen = set()
    for mishap in offered(desk.bench, desk.part()):
        for answers in all_answers(mishap, desk.bench, desk.part()):
            found = branch_for(desk.bench, desk.part(), mishap, answers, desk.now)
            assert isinstance(found, Branch), (mishap.code, answers)
            assert found.title, (mishap.code, answers)
            assert found.steps, (mishap.code, answers)
            told = " ".join((found.title, *found.steps)).lower()
            assert not any(word in told for word in NEVER_SAID), told
            assert all(step[-1] in ".!?" for step in found.steps), found.steps
            twin = fork(desk)
            report(twin, mishap.code, *answers)
            assert twin.bench.advised["EX-1"].title == found.title
            seen.add((mishap.code, *answers))
    assert len(seen) >= 3


@pytest.mark.parametrize("state", STATES)
def test_whatever_is_told_the_part_can_still_be_finished(state):
    first = at(state)
    for mishap in offered(first.bench, first.part()):
        for answers in all_answers(mishap, first.bench, first.part()):
            desk = fork(first)
            report(desk, mishap.code, *answers)
            for found in desk.bench.open_deviations("EX-1"):
                desk.must(cm.CloseDeviation(found.id, "use as is", "seen"))
            finish(desk)
            part = desk.part()
            assert isinstance(part.phase, Closed), (mishap.code, answers, part.stage)
            assert all(
                account.low >= account.owed for account in owed(desk.bench, part)
            )


def test_a_mishap_that_cannot_have_happened_is_refused():
    desk = at("bare")

    assert code_of(desk.do(cm.ReportMishap("EX-1", "late", ("dusty",)))) == "not-now"
    assert code_of(desk.do(cm.ReportMishap("EX-1", "spilt"))) == "no-such-mishap"
    assert code_of(desk.do(cm.ReportMishap("EX-9", "touched"))) == "no-such-part"


@pytest.mark.parametrize(
    "answers",
    [
        (),
        ("on the roof", "no"),
        ("bench or floor",),
        ("bench or floor", "no", "no", "no"),
    ],
)
def test_answers_that_do_not_fit_the_questions_are_refused_in_words(answers):
    desk = at("bare")

    refusal = desk.do(cm.ReportMishap("EX-1", "dropped", answers))
    assert (code_of(refusal), refusal.message[-1]) == ("answers", ".")
    assert desk.bench.advised == {}


@pytest.mark.parametrize("number", ["-1", "many", "inf", "nan", "1e9"])
def test_a_number_that_is_none_is_refused(number):
    desk = at("in the second run")

    assert (
        code_of(desk.do(cm.ReportMishap("EX-1", "wrong-program", (number,))))
        == "answers"
    )


def test_what_was_advised_is_kept_and_shown_until_the_stage_ends():
    desk = at("tacked")
    told, *_ = report(desk, "touched", "strip and recoat")

    assert desk.bench.advised["EX-1"] == told
    assert (told.coat, told.answers) == ("tacked", ("strip and recoat",))
    desk.must(cm.FinishStage("EX-1"))
    assert desk.bench.advised == {}


def test_reporting_a_mishap_is_a_way_of_being_back():
    desk = at("wet")
    desk.must(cm.CallAway())

    told = desk.must(cm.ReportMishap("EX-1", "touched", ()))
    assert names(told)[:2] == ["CameBack", "MishapReported"]


# --- touched, smeared, contaminated ---------------------------------------------------


def test_touched_wet_is_wiped_off_and_the_segment_brushed_again():
    desk = at("wet", recipe=SPLINT)
    desk.wait(30)
    decision = report(desk, "touched")

    assert names(decision) == [
        "MishapReported",
        "SpotBroken",
        "WalkPaused",
        "CoatStateTold",
    ]
    assert "spots 1 to 8" in decision[0].steps[2]
    assert rules(desk) == []  # wiped before it set, nothing departs from the recipe
    assert desk.part().work["coat-1"].spots == ("open",) * 60
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "dry-before-coat"
    assert desk.part().coats == 1


def test_touched_tacked_is_stripped_dried_and_coated_again():
    # Coat 2 of 2 is touched: not abraded; the new one is the third of at most three,
    # 3 × 15 to 30 µm (one coat is common practice, no source).
    desk = at("tacked")
    told, *rest = report(desk, "touched", "strip and recoat")

    assert names((told, *rest)) == [
        "MishapReported",
        "LayerStripped",
        "RouteChanged",
        "DeviationOpened",
    ]
    assert told.steps == (
        "Do not abrade: a tacked coat gums and makes monomer dust.",
        "Strip coat 2 with an alcohol swab.",
        "Dry 5 min, then coat again.",
        "Coat 3 of at most 3; together 45 to 90 µm.",
    )
    assert rules(desk) == ["touched-tacked"]
    assert keys(desk)[:5] == [
        "swab",
        "dry-again",
        "coat-2-again-1",
        "submerge",
        "half-2",
    ]
    assert list(desk.part().work) == ["coat-1"]
    assert [each.layer for each in desk.part().stripped] == ["coat-2"]
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "not-at-stage"
    desk.must(cm.FinishStage("EX-1"))
    desk.wait(299)
    assert code_of(desk.do(cm.FinishStage("EX-1"))) == "dry-more"
    desk.work(upto="submerge", phase=Ready)
    assert (desk.part().coats, desk.part().reworks) == (3, 1)


def test_the_new_coat_is_owed_the_submerged_half_and_the_body_no_more():
    desk = at("tacked")
    report(desk, "touched", "strip and recoat")
    finish(desk)

    accounts = {(a.layer, a.owed, a.low) for a in owed(desk.bench, desk.part())}
    assert accounts == {("body", 4400, 4400), ("coat-2-again-1", 2200, 2200)}


def test_finished_submerged_and_coated_over_gives_the_half_a_second_time():
    desk = at("tacked")
    told, *_ = report(desk, "touched", "finish submerged and recoat later")

    assert told.steps[1] == "Go on: submerge and give the second half in full."
    assert keys(desk) == [
        "submerge", "half-2", "rinse", "dry-end", "abrade-again", "dry-again",
        "coat-2-again-1", "submerge-2", "half-2-2", "rinse-2", "dry-end-2", "checks",
    ]  # fmt: skip
    finish(desk)
    accounts = {(a.layer, a.owed, a.low) for a in owed(desk.bench, desk.part())}
    assert accounts == {("body", 4400, 6600), ("coat-2-again-1", 2200, 2200)}
    noticed = desk.events(ev.DoseNoticed)
    assert [(each.high, each.total) for each in noticed] == [(6600, 4400)]  # 150 %


def test_a_tacked_coat_with_another_to_come_is_stripped_without_a_question():
    desk = at("tacked, a coat ahead")
    report(desk, "touched")

    assert keys(desk)[:4] == ["swab", "dry-again", "coat-1-again-1", "coat-2"]
    finish(desk)
    assert list(desk.part().work) == ["coat-1-again-1", "coat-2"]


def test_a_coat_under_glycerine_is_rinsed_before_it_is_laid_again():
    desk = at("degassing")
    report(desk, "touched", "strip and recoat")

    assert keys(desk)[:6] == [
        "swab",
        "rinse",
        "swab-2",
        "dry-again",
        "coat-2-again-1",
        "submerge",
    ]


@pytest.mark.parametrize(("marked", "reworks"), [("no", 0), ("yes", 1)])
def test_touched_cured_is_wiped_or_where_marked_coated_over(marked, reworks):
    desk = at("cured")
    report(desk, "touched", marked)

    assert desk.part().reworks == reworks
    assert bool(rules(desk)) == bool(reworks)
    assert ("abrade-again" in keys(desk)) == bool(reworks)


def test_checks_that_were_done_before_a_rework_are_done_again():
    desk = at("cured")
    desk.must(cm.RecordCheck("EX-1", "inspection"))
    report(desk, "touched", "yes")

    assert desk.part().checks == {}


def test_the_third_rework_asks_whether_to_scrap_it():
    desk = at("tacked")
    for _ in range(2):
        told, *_ = report(desk, "touched", "strip and recoat")
        assert not told.scrap
        desk.do(cm.AcceptGate("coats-max", "EX-1", "agreed"))
        while desk.part().stage.kind != "submerge":
            desk.do(cm.AcceptGate("coats-max", "EX-1", "the prescriber agreed"))
            desk.step()
    told, *_ = report(desk, "touched", "strip and recoat")

    assert told.scrap
    assert (
        told.steps[0]
        == "Scrap it, or ask the prescriber: it was reworked 2 times before."
    )


def test_a_fourth_coat_waits_for_a_reason():
    desk = at("tacked")
    report(desk, "touched", "strip and recoat")
    desk.work(upto="submerge", phase=Ready)
    report(desk, "touched", "strip and recoat")
    desk.work(upto="coat-2-again-2", phase=Ready)

    refusal = desk.do(cm.WetBrush("EX-1"))
    assert (code_of(refusal), refusal.acceptable) == ("coats-max", True)
    assert dict(refusal.numbers) == {"coats": 4, "most": 3}
    desk.must(
        cm.AcceptGate("coats-max", "EX-1", "contacts were opened"), cm.WetBrush("EX-1")
    )


def test_a_smear_of_the_layer_below_takes_both_off_and_names_all_of_the_same_lot():
    desk = desk_at("coat-1", phase=Walking, variant=Variant(1, 2))
    desk.work(upto="coat-2", phase=Ready)
    desk.take("EX-2", variant=Variant(1, 2))
    desk.work("EX-2", "coat-1", Ready)
    told, *_ = report(desk, "smeared", "the layer under it")

    assert told.title == "The layer below was not set"
    assert told.steps[1] == "Light on stain 1: LM-A 10 s a spot."
    assert keys(desk)[:5] == [
        "swab",
        "dry-again",
        "stain-1-again-1",
        "coat-1-again-1",
        "coat-2",
    ]
    (deviation,) = desk.events(ev.DeviationOpened)
    assert (deviation.rule, deviation.parts) == ("layer-not-set", ("EX-1", "EX-2"))


def test_saliva_is_disinfected_and_checked_for():
    desk = at("bare")
    report(desk, "contaminated", "saliva or blood")

    assert keys(desk)[:3] == ["disinfect", "swab", "dry-again"]
    assert "disinfected" in desk.bench.checks_of(desk.part())
