"""Called away: the place is frozen before the break, and looked at after it."""

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.outcome import Said
from benchassist.domain.pedal import TABLE, meaning, situation
from benchassist.domain.place import Place, card, where
from benchassist.domain.state import Brushing, Ready, Soaking, Walking, lamp_day_key
from tests.domain.builders import SPLINT, Desk, code_of, desk_at, names

LANE_KLX_S = 1296.0
"""Working time of composites under light: 54 s at 24 klx and 162 s at 8 klx, so
1296 klx·s both times (Lane, Watts and Wilson 1998, Dent Mater 14:353-357)."""


def arch():
    """Return a splint whose segment 3 is at spot 23, 4 s into its light."""
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    for _ in range(2):
        desk.step()
        desk.step()
        desk.wait(101)
    desk.step()
    desk.step()
    desk.wait(6 * 13 + 4)
    return desk


# --- the arch and the phone call -----------------------------------------------


def test_the_place_is_written_down_before_the_walk_is_broken_off():
    desk = arch()
    decision = desk.must(cm.CallAway())

    assert names(decision) == ["CalledAway", "SpotBroken", "WalkPaused"]
    place = decision[0].place
    assert (place.part, place.layer, place.segment, place.lamp) == (
        "EX-1",
        "coat-1",
        3,
        "LM-A",
    )
    assert (place.face, place.spot, place.of, place.number) == ("Biting", 3, 20, 23)
    assert (place.wet_spots, place.wet_ms, place.lit_ms) == ((23, 24), 97_000, 4000)
    assert (place.wet, place.cover) == (("EX-1",), "hood")


def test_the_resume_card_says_face_spot_coat_lamp_and_what_lies_wet():
    desk = arch()
    lines = card(desk.must(cm.CallAway())[0].place)

    assert lines == (
        "EX-1: Coat 1, biting side, spot 23.",
        "Patch 3, LM-A in hand.",
        "Still wet: spots 23 and 24, 1:37 so far.",
        "The spot that was broken off starts whole.",
        "Cover it with a dark hood that touches nothing.",
    )


def test_wet_and_clean_after_192_s_is_late_but_no_deviation():
    desk = arch()
    desk.must(cm.CallAway())
    desk.wait(95)
    desk.must(cm.ComeBack())

    assert situation(desk.bench, desk.now) == "wet-hold"
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "look-first"
    (told,) = desk.must(cm.TellCoatState("EX-1", "wet and clean"))
    assert (told.wet_ms, told.late_ms) == (192_000, 72_000)
    assert told.numbers == (("break_s", 95.0),)
    assert desk.events(ev.DeviationOpened) == []

    desk.must(cm.GoOn("EX-1"))
    assert desk.part().phase.lit == desk.now  # spot 23 has its full 10 s
    desk.work(upto="coat-2", phase=Ready)
    work = desk.part().work["coat-1"]
    assert (work.spots, work.extra_ms) == (("done",) * 60, 4000)
    assert desk.bench.lamp_on_ms[lamp_day_key("OP-1", "2026-05-14")] == 604_000


def test_the_break_s_share_of_the_room_s_light_is_told_where_both_are_on_file():
    desk = arch()
    desk.must(
        cm.RecordSmear("EX-CC", "bench", klx=8.0, seconds=162.0),
        cm.ChangeDish("L-COAT", "open", "bench", 0.75),
        cm.CallAway(),
    )
    desk.wait(95)
    _, told = desk.must(cm.TellCoatState("EX-1", "wet and clean"))

    assert told.numbers == (("break_s", 95.0), ("klx_s", 71.2))
    assert LANE_KLX_S == 8.0 * 162.0
    assert told.late_ms == 72_000  # 1296 klx·s at 0.75 klx are 28:48: the recipe rules


def test_a_bright_bench_makes_the_wet_limit_shorter_than_the_recipe_s():
    desk = desk_at("coat-1", phase=Ready, recipe=SPLINT)
    desk.must(
        cm.RecordSmear("EX-CC", "spot", klx=24.0, seconds=54.0),
        cm.ChangeDish("L-COAT", "open", "spot", 20.0),
    )
    desk.step()
    wetted = desk.events(ev.BrushWetted)[-1]

    # 1296 / 20 = 64.8 s: 15 s of brushing leave room for 3 spots of 13 s.
    assert (wetted.first, wetted.last) == (0, 3)


def test_set_or_dusty_opens_a_deviation_and_leads_to_wet_late():
    desk = arch()
    desk.must(cm.CallAway())
    desk.wait(95)
    told = desk.must(cm.TellCoatState("EX-1", "set or dusty"))
    assert names(told) == ["CameBack", "CoatStateTold", "DeviationOpened"]

    report = desk.must(cm.ReportMishap("EX-1", "late", ("dusty",)))
    reported = report[0]
    assert (reported.title, reported.coat) == ("Wet, late", "wet")
    assert reported.steps[0] == "Wet 3:12; the limit is 2:00."
    assert "spots 17 to 24" in reported.steps[1]
    assert [each.rule for each in desk.events(ev.DeviationOpened)] == [
        "coat-set-or-dusty"
    ]
    part = desk.part()
    assert part.work["coat-1"].spots.count("done") == 16
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "dry-before-coat"
    desk.wait(300)
    assert names(desk.must(cm.WetBrush("EX-1"))) == ["BrushWetted"]


# --- any state -------------------------------------------------------------------


def test_away_while_a_bath_runs_names_the_part_in_alcohol():
    desk = desk_at("wash-1", phase=Soaking)
    place = desk.must(cm.CallAway())[0].place

    assert (place.part, place.in_alcohol, place.number) == ("EX-1", ("EX-1",), 0)
    assert where(place) == "EX-1: Wash 1."
    assert "In alcohol: EX-1." in card(place)


def test_away_with_a_tacked_coat_says_cover_it():
    desk = desk_at("submerge", phase=Ready)
    place = desk.must(cm.CallAway())[0].place

    assert (place.cover, place.lamp) == ("cover", "")


def test_away_from_an_empty_bench_freezes_nothing():
    desk = Desk()
    desk.must(cm.CallAway())

    assert desk.bench.away.place == Place()
    assert meaning(desk.bench, desk.now).press(long=False) == Said(
        "Nothing was in hand."
    )
    desk.must(cm.ComeBack())
    assert desk.bench.away is None


def test_nobody_at_the_station_can_be_called_away_too():
    desk = Desk(operator="")
    desk.must(cm.CallAway())

    assert desk.entries[-1].operator == ""
    assert situation(desk.bench, desk.now) == "locked"


def test_away_twice_is_said_and_changes_nothing():
    desk = arch()
    desk.must(cm.CallAway())
    before = desk.bench

    assert desk.do(cm.CallAway()) == Said(
        "Away already. EX-1: Coat 1, biting side, spot 23."
    )
    assert desk.bench == before


def test_called_away_while_brushing_freezes_the_first_spot():
    desk = desk_at("coat-1", phase=Brushing)
    desk.wait(5)
    place = desk.must(cm.CallAway())[0].place

    assert (place.number, place.wet_spots, place.lit_ms) == (1, (1, 2, 3, 4, 5), 0)


def test_a_spot_whose_light_had_ended_is_whole_even_if_nobody_looked_yet():
    desk = desk_at("coat-1", phase=Walking)
    desk.clock.advance(10_000)
    decision = desk.must(cm.CallAway())

    assert names(decision) == ["CalledAway", "SpotTacked", "WalkPaused"]
    assert decision[0].place.number == 2


# --- the foot and the tool while away -------------------------------------------


def test_a_press_while_away_says_what_and_where_and_never_clears_it():
    desk = arch()
    desk.must(cm.CallAway())
    row = TABLE["away"]

    assert situation(desk.bench, desk.now) == "away"
    assert (row.long, row.never) == (None, "clear it, act on a part")
    for long in (False, True):
        assert desk.press(long=long) == Said("EX-1: Coat 1, biting side, spot 23.")
    assert desk.bench.away is not None


def test_a_timer_that_runs_out_does_not_move_the_frozen_place():
    desk = arch()
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"), cm.ChoosePart("EX-2"), cm.CallAway())
    assert desk.bench.away.place.part == "EX-1"  # what lies wet, not what is chosen
    desk.wait(121)

    assert desk.bench.focus == "EX-2"
    desk.must(cm.ComeBack())
    assert desk.bench.focus == "EX-1"


def test_coming_back_when_nobody_went_is_refused():
    assert code_of(Desk().do(cm.ComeBack())) == "not-away"


def test_a_long_press_in_a_walk_is_a_call_away():
    desk = arch()

    assert names(desk.press(long=True)) == ["CalledAway", "SpotBroken", "WalkPaused"]


# --- another lamp in the middle of an arch ----------------------------------------


def test_a_lamp_swapped_in_mid_arch_changes_the_seconds_of_the_spots_left_only():
    # 4.2 J/cm² take 10 s at 420 mW/cm² and 16.7 s, so 17, at 252.
    desk = arch()
    desk.must(cm.BreakSpot("EX-1"), cm.ChooseEquipment("EX-1", "lamp", "LM-C"))
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "light-check"

    desk.must(cm.AcceptGate("light-check", "EX-1", "LM-A is empty"))
    assert code_of(desk.do(cm.GoOn("EX-1"))) == "lamp-session"
    (_, walk) = (desk.must(cm.OpenLampSession("LM-C")), desk.must(cm.GoOn("EX-1"))[0])
    assert (walk.spot, walk.lamp, walk.light_ms) == (22, "LM-C", 17_000)
    desk.wait(17 + 3 + 17)

    work = desk.part().work["coat-1"]
    assert work.lamps == ("LM-A", "LM-C")
    assert work.light_ms == 22 * 10_000 + 2 * 17_000
    tacked = desk.events(ev.SpotTacked)
    assert {each.light_ms for each in tacked[:22]} == {10_000}
    assert {(each.lamp, each.light_ms) for each in tacked[22:]} == {("LM-C", 17_000)}


def test_a_blue_lamp_in_mid_arch_is_refused_like_before_the_brush():
    desk = arch()
    desk.must(cm.BreakSpot("EX-1"), cm.ChooseEquipment("EX-1", "lamp", "LM-B"))

    refusal = desk.do(cm.GoOn("EX-1"))
    assert (code_of(refusal), refusal.acceptable) == ("light-check", False)


def test_the_lamp_that_lights_a_spot_is_not_exchanged_under_it():
    desk = desk_at("coat-1", phase=Walking)

    assert code_of(desk.do(cm.ChooseEquipment("EX-1", "lamp", "LM-C"))) == "lit"
