"""Mishaps where something is not on file, half done, or already put right."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.advice import answer
from benchassist.domain.coat import wet_spots
from benchassist.domain.mishaps.kind import Case
from benchassist.domain.mishaps.rework import segment_words, wet_ms
from benchassist.domain.place import Place, card
from benchassist.domain.plan import steps_ahead
from benchassist.domain.state import Ready, Walking
from tests.domain.builders import Desk, code_of, desk_at, names
from tests.domain.told import report


def test_half_given_and_lifted_out_it_goes_under_again_before_the_rest():
    desk = desk_at("submerge", phase=Ready)
    desk.submerge("EX-1")
    desk.wait(60)
    desk.must(cm.StartRun("BX-1"))
    desk.wait(130)
    desk.must(cm.TellRunEnd("R-2", "stopped", 1000))
    assert desk.stage() == "half-2"
    report(desk, "dropped", "glycerine and out again", "no")

    part = desk.part()
    ahead = [stage.key for stage in part.route[part.at :]]
    assert ahead[:6] == ["rinse", "swab", "dry-again", "assess", "submerge-2", "half-2"]
    desk.work(upto="submerge-2", phase=Ready)
    assert desk.count("EX-1") == 1200


def test_a_part_put_back_into_a_vessel_nobody_filled_is_rinsed_like_one_left_out():
    desk = desk_at("fit", vessel="GV-DRY")
    told, *_ = report(desk, "dropped", "glycerine and back under", "no")

    assert told.title == "Dropped in glycerine"


def test_a_wet_coat_in_glycerine_that_is_not_on_file_is_stripped_all_the_same():
    desk = desk_at("coat-1", phase=Walking)
    desk.bench = replace(desk.bench, fills={})
    decision = report(desk, "dropped", "glycerine and out again", "no")

    assert "GlycerineSpoilt" not in names(decision)
    assert "LayerStripped" in names(decision)


def test_a_box_that_was_opened_is_hot():
    desk = desk_at("half-1")
    desk.step()
    told, *_ = report(desk, "box-stopped", "700", "yes")

    assert told.steps[-1] == "Hot inside: tongs, door shut first."


def test_without_box_or_vessel_on_file_only_the_force_is_told():
    desk = desk_at("submerge", phase=Ready)
    desk.bench = replace(desk.bench, vessels={})
    told, *_ = report(desk, "floated", "12", "1.19")

    assert len(told.steps) == 4


def test_a_late_coat_whose_deviation_was_opened_by_hand_opens_it_itself():
    desk = desk_at("coat-1", phase=Walking)
    report(desk, "late", "set or dragging")

    assert [each.rule for each in desk.events(ev.DeviationOpened)] == [
        "coat-set-or-dusty"
    ]


def test_a_command_that_a_branch_leads_to_may_still_be_refused():
    desk = desk_at("half-1")
    desk.step()
    too_many = str(10**6)

    assert (
        code_of(desk.do(cm.ReportMishap("EX-1", "wrong-program", (too_many,))))
        == "answers"
    )
    assert desk.bench.advised == {}


def test_where_nothing_is_wet_there_are_no_wet_words():
    desk = desk_at("fit")
    case = Case(desk.bench, desk.part(), (), desk.now)

    assert (wet_ms(case), wet_spots(desk.part())) == (0, ())
    assert segment_words(desk.part()) == "the patch"


@pytest.mark.parametrize(
    "event",
    [ev.LayerStripped("EX-1", "coat-9"), ev.GlycerineSpoilt("GV-DRY", "haze")],
)
def test_an_event_about_what_is_not_there_changes_nothing(event):
    desk = Desk()
    desk.take()
    before = desk.bench
    desk.happened(event, "tool")

    assert desk.bench == replace(before, seq=before.seq + 1)


def test_coming_back_from_nowhere_changes_nothing():
    desk = Desk()
    before = desk.bench
    desk.happened(ev.CameBack(1000), "tool")

    assert desk.bench == replace(before, seq=before.seq + 1)


def test_the_resume_card_names_the_other_wet_coat_too():
    place = Place("EX-1", "Coat 1", wet=("EX-1", "EX-2"), cover="hood")

    assert card(place)[-1] == "Also wet: EX-2."


def test_a_plan_without_a_box_counts_no_run():
    desk = Desk()
    desk.take(box="")
    steps = {
        step.key: step.takes_ms
        for step in steps_ahead(desk.bench, desk.part(), desk.now)
    }

    assert (steps["half-1"], steps["half-2"]) == (0, 0)


def test_no_spot_that_fits_the_wet_limit_asks_for_another_lamp_and_not_for_patience():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(
        cm.RecordSmear("EX-CC", "spot", klx=24.0, seconds=54.0),
        cm.ChangeDish("L-COAT", "open", "spot", 60.0),  # 21.6 s are less than 28
    )

    task = answer(desk.bench, desk.now).first
    assert (task.act, task.shut) == ("wet the brush", "light-check")


def test_a_gate_that_opens_by_itself_is_waited_for_by_name():
    desk = desk_at("coat-1", phase=Ready)
    desk.happened(ev.PartFoundWet("EX-1"), "tool")
    desk.wait(60)

    task = answer(desk.bench, desk.now).first
    assert (task.act, task.due_ms, task.shut) == (
        "wet the brush",
        240_000,
        "dry-before-coat",
    )
