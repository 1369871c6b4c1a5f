"""Where scrap is advised the bench asks, and nothing begins before a hand answered."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.mishaps import branch_for
from benchassist.domain.mishaps import offered
from benchassist.domain.outcome import Said
from benchassist.domain.pedal import situation
from benchassist.domain.state import Closed, Ready, Soaking, Walking
from tests.domain.builders import Desk, code_of, desk_at, names
from tests.domain.told import STATES, all_answers, at, report

BEARING = ("cracked", "margin or connector")


def cracked(stage="fit", phase=Ready):
    desk = desk_at(stage, phase=phase)
    report(desk, *BEARING)
    return desk


def reworked(times):
    desk = at("tacked")
    for _ in range(times):
        report(desk, "touched", "strip and recoat")
        desk.do(cm.AcceptGate("coats-max", "EX-1", "agreed"))
        while desk.part().stage.kind != "submerge":
            desk.do(cm.AcceptGate("coats-max", "EX-1", "the prescriber agreed"))
            desk.step()
    return desk


def test_a_crack_that_bears_load_is_asked_about_with_its_deviation():
    desk = desk_at("fit")
    decision = report(desk, *BEARING)

    assert names(decision) == ["MishapReported", "DeviationOpened", "ScrapAsked"]
    assert decision[-1] == ev.ScrapAsked("EX-1", decision[1].deviation)
    assert desk.part().scrap_asked == decision[1].deviation


def test_the_third_rework_is_asked_about_and_the_second_is_not():
    desk = reworked(2)
    assert desk.events(ev.ScrapAsked) == []
    assert desk.part().scrap_asked == ""

    report(desk, "touched", "strip and recoat")
    (asked,) = desk.events(ev.ScrapAsked)
    assert asked.deviation == desk.events(ev.DeviationOpened)[-1].deviation


@pytest.mark.parametrize("state", STATES)
def test_whatever_can_end_in_the_question_is_a_deviation(state):
    desk = at(state)
    part = desk.part()
    for mishap in offered(desk.bench, part):
        for answers in all_answers(mishap, desk.bench, part):
            found = branch_for(desk.bench, part, mishap, answers, desk.now)
            asks = found.scrap or found.rework
            assert not asks or part.code in found.deviation.parts, mishap.code


@pytest.mark.parametrize(
    "command",
    [
        cm.FinishStage("EX-1"),
        cm.StartStage("EX-1"),
        cm.WetBrush("EX-1"),
        cm.ConfirmLoad(("EX-1",), "BX-1", 2200),
        cm.ConfirmSubmerged(("EX-1",), "BX-1", "GV-1", 2200),
        cm.ConfirmFlip("EX-1"),
        cm.RecordCheck("EX-1", "inspection"),
        cm.ReleasePart("EX-1"),
    ],
    ids=lambda command: type(command).__name__,
)
def test_nothing_begins_on_the_part_before_it_is_answered(command):
    desk = cracked()
    before = desk.part()

    assert code_of(desk.do(command)) == "scrap-question"
    assert desk.part() == before


def test_the_foot_has_no_say_in_it():
    desk = cracked()
    for long in (False, True):
        assert isinstance(desk.press(long=long), Said)

    assert situation(desk.bench, desk.now) == "scrap"
    assert desk.events(ev.ScrapAnswered) == []


def test_kept_with_a_reason_the_part_goes_on_and_its_deviation_stays_open():
    desk = cracked()
    deviation = desk.part().scrap_asked
    assert code_of(desk.do(cm.KeepPart("EX-1", " "))) == "no-reason"
    (answered,) = desk.must(cm.KeepPart("EX-1", "hairline, off the connector"))

    assert answered == ev.ScrapAnswered(
        "EX-1", deviation, "keep", "hairline, off the connector"
    )
    assert desk.part().scrap_asked == ""
    assert situation(desk.bench, desk.now) == "hand"
    assert [each.id for each in desk.bench.open_deviations("EX-1")] == [deviation]


def test_scrapped_with_a_reason_its_own_deviation_is_closed_by_that():
    desk = cracked()
    deviation = desk.part().scrap_asked
    assert code_of(desk.do(cm.ScrapPart("EX-1", " "))) == "no-reason"
    decision = desk.must(cm.ScrapPart("EX-1", "through the connector"))

    assert names(decision) == ["ScrapAnswered", "PartScrapped", "DeviationClosed"]
    assert decision[0].decision == "scrap"
    assert decision[2] == ev.DeviationClosed(
        deviation, "scrap", "through the connector"
    )
    assert isinstance(desk.part().phase, Closed)
    assert desk.bench.open_deviations("EX-1") == ()


def test_a_deviation_that_concerns_other_parts_too_stays_open_for_them():
    desk = desk_at("submerge", phase=Ready, code="EX-2")
    desk.submerge("EX-2")  # EX-1 falls into the same glycerine with its coat wet
    desk.take("EX-1", box="BX-2")
    desk.work("EX-1", "coat-1", Walking)
    desk.must(cm.SetLimit("reworks_max", 0, "every rework is asked about"))
    report(desk, "dropped", "glycerine and out again", "no")
    deviation = desk.part().scrap_asked

    assert names(desk.must(cm.ScrapPart("EX-1", "not worth it"))) == [
        "ScrapAnswered",
        "PartScrapped",
    ]
    assert [each.id for each in desk.bench.open_deviations("EX-2")] == [deviation]


def test_a_part_that_nobody_asked_about_is_scrapped_as_before_and_not_kept():
    desk = desk_at("fit")

    assert code_of(desk.do(cm.KeepPart("EX-1", "why"))) == "nothing-asked"
    assert names(desk.must(cm.ScrapPart("EX-1", "wrong case"))) == ["PartScrapped"]


def test_what_lies_in_alcohol_is_taken_out_first_and_asked_about_then():
    desk = cracked("wash-1", Soaking)
    desk.wait(120)

    assert situation(desk.bench, desk.now) == "timer-due"
    assert "StageEnded" in names(desk.press())
    assert situation(desk.bench, desk.now) == "scrap"
    assert code_of(desk.do(cm.StartStage("EX-1"))) == "scrap-question"


def test_a_basket_goes_on_without_the_part_that_is_asked_about():
    desk = Desk()
    for code in ("EX-1", "EX-2"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    report(desk, *BEARING)
    (started,) = desk.must(cm.StartStage("EX-2"))

    assert started.parts == ("EX-2",)


def test_a_load_with_the_part_in_it_has_its_card_held_again():
    desk = desk_at("half-1", phase=Ready)
    desk.must(cm.ConfirmLoad(("EX-1",), "BX-1", 2200))
    report(desk, *BEARING)

    assert code_of(desk.do(cm.StartRun("BX-1"))) == "load-card"


def test_what_else_a_hand_may_do_meanwhile_is_not_barred():
    desk = cracked()
    desk.must(
        cm.ChoosePart("EX-1"),
        cm.OpenDeviation(("EX-1",), "photographed"),
        cm.ClaimThing("part", "EX-1"),
        cm.HoldPart("EX-1", "prescriber is asked"),
        cm.ResumePart("EX-1"),
    )

    assert situation(desk.bench, desk.now) == "scrap"
