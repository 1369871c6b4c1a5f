"""A coupon test from the first swab to what it shows, and what may break into it.

The steps, counts and margins are the rule that was simulated (tests/benchmarks); that
a doubtful tab counts as failed and a broken light is done anew are this program's own.
"""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.calls import wet_ms
from benchassist.domain.coupon import step
from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import InRun, Ready, Walking
from benchassist.value import replace
from tests.domain.builders import Desk, code_of, coupon, lamp, names

PAIR = ("LM-L", "EX-CLASS")
LABEL = ((390.0, 420.0),)


def bench(**begun):
    """Return a desk where a coupon of a labelled lamp on the class resin has begun."""
    desk = Desk()
    bare = replace(lamp("LM-L", "", "unknown"), bands=LABEL)
    desk.must(
        cm.FileLibrary(
            lamps=(bare,),
            lots=(lib.Lot("L-CLASS-2", "EX-CLASS", ""),),
            readings=(("LM-L", 100.0),),
        ),
        cm.OpenLampSession("LM-L"),
    )
    whole = {"planned_s": 15, "count": 2200} | begun
    desk.must(cm.BeginCoupon("LM-L", "L-CLASS", "BX-1", "GV-1", **whole))
    return desk


def at(desk):
    found = step(desk.bench.coupon)
    return found.kind, found.of, found.seconds


def light(desk):
    """Light the tab at hand by the foot, and let its seconds run."""
    seconds = step(desk.bench.coupon).seconds
    desk.press()
    desk.wait(seconds)


def set_a(desk, *went):
    """Light and judge tabs of set A; each in went is yes, no or spoilt."""
    for each in went:
        light(desk)
        desk.must(cm.JudgeTab(each))


def to_b(desk, top_s=0):
    desk.must(cm.JudgeTab("yes"))
    set_a(desk, "no", "yes", "yes", "yes")  # 8 s: no; 15 s: three of three
    desk.must(cm.GoOnWithB(top_s))
    return desk


def through_box(desk, count=2200):
    desk.must(cm.BoxCoupon(2200))
    desk.wait(275)
    desk.must(cm.TellCouponBox(count))


def batch(desk, *went):
    """Light a batch of set B twice each, box it, and judge it."""
    for _ in went:
        light(desk)
        light(desk)
    through_box(desk)
    desk.must(*(cm.JudgeTab(each) for each in went))


def air(desk, sticky="yes"):
    light(desk)
    through_box(desk)
    return desk.must(cm.JudgeTab(sticky))


def shown(desk):
    return desk.bench.tested[PAIR][-1].coupon


def lights_up(desk):
    return judge_lamp(desk.bench, "LM-L", "L-CLASS", 15)


# --- the whole way -------------------------------------------------------------------


def test_a_whole_coupon_passes_and_is_used_at_once():
    desk = bench()
    assert lights_up(desk).level == "fail"

    to_b(desk, top_s=30)
    batch(desk, "yes", "yes", "yes")
    done = air(desk)

    assert names(done) == ["CouponTabJudged", "CouponFinished"]
    found = shown(desk)
    assert (found.held_s, found.star_s, found.top_s, found.finished) == (
        15,
        19,
        30,
        True,
    )
    assert desk.bench.coupon is None
    answer = lights_up(desk)
    assert (answer.level, answer.rung, answer.seconds) == ("pass", 3, 19)
    assert (answer.low_s, answer.longest_s) == (19, 30)


def test_what_it_was_done_under_is_on_the_record():
    desk = bench(tip="8 mm")
    to_b(desk)
    batch(desk, "yes", "yes", "yes")
    air(desk)
    found = shown(desk)

    assert (found.lamp, found.material, found.lot) == ("LM-L", "EX-CLASS", "L-CLASS")
    assert (found.box, found.vessel, found.count) == ("BX-1", "GV-1", 2200)
    assert (found.reading, found.tip, found.celsius, found.coat_um) == (
        100.0,
        "8 mm",
        23.0,
        25.0,
    )
    assert len(found.tabs) == 1 + 4 + 3 + 1


def test_times_are_half_one_one_and_a_half_and_two_times_the_plan():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    tried = []
    while desk.bench.coupon is not None:
        tried.append(at(desk)[2])
        set_a(desk, "no")

    assert tried == [8, 15, 23, 30]
    assert (shown(desk).held_s, shown(desk).tried_s) == (0, 30)
    assert lights_up(desk).level == "fail"
    assert desk.bench.against[PAIR].tack_s == 30


def test_the_first_that_fails_leads_to_the_next_time_and_three_of_three_stop():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    set_a(desk, "yes", "yes", "no")
    assert at(desk) == ("light", "A", 15)

    set_a(desk, "yes", "yes", "yes")

    assert at(desk)[0] == "choose"


def test_a_spoilt_tab_is_done_anew_and_stays_on_the_record():
    desk = bench()
    desk.must(cm.JudgeTab("spoilt"), cm.JudgeTab("yes"))
    set_a(desk, "spoilt", "yes", "yes", "yes")
    desk.must(cm.StopAfterA())

    assert shown(desk).held_s == 8
    assert [tab.outcome for tab in shown(desk).tabs].count("spoilt") == 2


def test_set_a_alone_is_marginal():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    set_a(desk, "yes", "yes", "yes")
    desk.must(cm.StopAfterA())

    assert (lights_up(desk).level, lights_up(desk).seconds) == ("marginal", 10)


# --- set B ---------------------------------------------------------------------------


def test_tabs_of_set_b_are_lit_twice_and_boxed_together():
    desk = to_b(bench())
    assert at(desk) == ("light", "B", 24)
    for number in (1, 2, 3):
        assert step(desk.bench.coupon).number == number
        light(desk)
        assert (at(desk)[0], step(desk.bench.coupon).light) == ("light", 2)
        light(desk)

    assert at(desk)[0] == "box"


@pytest.mark.parametrize(
    ("batches", "finished"),
    [
        ((("yes", "yes", "yes"),), True),
        ((("no", "yes", "yes"), ("yes", "yes", "yes")), True),
        ((("no", "yes", "yes"), ("yes", "no")), False),
        ((("yes", "no", "no"),), False),
    ],
)
def test_one_miss_asks_for_three_more_which_all_have_to_pass(batches, finished):
    desk = to_b(bench(own_glycerine=True))
    for went in batches:
        tabs = went if len(went) == 3 else (*went, "yes")
        for _ in tabs:
            light(desk)
            light(desk)
        through_box(desk)
        desk.must(*(cm.JudgeTab(each) for each in went))
    if finished:
        air(desk)

    assert shown(desk).finished is finished
    assert (lights_up(desk).level == "pass") is finished
    assert finished or "soft at the end" in lights_up(desk).reason


def test_a_box_that_showed_less_spoils_the_tabs_in_it():
    desk = to_b(bench())
    for _ in range(3):
        light(desk)
        light(desk)
    desk.must(cm.BoxCoupon(2200))
    desk.wait(60)
    desk.must(cm.TellCouponBox(480))

    assert at(desk) == ("light", "B", 24)
    assert step(desk.bench.coupon).number == 1


def test_a_whole_count_needs_its_time():
    desk = to_b(bench())
    for _ in range(6):
        light(desk)
    desk.must(cm.BoxCoupon(2200))
    desk.wait(200)

    assert code_of(desk.do(cm.TellCouponBox(2200))) == "too-early"


@pytest.mark.parametrize("top_s", [23, 121])
def test_the_longest_time_lies_between_a_second_margin_and_what_a_hand_can_hold(top_s):
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    set_a(desk, "no", "yes", "yes", "yes")

    assert code_of(desk.do(cm.GoOnWithB(top_s))) == "coupon"


# --- controls ------------------------------------------------------------------------


def test_an_unlit_tab_that_does_not_wipe_clean_makes_the_test_void():
    desk = bench()
    done = desk.must(cm.JudgeTab("no"))

    assert names(done) == ["CouponTabJudged", "CouponFinished"]
    assert "did not wipe clean" in done[1].coupon.void
    assert PAIR not in desk.bench.tested
    assert lights_up(desk).rung == 2


def test_a_tab_cured_in_air_that_is_not_sticky_makes_the_test_void():
    desk = to_b(bench())
    batch(desk, "yes", "yes", "yes")
    done = air(desk, "no")

    assert "not sticky" in done[1].coupon.void
    assert lights_up(desk).level == "fail"


# --- glycerine, box, eyes ------------------------------------------------------------


def test_immersions_and_lamp_time_are_on_record():
    desk = to_b(bench())
    before = desk.bench.fills["GV-1"].immersions
    lit = sum(desk.bench.lamp_on_by_lamp_ms.values())
    batch(desk, "yes", "yes", "yes")

    assert desk.bench.fills["GV-1"].immersions == before + 3
    assert sum(desk.bench.lamp_on_by_lamp_ms.values()) == lit + 6 * 24_000
    assert lit == 8_000 + 3 * 15_000


def test_a_portion_of_its_own_leaves_the_fill_as_it_is():
    desk = to_b(bench(own_glycerine=True))
    before = desk.bench.fills["GV-1"]
    batch(desk, "yes", "yes", "yes")

    assert desk.bench.fills["GV-1"] == before


def test_a_fill_that_was_found_watery_stays_so_when_tabs_went_into_it():
    desk = to_b(bench())
    desk.must(cm.SeeGlycerine("GV-1", "clear", 1.2))
    before = desk.bench.fills["GV-1"]
    batch(desk, "yes", "yes", "yes")

    assert 0 < before.percent < limit(desk.bench, "glycerine_least")
    assert desk.bench.fills["GV-1"] == replace(before, immersions=before.immersions + 3)


def test_a_fill_that_has_had_its_parts_takes_no_tabs():
    desk = bench()
    desk.must(cm.FileLibrary(fills=(("GV-1", "G-1", 3),)))
    to_b(desk)
    for _ in range(6):
        light(desk)

    assert code_of(desk.do(cm.BoxCoupon(2200))) == "glycerine-count"


def test_the_count_on_the_box_is_the_one_that_is_tested():
    desk = to_b(bench())
    for _ in range(6):
        light(desk)

    assert code_of(desk.do(cm.BoxCoupon(2100))) == "count-differs"


def test_a_box_with_tabs_in_it_takes_no_part():
    desk = to_b(bench())
    for _ in range(6):
        light(desk)
    desk.must(cm.BoxCoupon(2200))
    desk.take("EX-9")
    desk.work("EX-9", upto="half-1", phase=Ready)

    assert code_of(desk.do(cm.ConfirmLoad(("EX-9",), "BX-1", 2200))) == "box-occupied"


def test_no_tab_has_light_before_eyewear_was_confirmed():
    desk = bench()
    desk.must(cm.JudgeTab("yes"), cm.OpenLampSession("LM-A"))

    assert code_of(desk.press()) == "lamp-session"


def test_no_tab_has_light_while_the_lamp_is_on_a_part():
    desk = Desk()
    desk.take()
    desk.work(upto="coat-1", phase=Walking)
    desk.must(
        cm.BeginCoupon("LM-A", "L-CLASS", "BX-2", "GV-2", planned_s=10, count=2200),
        cm.JudgeTab("yes"),
    )

    assert code_of(desk.do(cm.LightTab())) == "lamp-busy"


def test_no_tab_goes_into_a_box_that_holds_parts():
    desk = to_b(bench())
    desk.take("EX-9")
    desk.work("EX-9", upto="half-1", phase=InRun)
    desk.must(cm.BringCoupon(), cm.OpenLampSession("LM-L"))
    for _ in range(6):
        light(desk)

    assert code_of(desk.do(cm.BoxCoupon(2200))) == "box-occupied"


def test_a_reading_of_another_day_is_no_meter_of_this_one():
    desk = Desk()
    desk.wait(24 * 3600)
    desk.must(cm.BeginCoupon("LM-A", "L-CLASS", "BX-1", "GV-1", 10, 2200))

    assert desk.bench.coupon.coupon.reading == 0


# --- what breaks in ------------------------------------------------------------------


def test_the_foot_lights_and_cancels_and_judges_nothing():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    assert names(desk.press()) == ["CouponTabLit"]
    desk.wait(3)
    (stopped,) = desk.press()

    assert (stopped.light_ms, stopped.why) == (3000, "not done")
    assert at(desk) == ("light", "A", 8)
    light(desk)
    assert at(desk)[0] == "judge"
    assert not isinstance(desk.press(), tuple)


def test_nothing_is_judged_while_the_light_is_on():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    desk.press()

    assert code_of(desk.do(cm.JudgeTab("yes"))) == "coupon"


def test_light_that_nobody_watched_is_done_anew():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    desk.press()
    desk.wait(1)
    desk.clock.advance(60)
    desk.tick(60_000)

    assert desk.events(ev.CouponTabStopped)[-1].why == "stall"
    assert at(desk) == ("light", "A", 8)


def test_a_program_that_was_away_breaks_the_light_off():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    desk.press()
    desk.wait(2)
    desk.must(cm.Reopen("0", desk.now))

    assert desk.events(ev.CouponTabStopped)[-1].why == "program was away"
    assert at(desk) == ("light", "A", 8)


def test_a_part_chosen_by_hand_takes_the_foot_and_a_hand_brings_the_test_back():
    desk = bench()
    desk.take()
    desk.must(cm.ChoosePart("EX-1"))
    assert not desk.bench.coupon.front

    desk.must(cm.BringCoupon())

    assert desk.bench.coupon.front
    assert desk.bench.focus == ""


def test_a_part_that_falls_due_does_not_take_the_foot_from_a_test():
    desk = bench()
    desk.take()
    desk.must(cm.ChoosePart("EX-1"), cm.StartStage("EX-1"), cm.BringCoupon())
    desk.wait(130)

    assert desk.bench.coupon.front
    assert desk.bench.focus == ""


def test_a_test_that_is_given_up_shows_nothing():
    desk = bench()
    desk.must(cm.JudgeTab("yes"))
    set_a(desk, "yes")
    assert code_of(desk.do(cm.LeaveCoupon(" "))) == "no-reason"
    desk.must(cm.LeaveCoupon("the courier came"))

    assert desk.bench.coupon is None
    assert PAIR not in desk.bench.tested


def test_one_test_at_a_time():
    desk = bench()
    again = cm.BeginCoupon("LM-A", "L-CLASS", "BX-1", "GV-1", 10, 2200)

    assert code_of(desk.do(again)) == "coupon"


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"lamp": "LM-9"}, "no-equipment"),
        ({"lot": "L-9"}, "no-equipment"),
        ({"box": "BX-9"}, "no-equipment"),
        ({"vessel": "GV-9"}, "no-equipment"),
        ({"lot": "L-OLD"}, "lot-expiry"),
        ({"planned_s": 0}, "coupon"),
        ({"planned_s": 121}, "coupon"),
        ({"count": 0}, "coupon"),
        ({"short": True}, "coupon"),
    ],
)
def test_a_test_that_could_show_nothing_is_not_begun(changes, code):
    whole = {
        "lamp": "LM-A",
        "lot": "L-CLASS",
        "box": "BX-1",
        "vessel": "GV-1",
        "planned_s": 10,
        "count": 2200,
    }

    assert code_of(Desk().do(cm.BeginCoupon(**(whole | changes)))) == code


def test_a_lot_whose_material_is_not_on_file_is_not_tested():
    desk = Desk()
    desk.bench = replace(desk.bench, materials={})
    begin = cm.BeginCoupon("LM-A", "L-CLASS", "BX-1", "GV-1", 10, 2200)

    assert isinstance(desk.do(begin), Refusal)


@pytest.mark.parametrize(
    "event",
    [
        ev.CouponTabShone("CP-9", "LM-L", 15_000, Desk().now),
        ev.CouponTabJudged("CP-9", lib.Tab("A", 15, "yes")),
        ev.CouponWentOn("CP-9", 30),
        ev.CouponBoxEnded("CP-9", 2200, whole=True),
    ],
    ids=lambda event: type(event).__name__,
)
def test_what_is_told_of_a_coupon_that_is_not_under_way_moves_no_other(event):
    """As where its beginning is not in what is read: a damaged record, a part alone."""
    desk = Desk()
    desk.happened(event)

    assert desk.bench.coupon is None
    assert desk.bench.tested == {}


def test_hands_are_bound_while_a_tab_is_lit_and_the_box_runs_alone():
    desk = to_b(bench())
    assert wet_ms(desk.bench, desk.now) is None
    desk.press()
    desk.clock.advance(3000)
    assert wet_ms(desk.bench, desk.now) == (step(desk.bench.coupon).seconds - 3) * 1000
    desk.wait(step(desk.bench.coupon).seconds - 3)
    for _ in range(5):
        light(desk)
    assert wet_ms(desk.bench, desk.now) is None
    desk.must(cm.BoxCoupon(2200))

    assert step(desk.bench.coupon).kind == "boxed"
    assert wet_ms(desk.bench, desk.now) is None


# --- a new lot -----------------------------------------------------------------------


def short():
    desk = Desk()
    desk.must(
        cm.FileLibrary(
            lots=(lib.Lot("L-CLASS-2", "EX-CLASS", ""),),
            coupons=((coupon(), "2026-05-01"),),
        ),
        cm.OpenLampSession("LM-A"),
        cm.BeginCoupon("LM-A", "L-CLASS-2", "BX-1", "GV-1", 10, 2200, short=True),
    )
    return desk


def test_a_new_lot_takes_three_thin_tabs_at_the_time_with_the_margin():
    desk = short()
    assert at(desk) == ("light", "lot", 10)
    set_a(desk, "yes", "yes", "yes")
    answer = judge_lamp(desk.bench, "LM-A", "L-CLASS-2", 10)

    assert desk.bench.coupon is None
    assert (answer.level, answer.seconds, answer.longest_s) == ("pass", 10, 20)
    # Its days run on from the first coupon's.
    assert {each.until for each in desk.bench.tested[("LM-A", "EX-CLASS")]} == {
        "2026-07-30"
    }
    assert judge_lamp(desk.bench, "LM-A", "L-CLASS", 10).level == "pass"


def test_a_new_lot_that_does_not_set_withdraws_what_was_tested():
    desk = short()
    set_a(desk, "yes", "no")

    assert judge_lamp(desk.bench, "LM-A", "L-CLASS-2", 10).level == "fail"
    assert judge_lamp(desk.bench, "LM-A", "L-CLASS", 10).level == "fail"


def test_a_test_in_which_nothing_set_has_nothing_that_a_tab_could_withdraw():
    """It allows no time; what ends is what was allowed, with the tab that ended it."""
    desk = Desk()
    for number, held_s in (("T-1", 8.0), ("T-2", 0.0)):
        shown = coupon(id=number, held_s=held_s, top_s=20.0 if held_s else 0.0)
        desk.happened(ev.CouponFinished(shown, "2026-05-14"))
    desk.must(cm.RecordCoupon("LM-A", "EX-CLASS", passed=False, tack_s=12.0))

    held, nothing = desk.bench.tested[("LM-A", "EX-CLASS")]
    assert "12 s" in held.ended
    assert nothing.ended == ""
