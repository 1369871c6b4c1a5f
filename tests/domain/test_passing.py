"""Time passing, a program that was away, and whose part comes to the front."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.queue import need, ranked, two_at_once
from benchassist.domain.standing import Standing, front
from benchassist.domain.state import Brushing, Closed, InRun, Ready, Soaking, Walking
from tests.domain.builders import DENTURE, Desk, desk_at, names

HOUR_MS = 3_600_000


# --- the clock -----------------------------------------------------------------


def test_time_asleep_counts_as_elapsed():
    desk = desk_at("wash-1", phase=Soaking)
    desk.away(400)
    desk.must(cm.TakeOut("EX-1"))

    assert desk.events(ev.StageEnded)[-1].elapsed_ms == 400_000
    assert desk.events(ev.DeviationOpened)[0].rule == "over-wash"


@pytest.mark.parametrize("step_ms", [-HOUR_MS, HOUR_MS])
def test_a_step_of_the_wall_clock_changes_labels_only(step_ms):
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(100)
    desk.clock.step_wall(step_ms)
    assert names(desk.do(cm.NoteWallStep(step_ms), "tool")) == ["WallClockStepped"]
    before = desk.bench

    assert need(before, desk.part(), desk.now).due_ms == 20_000
    desk.wait(20)
    desk.must(cm.TakeOut("EX-1"))
    assert desk.events(ev.StageEnded)[-1].elapsed_ms == 120_000


def test_a_fault_of_the_program_is_on_record_and_changes_nothing_else():
    desk = desk_at("wash-1")
    before = desk.part()

    assert names(desk.do(cm.NoteFault("ValueError in paint", "abc"), "tool")) == [
        "ProgramFaulted"
    ]
    assert desk.part() == before


def test_a_look_at_an_empty_bench_says_nothing():
    assert Desk(operator="").tick() == ()


# --- the program was away ------------------------------------------------------


def reopen(desk, beat):
    return names(desk.do(cm.Reopen("2", beat), "tool"))


@pytest.mark.parametrize("stage", ["wash-1", "dry-box", "rinse"])
def test_waits_go_on_over_a_restart(stage):
    desk = desk_at(stage, phase=Soaking)
    begun = desk.part().phase
    desk.wait(10)
    beat = desk.now
    desk.away(30)

    assert reopen(desk, beat) == ["ProgramOpened"]
    assert desk.part().phase == begun


def test_a_hold_goes_on_over_a_restart():
    desk = desk_at("fit")
    desk.must(cm.HoldPart("EX-1", "phone"))
    held = desk.part().phase

    assert reopen(desk, desk.now) == ["ProgramOpened"]
    assert desk.part().phase == held


def test_a_run_is_bounded_by_the_last_heartbeat_and_the_next_that_never_came():
    desk = desk_at("half-1", phase=InRun)
    desk.wait(50)
    beat = desk.now
    desk.away(60)

    assert reopen(desk, beat) == ["ProgramOpened", "RunInterrupted"]
    assert desk.bench.runs["R-1"].interrupted == (400, 440)
    assert desk.part().phase == InRun("R-1")
    assert desk.part().exposures == ()


def test_without_a_heartbeat_a_run_may_have_given_nothing_or_all_of_it():
    desk = desk_at("half-1", phase=InRun)
    desk.wait(50)
    reopen(desk, None)

    assert desk.bench.runs["R-1"].interrupted == (0, 2200)


@pytest.mark.parametrize(
    ("beat_s", "entry_s", "low", "high"),
    [
        (50, 47, 400, 440),  # the beat is the later one
        (50, 53, 424, 464),  # the entry is, within a beat
        (50, 55, 440, 480),
        (50, 56, 448, 2200),  # entries went on without a beat: nobody knows how long
    ],
)
def test_an_entry_is_a_sign_of_life_as_a_heartbeat_is(beat_s, entry_s, low, high):
    desk = desk_at("half-1", phase=InRun)
    begun = desk.bench.runs["R-1"].started
    desk.away(entry_s)
    desk.do(cm.NoteFault("ValueError in paint", "abc"), "tool")
    desk.away(60)
    reopen(desk, begun.plus(beat_s * 1000))

    assert desk.bench.runs["R-1"].interrupted == (low, high)


def test_the_first_bounds_of_a_run_stay_over_a_second_restart():
    desk = desk_at("half-1", phase=InRun)
    desk.wait(50)
    reopen(desk, desk.now)
    desk.wait(50)

    assert reopen(desk, desk.now) == ["ProgramOpened"]
    assert desk.bench.runs["R-1"].interrupted == (400, 440)


def test_a_run_that_was_over_before_the_program_went_away_is_asked_as_usual():
    desk = desk_at("half-1", phase=InRun)
    desk.wait(275)

    assert reopen(desk, desk.now) == ["ProgramOpened"]
    assert desk.bench.runs["R-1"].interrupted is None


def test_a_start_allowance_is_time_without_light():
    desk = desk_at("half-1", phase=InRun, box="BX-SLOW-START")
    desk.wait(30)
    reopen(desk, desk.now)

    assert desk.bench.runs["R-1"].interrupted == (80, 120)


def test_a_walk_stands_still_over_a_restart_and_is_asked_about():
    desk = desk_at("coat-1", phase=Walking)
    desk.wait(14)
    beat = desk.now
    desk.away(100)

    assert reopen(desk, beat) == ["ProgramOpened", "SpotBroken", "WalkPaused"]
    paused = desk.part().phase
    assert (paused.spot, paused.why, paused.looked) == (1, "program was away", False)
    assert desk.events(ev.SpotBroken)[0].light_ms == 1000
    assert desk.bench.lamp_session is None


def test_a_walk_without_a_heartbeat_has_no_light_to_show_for_it():
    desk = desk_at("coat-1", phase=Walking)
    desk.wait(4)

    assert reopen(desk, None) == ["ProgramOpened", "WalkPaused"]


def test_a_brushed_segment_is_asked_about_too():
    desk = desk_at("coat-1", phase=Brushing)

    assert reopen(desk, desk.now) == ["ProgramOpened", "WalkPaused"]
    assert desk.part().phase.spot == 0


def test_parts_closed_on_another_day_are_forgotten_and_those_of_today_are_kept():
    desk = Desk()
    desk.take("EX-1")
    desk.must(cm.OpenDeviation(("EX-1",), "it fell"), cm.ScrapPart("EX-1", "cracked"))
    desk.must(cm.OpenDeviation(("EX-1",), "it fell twice"))
    desk.must(cm.CloseDeviation("D-1", "scrap", "cracked"))
    desk.away(20 * 3600)
    desk.take("EX-2")
    desk.must(cm.ScrapPart("EX-2", "cracked"))
    desk.take("EX-3")

    assert set(desk.bench.parts) == {"EX-2", "EX-3"}  # a bench may stay open for weeks
    reopen(desk, desk.now)
    assert set(desk.bench.parts) == {"EX-2", "EX-3"}
    # What nobody has assessed stays on the bench for as long as that takes.
    assert set(desk.bench.deviations) == {"D-2"}


# --- who needs hands -----------------------------------------------------------


def two_washing(first_s=0):
    """Return a desk with two parts in wash 1, the second started later."""
    desk = Desk()
    desk.take("EX-1")
    desk.must(cm.StartStage("EX-1"))
    desk.wait(first_s)
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))
    return desk


def test_the_part_nearest_to_harm_is_named_first_and_not_the_one_due_first():
    desk = two_washing(100)  # wash 1: 200 s to its longest stay
    desk.take("EX-3")
    desk.work("EX-3", "half-1", InRun)  # 900 s and more later

    order = [each.part for each in ranked(desk.bench, desk.now)]
    assert order == ["EX-1", "EX-2", "EX-3"]
    assert need(desk.bench, desk.part("EX-3"), desk.now).due_ms == 275_000


@pytest.mark.parametrize(
    ("stage", "phase", "harm_s"),
    [
        ("wash-1", Soaking, 300),  # the longest stay
        ("half-1", InRun, 275 + 300),  # an idle box
        ("coat-1", Brushing, 120),  # the wet limit
        ("fit", Ready, None),
        ("wash-1", Ready, None),
    ],
)
def test_every_state_has_its_own_harm(stage, phase, harm_s):
    # The limits are common practice, no source.
    desk = desk_at(stage, phase=phase)
    found = need(desk.bench, desk.part(), desk.now)

    assert found.harm_ms == (10**12 if harm_s is None else harm_s * 1000)


@pytest.mark.parametrize("stage", ["coat-2", "submerge"])
def test_a_tacked_coat_in_open_air_is_harmed_after_twenty_minutes(stage):
    desk = desk_at(stage, phase=Ready)
    tacked = desk.part().phase.since

    found = need(desk.bench, desk.part(), desk.now)
    assert found.harm_ms == 1_200_000 - desk.now.since(tacked)


def test_the_harm_of_a_wet_coat_comes_nearer_while_it_waits():
    desk = desk_at("coat-1", phase=Walking)
    desk.must(cm.HoldHere("EX-1"))
    desk.away(100)

    assert need(desk.bench, desk.part(), desk.now).harm_ms == 5000


def test_a_part_on_hold_is_safe_until_its_limit():
    desk = desk_at("hold", variant=lib.Variant(coats=1, hold_between=True))
    desk.must(cm.HoldPart("EX-1", "later"))
    desk.wait(3600)
    found = need(desk.bench, desk.part(), desk.now)

    assert found.due_ms == found.harm_ms == 7 * HOUR_MS
    assert Standing(desk.bench, desk.part(), desk.now).waits


def test_a_part_that_cannot_wait_is_not_said_to_wait():
    desk = desk_at("wash-1", phase=Soaking)
    assert Standing(desk.bench, desk.part(), desk.now).waits
    desk.wait(120)
    assert not Standing(desk.bench, desk.part(), desk.now).waits
    assert not Standing(desk.bench, desk_at("fit").part(), desk.now).waits


def test_a_due_part_comes_to_the_front_when_the_one_there_only_waits():
    desk = two_washing(60)
    assert front(desk.bench, desk.now) == ""
    desk.away(60)

    assert names(desk.tick()) == ["FocusMoved"]
    assert desk.bench.focus == "EX-1"
    assert desk.tick() == ()


def test_a_part_in_hand_is_not_pushed_aside_by_one_that_is_due():
    desk = two_washing(60)
    desk.take("EX-3")
    desk.away(60)

    assert desk.bench.focus == "EX-3"
    assert desk.tick() == ()


def test_with_nothing_in_front_a_due_part_comes_forward():
    desk = desk_at("wash-1", phase=Soaking)
    desk.take("EX-2")
    desk.must(cm.ScrapPart("EX-2", "cracked"))
    desk.away(120)

    assert front(desk.bench, desk.now) == "EX-1"


@pytest.mark.parametrize(("lain_s", "code"), [(1100, "EX-2"), (1500, "EX-1")])
def test_a_coat_that_lies_open_too_long_comes_forward(lain_s, code):
    desk = desk_at("submerge")
    desk.away(lain_s)
    desk.take("EX-2")
    desk.must(cm.ChoosePart("EX-2"), cm.StartStage("EX-2"))
    desk.wait(10)

    assert desk.bench.focus == code


def test_of_a_basket_any_part_may_stand_in_front():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")), cm.StartStage("EX-2"))
    desk.away(120)

    assert desk.bench.focus == "EX-2"
    assert front(desk.bench, desk.now) == ""


def test_two_parts_that_fall_due_within_a_second_are_told_apart_by_hand():
    desk = two_washing(0)
    desk.away(120)
    assert two_at_once(desk.bench, desk.now)
    desk.away(1)
    assert not two_at_once(desk.bench, desk.now)


def test_a_basket_is_one_thing_that_falls_due_and_so_is_a_run():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")), cm.StartStage("EX-1"))
    desk.away(120)
    assert not two_at_once(desk.bench, desk.now)

    desk.work("EX-1", "half-1")
    desk.must(cm.ConfirmLoad(("EX-1", "EX-2"), "BX-1", 2200), cm.StartRun("BX-1"))
    desk.away(275)
    assert not two_at_once(desk.bench, desk.now)


def test_a_run_and_a_bath_that_end_together_are_two_things():
    desk = desk_at("half-1", phase=InRun)
    desk.away(155)
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))
    desk.away(120)

    assert two_at_once(desk.bench, desk.now)


def test_a_closed_part_needs_nobody():
    desk = Desk()
    desk.take()
    desk.work()

    assert isinstance(desk.part().phase, Closed)
    assert ranked(desk.bench, desk.now) == ()


def test_a_turn_inside_the_glycerine_is_no_tacked_coat_in_open_air():
    desk = desk_at("flip-2", recipe=DENTURE, phase=Ready)

    assert need(desk.bench, desk.part(), desk.now).harm_ms == 300_000
