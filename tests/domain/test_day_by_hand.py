"""What hands say of the day, what the bench knows of its own days, and the brush."""

import pytest

from benchassist.clock import MINUTE_MS
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.advice import answer
from benchassist.domain.brush_window import brush_window
from benchassist.domain.day_ahead import Rules
from benchassist.domain.day_rules import call_about, known, rules_of
from benchassist.domain.day_ways import ways_of
from benchassist.domain.order import AS_DUE, BACK, FIRST, NOT_TODAY, RANKS, order
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.state import InRun, Ready, Soaking, WorkDay
from benchassist.value import replace
from tests.domain.builders import Desk, desk_at

HOUR_MS = 60 * MINUTE_MS
PATCH_MS = 110_000


def two_at_hand():
    """Two parts at work by hand, due in 100 and in 200 min."""
    desk = desk_at("supports", phase=Ready, code="EX-1", due=None)
    for code, minutes in (("EX-2", 100), ("EX-3", 200)):
        desk.take(code, due=desk.now.plus(minutes * MINUTE_MS))
        desk.work(code, "supports", Ready)
    return desk


def firsts(desk):
    found = answer(desk.bench, desk.now)
    return found.first.part, found.then.part


# --- wishes ------------------------------------------------------------------------


def test_what_a_hand_put_first_is_first_and_what_it_put_back_is_last():
    desk = two_at_hand()
    assert firsts(desk) == ("EX-2", "EX-3")

    desk.must(cm.OrderPart("EX-1", "first"))
    assert firsts(desk) == ("EX-1", "EX-2")

    desk.must(cm.OrderPart("EX-2", "back"))
    assert firsts(desk) == ("EX-1", "EX-3")

    desk.must(cm.OrderPart("EX-1", "as due"), cm.OrderPart("EX-2", "as due"))
    assert firsts(desk) == ("EX-2", "EX-3")
    assert desk.bench.wishes == {}


def test_no_wish_outranks_harm():
    desk = desk_at("wash-1", phase=Soaking, code="EX-1")
    desk.wait(125)
    desk.take("EX-2")
    desk.must(cm.OrderPart("EX-1", "not today"), cm.OrderPart("EX-2", "first"))

    assert answer(desk.bench, desk.now).first.part == "EX-1"


def test_a_basket_is_first_if_any_of_it_was_put_first():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code, due=desk.now.plus(100 * MINUTE_MS))
    desk.must(cm.FormBasket(("EX-2", "EX-3")), cm.OrderPart("EX-3", "first"))

    assert answer(desk.bench, desk.now).first.parts == ("EX-2", "EX-3")


def test_a_wish_is_on_record_once_and_ends_with_its_part():
    desk = two_at_hand()
    desk.must(cm.OrderPart("EX-1", "back"))
    assert isinstance(desk.do(cm.OrderPart("EX-1", "back")), Said)
    assert [each.wish for each in desk.events(ev.PartOrdered)] == ["back"]
    desk.must(cm.ScrapPart("EX-1", "lost"), cm.OrderPart("EX-2", "first"))

    assert desk.bench.wishes == {"EX-2": "first"}
    assert isinstance(desk.do(cm.OrderPart("EX-1", "first")), Refusal)
    assert isinstance(desk.do(cm.OrderPart("EX-9", "first")), Refusal)


def test_the_order_has_harm_wish_appointment_slack_and_seconds_in_that_turn():
    def key(harm=10**9, promise=0, slack=0, **more):
        return order(harm, promise, slack, **({"long": True} | more))

    assert key(harm=600_000, said=NOT_TODAY) < key(said=FIRST)
    assert key(said=FIRST, promise=9) < key(said=AS_DUE, promise=1)
    assert key(said=AS_DUE, promise=9) < key(said=BACK, promise=1)
    assert key(promise=1, slack=9) < key(promise=2, slack=1)
    assert key(slack=1) < key(slack=2)
    assert key(long=False) < key()
    assert key(harm=600_001)[0] == AS_DUE
    assert sorted(RANKS.values()) == [FIRST, AS_DUE, BACK, NOT_TODAY]


# --- what the day is played with ------------------------------------------------------


def rules(desk):
    ways = ways_of(desk.bench, desk.now)
    return rules_of(desk.bench, ways, known(desk.bench, ways))


def test_wishes_are_played_and_what_is_not_for_today_is_not_counted():
    desk = two_at_hand()
    desk.must(cm.OrderPart("EX-2", "not today"), cm.OrderPart("EX-3", "first"))
    found = rules(desk)

    assert found.said == (("EX-2", BACK), ("EX-3", FIRST))
    assert found.not_today == ("EX-2",)
    assert found.seed == desk.bench.store.store_id


def test_a_refused_put_back_rests_until_a_part_arrives_or_another_is_ordered():
    desk = two_at_hand()
    desk.must(cm.RefusePutBack("EX-2"))
    assert rules(desk).refused == ("EX-2",)

    desk.take("EX-4")
    assert rules(desk).refused == ()

    desk.must(cm.RefusePutBack("EX-2"), cm.OrderPart("EX-3", "first"))
    assert rules(desk).refused == ()
    assert isinstance(desk.do(cm.RefusePutBack("EX-9")), Refusal)


def test_before_there_are_own_days_the_limits_count_and_say_so():
    desk = two_at_hand()
    found = known(desk.bench, ())

    assert (found.calls_per_h, found.call_ms, found.calls) == (7, 58_000, "estimate")
    assert (found.walk_in_ms, found.walk_ins) == (30 * MINUTE_MS, "estimate")
    # Of eight hours that share is kept free that is left until the last is due.
    left = desk.part("EX-3").due.since(desk.now)
    assert 0 < left < 200 * MINUTE_MS
    assert rules(desk).reserve_ms == round(30 * MINUTE_MS * left / (480 * MINUTE_MS))


def test_calls_and_walk_ins_are_the_bench_s_own_once_five_are_known():
    day = WorkDay(0, 4 * HOUR_MS + 2 * 90_000, 2, 2 * 90_000, 1)
    desk = two_at_hand()
    bench = replace(desk.bench, days={f"2031-01-0{n}": day for n in range(1, 6)})
    ways = ways_of(bench, desk.now)
    found = known(bench, ways)

    # Ten calls of 90 s in five times four hours: one in two hours.
    assert (found.calls_per_h, found.call_ms, found.calls) == (0.5, 90_000, "own days")
    hands = sorted(sum(leg.by_hand_ms for leg in way.legs) for way in ways)
    assert (found.walk_in_ms, found.walk_ins) == (hands[1], "own days")


def test_what_a_hand_set_counts_before_the_own_days():
    desk = two_at_hand()
    desk.must(
        cm.SetLimit("calls_per_h", 2, "a colleague takes the phone"),
        cm.SetLimit("walk_in_min", 0, "nobody walks in on Fridays"),
    )
    day = WorkDay(0, 4 * HOUR_MS, 9, 9 * 90_000, 3)
    bench = replace(desk.bench, days={f"2031-01-0{n}": day for n in range(1, 6)})
    found = known(bench, ())

    assert (found.calls_per_h, found.calls) == (2, "set by hand")
    assert (found.walk_in_ms, found.walk_ins) == (0, "set by hand")


def test_a_day_counts_from_the_first_act_to_the_last_with_its_calls_and_walk_ins():
    desk = desk_at("supports", phase=Ready)
    begun = desk.bench.days[desk.now.day()].first_ms
    assert desk.now.wall_ms - begun < HOUR_MS
    desk.take("EX-5", due=desk.now.plus(4 * HOUR_MS))  # in the first hour: foreseen
    desk.wait(1800)
    desk.must(cm.CallAway())
    desk.wait(95)
    desk.must(cm.ComeBack())
    (today,) = desk.bench.days.values()
    assert (today.calls, today.away_ms, today.walk_ins) == (1, 95_000, 0)
    assert (today.first_ms, today.last_ms) == (begun, desk.now.wall_ms)

    desk.wait(2000)
    desk.take("EX-2", due=desk.now.plus(HOUR_MS))  # a walk-in
    desk.take("EX-3", due=desk.now.plus(30 * HOUR_MS))
    desk.take("EX-4")
    (today,) = desk.bench.days.values()
    assert today.walk_ins == 1


def test_only_the_last_ten_days_are_kept():
    desk = desk_at("supports", phase=Ready)
    for _ in range(12):
        desk.wait(24 * 3600)
        desk.must(cm.ChoosePart("EX-1"))
        desk.must(cm.OpenDeviation(("EX-1",), "seen"))

    assert len(desk.bench.days) == 10
    assert list(desk.bench.days)[-1] == desk.now.day()


def test_the_front_desk_is_told_half_an_hour_before_and_at_once_after_that():
    desk = two_at_hand()
    assert call_about(desk.bench, "EX-1", desk.now) is None
    due = desk.part("EX-2").due
    assert due.since(call_about(desk.bench, "EX-2", desk.now)) == 30 * MINUTE_MS
    desk.wait(due.since(desk.now) / 1000 - 1799)

    assert call_about(desk.bench, "EX-2", desk.now) == desk.now


def test_an_empty_rule_plays_nothing_but_the_parts():
    assert Rules() == Rules("", 1, 0.0, 0, 0, (), (), ())


# --- the brush ------------------------------------------------------------------------


def window(desk, box="BX-1"):
    found = brush_window(desk.bench, desk.now, PATCH_MS, box)
    return found.brush, found.left_ms, found.part


def test_with_nothing_in_sight_the_brush_is_open():
    assert window(desk_at("fit")) == ("open", None, "")


def test_alcohol_shuts_the_brush_from_one_patch_before_it_is_due():
    desk = desk_at("wash-1", phase=Soaking)  # 120 s at least
    assert window(desk) == ("open", 10_000, "EX-1")
    desk.wait(10)
    # 110 s to its shortest stay, and 20 s for gloves and the walk.
    assert window(desk) == ("shut", 130_000, "EX-1")
    desk.wait(115)

    assert window(desk) == ("shut", 20_000, "EX-1")


def test_two_baths_that_touch_shut_the_brush_as_one():
    desk = desk_at("wash-1", phase=Soaking, code="EX-1")
    desk.wait(60)
    desk.take("EX-2", box="BX-2")
    desk.must(cm.StartStage("EX-2"))

    # The second shuts it 10 s from now, before the first opens it.
    assert window(desk) == ("shut", 140_000, "EX-2")


@pytest.mark.parametrize(("box", "brush"), [("BX-1", "open"), ("BX-2", "open")])
def test_a_short_run_lets_a_coat_be_begun(box, brush):
    assert window(desk_at("half-1", phase=InRun), box)[0] == brush


def test_a_run_that_outlasts_what_a_tacked_coat_may_wait_shuts_the_brush():
    desk = desk_at("half-1", phase=InRun)
    desk.must(cm.SetLimit("late_tacked_s", 100, "dusty room"))

    # 275 s of run, less 110 s of patch and 100 s in the open.
    assert window(desk) == ("shut", 65_000, "EX-1")
    assert window(desk, "BX-2") == ("open", None, "")
