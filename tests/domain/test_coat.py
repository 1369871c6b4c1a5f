"""Stain and coats: brush, paced walk, pauses, and being called away.

A segment of five spots: 15 s of brushing, then 10 s of light and 3 s to move for
each spot, so that the last one ends 62 s after the walk began.
"""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.coat import face_of, layer_done, lit_ms, next_segment
from benchassist.domain.pedal import situation
from benchassist.domain.state import Brushing, Ready, Walking, lamp_day_key
from tests.domain.builders import SPLINT, Desk, code_of, desk_at, names, recipe


def walking(**more):
    """Return a desk whose part has just had its first spot lit."""
    return desk_at("coat-1", phase=Walking, **more)


def spots(desk, layer="coat-1", code="EX-1"):
    return desk.part(code).work[layer].spots


def lamp_on_ms(desk):
    return desk.bench.lamp_on_ms.get(lamp_day_key("OP-1", "2026-05-14"), 0)


# --- the wet limit -------------------------------------------------------------


@pytest.mark.parametrize(("brushed_s", "begins"), [(120, True), (120.001, False)])
def test_no_light_begins_on_a_coat_that_is_past_its_wet_limit(brushed_s, begins):
    desk = desk_at("coat-1", phase=Brushing)
    desk.away(brushed_s)
    found = names(desk.press())

    assert found == (["WalkStarted"] if begins else ["WalkPaused"])
    assert situation(desk.bench, desk.now) == ("walking" if begins else "wet-hold")


def test_a_walk_stops_before_the_next_spot_once_its_coat_is_past_the_limit():
    desk = desk_at("coat-1", phase=Brushing)
    desk.away(100)  # of 120: the second spot is lit from 1:53 to 2:03
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(22)
    assert isinstance(desk.part().phase, Walking)
    desk.wait(2)

    assert spots(desk)[:3] == ("done", "done", "open")
    paused = desk.part().phase
    assert (paused.spot, paused.why, paused.looked) == (2, "wet limit", False)
    assert desk.events(ev.SpotBroken) == []
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "look-first"


def test_between_two_spots_the_limit_stops_the_walk_at_once():
    desk = desk_at("coat-1", phase=Brushing)
    desk.away(109)  # the first spot ends at 1:59, the next begins at 2:02
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(11)
    assert isinstance(desk.part().phase, Walking)
    desk.wait(1)

    assert desk.part().phase.why == "wet limit"
    assert desk.part().phase.spot == 1


@pytest.mark.parametrize(("look_ms", "goes_on"), [(1999, False), (2000, True)])
def test_a_spot_whose_light_has_just_gone_on_is_lit_whole(look_ms, goes_on):
    desk = desk_at("coat-1", phase=Brushing)
    desk.away(109)  # the limit passes at 2:00, the second spot is lit from 2:02
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(11)
    desk.clock.advance(look_ms)
    desk.tick()

    assert isinstance(desk.part().phase, Walking) is goes_on


def test_a_coat_that_was_looked_at_is_tacked_to_its_segment_s_end():
    desk = desk_at("coat-1", phase=Brushing)
    desk.away(200)
    desk.press()
    desk.must(cm.TellCoatState("EX-1", "wet and clean"), cm.GoOn("EX-1"))
    assert desk.part().phase.looked
    desk.wait(62)

    assert layer_done(desk.part()) or desk.stage() == "coat-2"
    assert [each.why for each in desk.events(ev.WalkPaused)] == ["wet limit"]


def test_the_last_spot_of_a_segment_leaves_nothing_to_stop_for():
    desk = desk_at("coat-1", phase=Brushing)
    desk.away(59)  # the last one is lit from 1:51 to 2:01
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(62)

    assert desk.events(ev.WalkPaused) == []
    assert desk.stage() == "coat-2"


# --- before the walk -----------------------------------------------------------


def test_glasses_and_lamp_are_confirmed_by_hand_before_the_brush_is_wetted():
    desk = desk_at("coat-1", phase=Ready)
    refusal = desk.do(cm.WetBrush("EX-1"))

    assert code_of(refusal) == "lamp-session"
    assert refusal.message == "Hold to confirm: glasses on, LM-A in hand."
    desk.must(cm.OpenLampSession("LM-A"))
    assert names(desk.do(cm.WetBrush("EX-1"))) == ["BrushWetted"]


def test_the_lamp_that_was_confirmed_is_the_one_that_is_used():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-BOTH"))

    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "lamp-session"
    assert code_of(desk.do(cm.OpenLampSession("LM-9"))) == "no-equipment"


def test_another_operator_confirms_glasses_and_lamp_anew():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"), cm.ClaimStation("OP-2"))

    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "lamp-session"


def test_the_wet_clock_runs_from_the_first_stroke():
    desk = desk_at("coat-1", phase=Brushing)
    (wetted,) = desk.events(ev.BrushWetted)

    assert (wetted.layer, wetted.segment, wetted.first, wetted.last) == (
        "coat-1",
        1,
        0,
        5,
    )
    assert wetted.lot == "L-COAT"
    assert desk.part().phase.wet_since == desk.now


def test_only_a_coat_is_brushed_and_only_when_nothing_is_wet():
    desk = desk_at("coat-1", phase=Brushing)
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "not-at-stage"
    assert code_of(desk_at("fit").do(cm.WetBrush("EX-1"))) == "not-at-stage"


@pytest.mark.parametrize(
    "command",
    [
        cm.StartWalk("EX-1"),
        cm.BreakSpot("EX-1"),
        cm.HoldHere("EX-1"),
        cm.GoOn("EX-1"),
        cm.BackOne("EX-1"),
        cm.TellCoatState("EX-1", "wet and clean"),
    ],
    ids=lambda command: type(command).__name__,
)
def test_without_a_wet_coat_there_is_no_walk_to_talk_about(command):
    desk = desk_at("coat-1", phase=Ready)

    assert code_of(desk.do(command)) == "not-at-stage"


# --- the walk ------------------------------------------------------------------


def test_a_walk_keeps_the_numbers_it_was_judged_by():
    desk = walking()
    (started,) = desk.events(ev.WalkStarted)

    assert (started.spot, started.lamp, started.light_ms, started.move_ms) == (
        0,
        "LM-A",
        10_000,
        3000,
    )
    assert started.verdict == "pass"
    assert dict(started.numbers) == {
        "effective_mw_cm2": 420.0,
        "seconds": 10,
        "low_s": 9.1,
        "high_s": 11.1,
        "rung": 4,
    }


def test_a_whole_segment_walks_on_one_press_and_ends_the_layer():
    desk = walking()
    begun = desk.now
    desk.wait(61)
    assert spots(desk) == ("done",) * 4 + ("open",)

    ended = desk.wait(1)

    assert [type(each).__name__ for each in ended] == ["SpotTacked", "StageEnded"]
    tacked = desk.events(ev.SpotTacked)
    assert [each.ended.since(begun) for each in tacked] == [
        10_000,
        23_000,
        36_000,
        49_000,
        62_000,
    ]
    assert {(each.light_ms, each.evidence) for each in tacked} == {(10_000, "paced")}
    assert (desk.stage(), desk.part().phase) == ("coat-2", Ready(desk.now))
    assert lamp_on_ms(desk) == 50_000


def test_a_crown_with_two_coats_has_a_hundred_seconds_of_lamp():
    # O1: 2 coats of 5 spots of 10 s.
    desk = Desk()
    desk.take()
    desk.work()

    assert lamp_on_ms(desk) == 100_000


def test_no_spot_ends_early():
    desk = walking()
    desk.wait(9.5)

    assert desk.events(ev.SpotTacked) == []
    assert lit_ms(desk.part().phase, desk.now) == 9500


def test_between_two_spots_nothing_is_lit():
    desk = walking()
    desk.wait(11)

    assert lit_ms(desk.part().phase, desk.now) == 0
    assert desk.part().phase.spot == 1
    desk.wait(4)
    assert lit_ms(desk.part().phase, desk.now) == 2000


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 1900), min_size=1, max_size=60))
def test_when_the_looks_come_changes_nothing_about_the_spots(steps_ms):
    desk = Desk()
    desk.bench = READY_TO_WALK.bench
    desk.clock._now = READY_TO_WALK.now
    begun = desk.now
    for step in steps_ms:
        desk.clock.advance(step)
        desk.tick(step)
    passed = desk.now.since(begun)

    ended = [each.ended.since(begun) for each in desk.events(ev.SpotTacked)]
    assert ended == [
        at for at in (10_000, 23_000, 36_000, 49_000, 62_000) if at <= passed
    ]


READY_TO_WALK = walking()


def test_an_arch_is_walked_in_eight_segments_of_at_most_eight_spots():
    # O4: 60 spots, 15 s of brushing, 13 s a spot, wet limit 120 s.
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    desk.work(upto="coat-2", phase=Ready)

    sizes = [each.last - each.first for each in desk.events(ev.BrushWetted)]
    assert sizes == [8, 8, 8, 8, 8, 8, 8, 4]
    assert lamp_on_ms(desk) == 600_000
    assert desk.part().work["coat-1"].segments == 8


def test_the_next_segment_says_how_many_there_are_in_all():
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    first = next_segment(desk.bench, desk.part(), 10)
    desk.step()  # wets the brush
    desk.step()
    desk.wait(101)

    second = next_segment(desk.bench, desk.part(), 10)

    assert (first.number, first.total, first.first, first.last, first.wet_s) == (
        1,
        8,
        0,
        8,
        119,
    )
    assert (second.number, second.total, second.first, second.last) == (2, 8, 8, 16)


def test_there_is_no_segment_when_every_spot_had_its_light():
    desk = walking()
    part = desk.part()
    assert not layer_done(part)
    desk.wait(62)

    again = replace(desk.part(), at=part.at)
    assert layer_done(again)
    assert next_segment(desk.bench, again, 10) is None
    desk.bench = desk.bench.with_part(again)
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "interruption"


def test_a_spot_is_named_by_its_face_and_its_number_there():
    desk = Desk()
    desk.take(recipe=SPLINT)
    where = [face_of(desk.bench, desk.part(), spot) for spot in (0, 19, 20, 59, 60)]

    assert where == [
        ("Outer", 1, 20),
        ("Outer", 20, 20),
        ("Biting", 1, 20),
        ("Inner", 20, 20),
        ("", 1, 1),
    ]


# --- not done, back one --------------------------------------------------------


def test_a_spot_not_done_starts_whole_and_its_light_is_kept_as_extra():
    desk = walking()
    desk.wait(17)  # 4 s into the second spot
    decision = desk.do(cm.BreakSpot("EX-1"))

    assert names(decision) == ["SpotBroken", "WalkPaused"]
    assert decision[0].light_ms == 4000
    assert spots(desk) == ("done", "broken", "open", "open", "open")
    assert (desk.part().phase.spot, desk.part().phase.why) == (1, "not done")
    desk.must(cm.GoOn("EX-1"))
    desk.wait(9)
    assert spots(desk)[1] == "broken"
    desk.wait(1)
    assert spots(desk)[1] == "done"
    work = desk.part().work["coat-1"]
    assert (work.light_ms, work.extra_ms, lamp_on_ms(desk)) == (20_000, 4000, 24_000)


def test_a_walk_stopped_between_two_spots_broke_none():
    desk = walking()
    desk.wait(11)

    assert names(desk.do(cm.BreakSpot("EX-1"))) == ["WalkPaused"]
    assert spots(desk) == ("done", "open", "open", "open", "open")


def test_time_away_does_not_count_as_exposure():
    desk = walking()
    desk.wait(4)
    desk.must(cm.BreakSpot("EX-1"))
    desk.wait(20)
    desk.must(cm.GoOn("EX-1"))
    desk.wait(10)

    assert spots(desk)[0] == "done"
    assert lamp_on_ms(desk) == 14_000


def test_back_one_goes_to_the_spot_before_and_then_on_to_the_open_one():
    desk = walking()
    desk.wait(14)
    desk.must(cm.BreakSpot("EX-1"), cm.BackOne("EX-1"))
    assert desk.part().phase.spot == 0

    desk.must(cm.GoOn("EX-1"))
    desk.wait(10 + 3 + 10)

    assert [each.spot for each in desk.events(ev.SpotTacked)] == [0, 0, 1]


def test_back_one_never_leaves_its_segment():
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    desk.step()
    desk.step()
    desk.wait(101)
    desk.step()
    desk.step()
    desk.must(cm.BreakSpot("EX-1"))

    refusal = desk.do(cm.BackOne("EX-1"))

    assert code_of(refusal) == "first-spot"
    assert desk.part().phase.spot == 8


def test_a_spot_broken_on_its_second_light_has_to_be_done_again():
    desk = walking()
    desk.wait(14)
    desk.must(cm.BreakSpot("EX-1"), cm.BackOne("EX-1"), cm.GoOn("EX-1"))
    desk.wait(2)
    desk.must(cm.BreakSpot("EX-1"))

    assert spots(desk)[:2] == ("broken", "broken")
    desk.must(cm.GoOn("EX-1"))
    desk.wait(62)
    assert desk.stage() == "coat-2"


# --- called away ---------------------------------------------------------------


def test_a_phone_call_freezes_the_place_and_the_coat_is_looked_at_on_return():
    # O4: segment 3, spot 23, 4 s in; 97 s wet before the break, 95 s away.
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    for _ in range(2):
        desk.step()
        desk.step()
        desk.wait(101)
    desk.step()
    desk.step()
    desk.wait(6 * 13 + 4)
    assert desk.now.since(desk.part().phase.wet_since) == 97_000

    decision = desk.do(cm.HoldHere("EX-1"))
    desk.wait(95)

    assert names(decision) == ["CalledAway", "SpotBroken", "WalkPaused"]
    held = desk.part().phase
    assert (held.spot, held.segment, held.why, held.looked) == (
        22,
        3,
        "called away",
        False,
    )
    assert face_of(desk.bench, desk.part(), held.spot)[0] == "Biting"
    refusal = desk.do(cm.GoOn("EX-1"))
    assert code_of(refusal) == "look-first"
    assert "wet for 3:12" in refusal.message

    told = desk.must(cm.TellCoatState("EX-1", "wet and clean"))[-1]
    assert told.wet_ms == 192_000
    desk.must(cm.GoOn("EX-1"))
    desk.work(upto="coat-2", phase=Ready)
    assert desk.events(ev.DeviationOpened) == []
    work = desk.part().work["coat-1"]
    assert work.spots == ("done",) * 60
    assert (work.extra_ms, lamp_on_ms(desk)) == (4000, 604_000)


def test_called_away_while_brushing_holds_the_first_spot():
    desk = desk_at("coat-1", phase=Brushing)
    desk.wait(5)
    desk.must(cm.HoldHere("EX-1"))

    assert (desk.part().phase.spot, desk.part().phase.looked) == (0, False)
    assert code_of(desk.do(cm.BackOne("EX-1"))) == "not-at-stage"
    desk.must(cm.TellCoatState("EX-1", "wet and clean"), cm.GoOn("EX-1"))
    desk.wait(62)
    assert desk.stage() == "coat-2"


def test_called_away_from_a_pause_has_to_look_too():
    desk = walking()
    desk.must(cm.BreakSpot("EX-1"), cm.HoldHere("EX-1"))

    assert code_of(desk.do(cm.GoOn("EX-1"))) == "look-first"


def test_a_pause_past_the_wet_limit_has_to_be_looked_at():
    desk = walking()
    desk.must(cm.BreakSpot("EX-1"))
    desk.wait(105)
    assert desk.now.since(desk.part().phase.wet_since) == 120_000
    desk.wait(1)

    assert code_of(desk.do(cm.GoOn("EX-1"))) == "look-first"
    desk.must(cm.TellCoatState("EX-1", "wet and clean"))
    assert names(desk.do(cm.GoOn("EX-1"))) == ["WalkStarted"]


def test_a_pause_inside_the_wet_limit_goes_on_at_once():
    desk = walking()
    desk.must(cm.BreakSpot("EX-1"))
    desk.wait(105)

    assert names(desk.do(cm.GoOn("EX-1"))) == ["WalkStarted"]


def test_a_coat_that_set_by_itself_is_a_deviation_and_does_not_go_on():
    desk = walking()
    desk.must(cm.HoldHere("EX-1"))
    desk.wait(300)
    desk.must(cm.TellCoatState("EX-1", "set or dusty"))

    (opened,) = desk.events(ev.DeviationOpened)
    assert opened.rule == "coat-set-or-dusty"
    assert opened.text == "Coat 1: set or dusty after 5:15 wet."
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "look-first"


def test_a_coat_that_was_wiped_off_dries_and_is_brushed_again():
    desk = walking()
    desk.wait(24)
    desk.must(cm.HoldHere("EX-1"), cm.TellCoatState("EX-1", "wiped off"))

    assert spots(desk) == ("open",) * 5
    assert desk.part().phase == Ready(desk.now)
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "dry-before-coat"
    desk.wait(300)
    desk.work(upto="coat-2", phase=Ready)
    assert desk.part().work["coat-1"].segments == 2


def test_wiping_off_one_segment_leaves_the_others_tacked():
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    desk.step()
    desk.step()
    desk.wait(101)
    desk.step()
    desk.step()
    desk.wait(14)
    desk.must(cm.HoldHere("EX-1"), cm.TellCoatState("EX-1", "wiped off"))

    assert spots(desk)[:8] == ("done",) * 8
    assert spots(desk)[8:] == ("open",) * 52


def test_a_coat_is_looked_at_only_while_it_waits():
    desk = walking()

    assert code_of(desk.do(cm.TellCoatState("EX-1", "wet and clean"))) == "not-at-stage"


def test_another_lamp_may_finish_what_a_first_one_began():
    # A charge runs out: the spare lamp is judged and confirmed before it goes on.
    desk = walking()
    desk.wait(12)
    desk.must(cm.BreakSpot("EX-1"), cm.ChooseEquipment("EX-1", "lamp", "LM-BOTH"))
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "lamp-session"

    desk.must(cm.OpenLampSession("LM-BOTH"), cm.GoOn("EX-1"))
    desk.wait(50)

    assert desk.part().work["coat-1"].lamps == ("LM-A", "LM-BOTH")


# --- a stall, a restart --------------------------------------------------------


def test_a_stall_pauses_the_walk_and_credits_only_what_was_watched():
    desk = walking()
    desk.wait(14)  # 1 s into the second spot
    desk.away(60)

    decision = desk.tick(60_000)

    assert names(decision) == ["SpotBroken", "WalkPaused"]
    assert decision[0].light_ms == 1000
    assert (decision[1].spot, decision[1].why) == (1, "stall")
    assert len(desk.events(ev.SpotTacked)) == 1
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "look-first"


def test_a_stall_between_two_spots_only_pauses():
    desk = walking()
    desk.wait(11)
    desk.away(60)

    assert names(desk.tick(60_000)) == ["WalkPaused"]


def test_a_short_hiccup_of_the_program_is_no_stall():
    desk = walking()
    desk.wait(9)
    desk.away(2)

    assert names(desk.tick(2000)) == ["SpotTacked"]


@pytest.mark.parametrize(
    ("watched_s", "kinds"),
    [(24, ["WalkPaused"]), (28, ["SpotBroken", "WalkPaused"])],
)
def test_spots_watched_before_a_stall_are_kept_and_the_walk_pauses_all_the_same(
    watched_s, kinds
):
    # The disk refused what the looks before had to write: nothing was taken in.
    desk = walking()
    desk.away(watched_s)
    desk.away(60)

    assert names(desk.tick(60_000)) == ["SpotTacked", "SpotTacked", *kinds]
    assert (desk.part().phase.spot, desk.part().phase.why) == (2, "stall")
    assert lamp_on_ms(desk) == 20_000 + (2000 if watched_s == 28 else 0)
    assert desk.tick() == ()


def test_a_layer_whose_last_spot_was_watched_is_done_in_spite_of_a_stall():
    desk = walking()
    desk.away(63)
    desk.away(60)

    assert names(desk.tick(60_000)) == ["SpotTacked"] * 5 + ["StageEnded"]


def test_a_segment_whose_last_spot_was_watched_is_done_in_spite_of_a_stall():
    desk = desk_at("coat-1", phase=Walking, recipe=SPLINT)
    desk.away(102)
    desk.away(60)

    assert names(desk.tick(60_000)) == ["SpotTacked"] * 8
    assert desk.part().phase.kind == "ready"


def test_an_event_about_a_walk_that_is_not_there_leaves_the_part_as_it_is():
    # Replay holds no opinions: it takes every event in, whatever came before.
    desk = desk_at("coat-1", phase=Ready)
    before = desk.part()
    for event in (
        ev.WalkStarted("EX-1", "coat-1", 0, "LM-A", 10_000, 3000, "pass", ()),
        ev.WalkPaused("EX-1", 0, "stall"),
        ev.CoatStateTold("EX-1", "coat-1", "wet and clean", 0),
    ):
        desk.happened(event)
        assert desk.part() == before


# --- stains --------------------------------------------------------------------


def test_a_stain_is_laid_from_its_own_lot_and_each_pass_on_its_own():
    desk = Desk()
    desk.take(variant=lib.Variant(stain_passes=2, coats=1))
    desk.work()

    laid = [(each.layer, each.lot) for each in desk.events(ev.BrushWetted)]
    assert laid == [
        ("stain-1", "L-STAIN"),
        ("stain-2", "L-STAIN"),
        ("coat-1", "L-COAT"),
    ]
    assert desk.part().layers == ("body", "stain-1", "stain-2", "coat-1")
    assert desk.events(ev.DoseCredited)[-1].layers == desk.part().layers


def test_the_lot_on_record_is_the_one_that_was_brushed():
    desk = walking()
    desk.work(upto="coat-2", phase=Ready)
    desk.must(cm.ChooseLot("EX-1", "coat", "L-COAT-2"))
    desk.work(upto="coat-2", phase=Brushing)

    assert desk.part().work["coat-1"].lot == "L-COAT"
    assert desk.part().work["coat-2"].lot == "L-COAT-2"


def test_a_recipe_may_wet_a_smaller_segment_than_a_coat():
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-SHORT", wet_limit_s=60),)))
    desk.take(recipe="EX-RC-SHORT r1")
    desk.work(upto="coat-2", phase=Ready)

    assert [(each.first, each.last) for each in desk.events(ev.BrushWetted)] == [
        (0, 3),
        (3, 5),
    ]
