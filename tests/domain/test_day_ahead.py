"""The rest of the day, played: its rules, what is put back, and days worked by hand."""

import statistics

import pytest

from benchassist.clock import MINUTE_MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.coat import answer_for
from benchassist.domain.day_ahead import Rules, answer, look_ahead, verdict_of
from benchassist.domain.day_chance import drawn, sigma_of
from benchassist.domain.day_play import (
    FAR,
    Draws,
    Leg,
    Played,
    Way,
    by_promise,
    play,
    said_by_hand,
)
from benchassist.domain.day_ways import is_estimate, way_of, ways_of
from benchassist.domain.order import BACK, FIRST
from benchassist.domain.plan import Step, plan_back
from benchassist.domain.segments import coat_s, segments, spots_per_segment
from benchassist.domain.state import Brushing, InRun, Ready, Soaking, Walking
from benchassist.value import replace
from tests.domain.builders import DENTURE, Desk, desk_at

SURE = Draws({})


def hands(key, minutes, sigma=0.0):
    return Leg(key, "hands", hands_ms=round(minutes * MINUTE_MS), sigma=sigma)


def way(code, *legs, due=None, **more):
    due_ms = None if due is None else due * MINUTE_MS
    return Way(code, legs, due_ms, **more)


def minutes(ends):
    return tuple(end / MINUTE_MS for end in ends)


# --- worked by hand ------------------------------------------------------------------


def test_a_patch_of_seven_spots_fits_its_wet_limit_and_sixty_spots_take_975_s():
    # 11 s of light and 3 s to move, 15 s of brushing, wet no longer than 120 s:
    # 15 + 7 × 14 = 113; 60 spots are 8 × 113 + (15 + 4 × 14) = 975. Worked by hand.
    pace = {"brush_s": 15, "spot_s": 11, "move_s": 3}
    assert spots_per_segment(wet_limit_s=120, **pace) == 7
    assert coat_s(segments(60, 7), **pace) == 8 * 113 + 71 == 975


def test_one_part_of_fixed_times_ends_when_the_plan_backwards_says():
    legs = (hands("a", 10), Leg("dry", "alone", alone_ms=300_000), hands("b", 5))
    steps = tuple(Step(leg.key, leg.key, leg.whole_ms) for leg in legs)
    now = Instant(0, 0, 0, "b")
    plan = plan_back(steps, now.plus(60 * MINUTE_MS), now)

    (end,) = play((way("EX-1", *legs, due=60),), by_promise, SURE)

    assert end == plan.total_ms == 20 * MINUTE_MS
    assert 60 * MINUTE_MS - end == plan.slack_ms


def test_two_parts_that_each_have_time_alone_share_one_pair_of_hands():
    # 30 min of hands each, due in 45: alone 15 to spare each, together one of two.
    two = tuple(way(code, hands("fit", 30), due=45) for code in ("EX-1", "EX-2"))

    assert [minutes(play((each,), by_promise, SURE)) for each in two] == [(30,), (30,)]
    assert minutes(play(two, by_promise, SURE)) == (30, 60)


def test_the_eightieth_percentile_of_a_sum_is_less_than_the_sum_of_eightieths():
    # 25 stages of median 1 and spread 0.4. Each 80th is exp(0.841621 × 0.4) = 1.400: 35.0.
    # The sum has mean 25 exp(0.08) = 27.08 and standard deviation
    # 5 exp(0.08) √(exp(0.16) - 1) = 2.256: 27.08 + 0.842 × 2.256 = 29.0.
    long = (way("EX-1", *(hands(f"{n}", 1, sigma=0.4) for n in range(25))),)
    ends = sorted(
        play(long, by_promise, drawn(long, seed="s", day=day, day_sigma=0.0))[0]
        for day in range(4000)
    )

    assert sigma_of(1.0, 1.400) == pytest.approx(0.4, abs=0.0005)
    assert ends[3200] / MINUTE_MS == pytest.approx(29.0, abs=0.15)
    assert statistics.mean(ends) / MINUTE_MS == pytest.approx(27.08, abs=0.15)


@pytest.mark.parametrize(("median", "eighty"), [(0, 1), (-1, 2), (2, 1)])
def test_percentiles_that_no_lognormal_has_are_refused(median, eighty):
    with pytest.raises(ValueError, match="median"):
        sigma_of(median, eighty)


def test_the_same_seed_and_state_give_the_same_answer_bit_for_bit():
    ways = tuple(
        way(f"EX-{n}", hands("fit", 20, sigma=0.4), due=30 + 20 * n) for n in range(5)
    )
    rules = Rules("seed", 1, 7.0, 58_000, reserve_ms=30 * MINUTE_MS)

    assert answer(ways, rules) == answer(ways, rules)
    assert answer(ways, rules) != answer(ways, replace(rules, seed="another"))


# --- rules of the play ---------------------------------------------------------------


def bath(key="wash", shortest=2, longest=5):
    return Leg(
        key,
        "place",
        hands_ms=20_000,
        alone_ms=shortest * MINUTE_MS,
        most_ms=longest * MINUTE_MS,
        ends_ms=20_000,
        place="bath",
    )


def box(key="half", takes=5, load="C", vessel="", **more):
    return Leg(
        key,
        "place",
        hands_ms=60_000,
        alone_ms=takes * MINUTE_MS,
        ends_ms=60_000,
        place="box",
        load=load,
        vessel=vessel,
        **more,
    )


def test_work_by_hand_is_put_down_for_alcohol_and_taken_up_again():
    played = Played(
        (way("EX-1", bath(), due=500), way("EX-2", hands("fit", 30), due=100)),
        by_promise,
        SURE,
    ).run()

    assert played.harmed_ms == {}
    # The other comes first; nothing starts the bath before its 30 min are over.
    assert minutes(played.ends) == (30 + 1 / 3 + 2 + 1 / 3, 30)

    begun = replace(bath(), hands_ms=0)
    played = Played(
        (
            way("EX-1", begun, due=500, begun=True),
            way("EX-2", hands("fit", 30), due=100),
        ),
        by_promise,
        SURE,
    ).run()
    assert played.harmed_ms == {}
    # 2 min to its shortest stay, 20 s to take it out, 20 s to take the work up again.
    assert minutes(played.ends) == (2 + 1 / 3, 30 + 2 / 3)


def test_a_patch_is_never_begun_where_alcohol_comes_due_inside_it():
    begun = replace(bath(), hands_ms=0)
    coat = Leg("coat", "coat", pieces=(3 * MINUTE_MS, MINUTE_MS))
    played = Played(
        (way("EX-1", begun, begun=True), way("EX-2", coat, due=10)), by_promise, SURE
    ).run()

    assert played.ends == [140_000, 140_000 + 4 * MINUTE_MS]
    assert [bar.start_ms for bar in played.bars if bar.code == "EX-2"] == [
        140_000,
        140_000 + 3 * MINUTE_MS,
    ]


@pytest.mark.parametrize(("piece_s", "starts_s"), [(120, 0), (120.001, 140)])
def test_a_patch_that_is_over_just_as_alcohol_comes_due_is_begun(piece_s, starts_s):
    # The bath's shortest stay is 2 min, and 20 s take the part out.
    begun = replace(bath(), hands_ms=0)
    coat = Leg("coat", "coat", pieces=(piece_s * 1000,))
    played = Played(
        (way("EX-1", begun, begun=True), way("EX-2", coat, due=10)), by_promise, SURE
    ).run()

    assert [bar.start_ms for bar in played.bars if bar.code == "EX-2"] == [
        starts_s * 1000
    ]


def test_a_bath_past_its_longest_stay_counts_as_harm():
    late = replace(bath(shortest=0, longest=1), hands_ms=0)
    calls = (((0, 3 * MINUTE_MS),),)
    played = Played((way("EX-1", late, begun=True),), by_promise, Draws({}, calls))

    assert played.run().harmed_ms == {("EX-1", "wash"): 2 * MINUTE_MS + 20_000}


def test_a_tacked_coat_goes_under_cover_before_an_earlier_appointment_once_harm_is_near():
    under = box("submerge", vessel="GV", tacked=True)
    ways = (
        way("EX-1", under, due=900, since_ms=11 * MINUTE_MS),
        way("EX-2", hands("fit", 30), due=40),
    )

    played = Played(ways, by_promise, SURE).run()
    first = min(played.bars, key=lambda bar: bar.start_ms)
    assert (first.code, first.kind) == ("EX-1", "hands")
    assert played.harmed_ms == {}


def test_a_tacked_coat_that_lay_open_too_long_counts_as_harm():
    """Twenty minutes in the open are its limit (common practice); it lay 25."""
    under = box("submerge", vessel="GV", tacked=True)
    played = Played((way("EX-1", under, since_ms=25 * MINUTE_MS),), by_promise, SURE)

    assert played.run().harmed_ms == {("EX-1", "submerge"): 5 * MINUTE_MS}


def test_a_box_is_held_from_loading_to_unloading_and_shared_by_a_basket_alone():
    ways = tuple(way(f"EX-{n}", box(), due=60, basket="B") for n in (1, 2))
    assert minutes(play(ways, by_promise, SURE)) == (7, 7)

    apart = tuple(replace(each, basket="") for each in ways)
    assert minutes(play(apart, by_promise, SURE)) == (7, 14)

    other = (ways[0], way("EX-2", box(load="V"), due=60, basket="B"))
    assert minutes(play(other, by_promise, SURE)) == (7, 14)


def test_what_holds_a_box_is_as_urgent_as_who_waits_for_it():
    over = replace(box(takes=0), hands_ms=0)
    ways = (
        way("EX-1", over, due=2000, begun=True),
        way("EX-2", box(), due=20),
        way("EX-3", hands("fit", 30), due=60),
    )
    played = Played(ways, by_promise, SURE).run()

    assert [(bar.code, bar.start_ms) for bar in played.bars if bar.kind == "hands"] == [
        ("EX-1", 0),
        ("EX-2", MINUTE_MS),
        ("EX-3", 2 * MINUTE_MS),
        ("EX-2", 32 * MINUTE_MS),  # an idle box breaks no work off
    ]


def test_one_vessel_is_under_one_load_at_a_time():
    ways = tuple(
        way(
            f"EX-{n}",
            replace(box("submerge", vessel="GV"), place=f"box {n}"),
            due=60,
        )
        for n in (1, 2)
    )

    assert minutes(play(ways, by_promise, SURE)) == (7, 14)


def test_a_part_that_arrives_later_is_not_worked_on_before():
    ways = (way("EX-1", hands("fit", 10), due=60, arrives_ms=20 * MINUTE_MS),)

    assert minutes(play(ways, by_promise, SURE)) == (30,)


def test_two_pairs_of_hands_do_two_things_at_once():
    two = tuple(way(code, hands("fit", 30), due=45) for code in ("EX-1", "EX-2"))

    assert minutes(play(two, by_promise, Draws({}, ((), ())))) == (30, 30)


def test_a_call_lengthens_what_hands_are_at_and_nothing_that_runs_alone():
    calls = Draws({}, (((5 * MINUTE_MS, 2 * MINUTE_MS), (50 * MINUTE_MS, 60_000)),))
    assert minutes(play((way("EX-1", hands("fit", 30)),), by_promise, calls)) == (32,)

    alone = (way("EX-1", Leg("dry", "alone", alone_ms=30 * MINUTE_MS)),)
    assert minutes(play(alone, by_promise, calls)) == (30,)


def test_a_call_that_began_while_hands_were_idle_is_ended_first():
    dry = Leg("dry", "alone", alone_ms=MINUTE_MS)
    calls = Draws({}, (((30_000, 90_000),),))

    ends = play((way("EX-1", dry, hands("fit", 1)),), by_promise, calls)

    assert minutes(ends) == (3,)


def test_what_hands_put_first_or_back_is_so_but_never_before_harm():
    ways = tuple(way(f"EX-{n}", hands("fit", 10), due=20 + 10 * n) for n in range(1, 4))
    said = {"EX-3": FIRST, "EX-1": BACK}
    assert minutes(play(ways, said_by_hand(said), SURE)) == (30, 20, 10)

    begun = replace(bath(shortest=0), hands_ms=0)
    played = Played(
        (way("EX-9", begun, begun=True), *ways), said_by_hand({"EX-9": BACK}), SURE
    )
    assert minutes(played.run().ends)[0] == 1 / 3


def test_what_is_put_back_from_a_moment_on_is_worked_on_before_it():
    ways = tuple(way(f"EX-{n}", hands("a", 10), hands("b", 10), due=30) for n in (1, 2))

    now = play(ways, said_by_hand({"EX-1": BACK}), SURE)
    later = play(ways, said_by_hand({"EX-1": BACK}, 5 * MINUTE_MS), SURE)

    assert minutes(now) == (40, 20)
    assert minutes(later) == (40, 30)


@pytest.mark.parametrize("moment", [0, 1, 7, 19, 22, 25, 33, 61, 90])
def test_what_is_left_of_a_day_plays_on_as_the_day_itself(moment):
    ways = (
        way("EX-1", bath(), Leg("dry", "alone", alone_ms=900_000), box(), due=90),
        way(
            "EX-2", hands("fit", 20), Leg("coat", "coat", pieces=(90_000,) * 4), due=50
        ),
        way("EX-3", hands("fit", 15), box("late", tacked=True), hands("c", 3), due=95),
    )
    whole = dict(zip("123", play(ways, by_promise, SURE), strict=True))
    rest = Played(ways, by_promise, SURE).run(moment * MINUTE_MS).rest()

    ends = play(rest, by_promise, SURE)

    for each, end in zip(rest, ends, strict=True):
        left = whole[each.code[-1]] - moment * MINUTE_MS
        # What hands are at when the day is cut may be taken up in another order.
        assert end == pytest.approx(left, abs=3 * MINUTE_MS)


# --- the answer ----------------------------------------------------------------------


def full_day():
    """Three parts due in 45, 50 and 55 min, of 15, 15 and 40 min; only two can be."""
    return (
        way("EX-1", hands("a", 40), due=45),
        way("EX-2", hands("a", 15), due=50),
        way("EX-3", hands("a", 15), due=55),
    )


def test_a_day_with_room_holds_and_nothing_is_put_back():
    found = answer((way("EX-1", hands("a", 10), due=60), way("EX-2")), Rules())

    (first, second) = found.promises
    assert (first.verdict, first.chance, first.median_ms) == ("holds", 1.0, 600_000)
    assert (second.due_ms, second.counted) == (None, False)
    assert (found.holding, len(found.promised), found.back) == (1, 1, None)


def test_the_part_that_lets_most_others_make_it_is_put_back_and_until_when():
    found = answer(full_day(), Rules())

    assert [each.verdict for each in found.promises] == [
        "holds",
        "will not",
        "will not",
    ]
    assert found.back is not None
    assert (found.back.code, found.back.gain) == ("EX-1", 1.0)
    assert found.back.saves in {"EX-2", "EX-3"}
    # Begun, it would not be broken off for another's appointment.
    assert found.back.until_ms == 0


def test_the_latest_time_is_the_last_quarter_at_which_putting_back_still_helps():
    ways = (
        way("EX-1", *(hands(f"{n}", 10) for n in range(6)), due=65),
        way("EX-2", hands("a", 15), due=80),
        way("EX-3", hands("a", 15), due=85),
    )
    # All of EX-1 first: 60, 75, 90, two of three. Left at 15 min it has had 20 of its
    # hour: EX-2 35, EX-3 50, but EX-1 90: two of three again.
    assert answer(ways, Rules()).back is None

    more = (*ways, way("EX-4", hands("a", 15), due=88))
    found = answer(more, Rules()).back

    # First: 60, 75, 90, 105: two of four. Put back: 105, 15, 30, 45: three of four;
    # still so with 40 of its minutes spent, 85, 100 no more.
    assert (found.code, found.gain) == ("EX-1", 1.0)
    assert found.until_ms == 30 * MINUTE_MS


def test_who_was_refused_pinned_or_is_not_for_today_is_not_put_back_again():
    for rules in (Rules(refused=("EX-1",)), Rules(said=(("EX-1", FIRST),))):
        found = answer(full_day(), rules).back
        assert found is None or found.code != "EX-1"


def test_what_is_not_for_today_is_not_counted():
    rules = Rules(said=(("EX-1", BACK),), not_today=("EX-1",))
    found = answer(full_day(), rules)

    assert [each.code for each in found.promised] == ["EX-2", "EX-3"]
    assert found.holding == 2


def test_playing_gives_way_often():
    assert sum(1 for _ in look_ahead(full_day(), Rules())) >= 8


@pytest.mark.parametrize(
    ("chance", "word"),
    [(1.0, "holds"), (0.8, "holds"), (0.79, "open"), (0.5, "open"), (0.49, "will not")],
)
def test_a_chance_has_a_word(chance, word):
    assert verdict_of(chance) == word


def test_a_day_of_nothing_is_an_answer():
    found = answer((), Rules())

    assert (found.promises, found.back, found.bars) == ((), None, ())


def test_an_end_that_never_comes_is_far():
    stuck = way("EX-1", box(), due=30)
    blocked = (replace(stuck, legs=(replace(box(), place="box"),)),)

    assert play(blocked, by_promise, SURE)[0] < FAR


# --- the bench as a day ----------------------------------------------------------------


def legs_of(desk, code="EX-1"):
    return way_of(desk.bench, desk.part(code), desk.now)


def test_every_stage_of_a_route_is_a_leg_and_submerging_goes_with_its_run():
    desk = Desk()
    desk.take("EX-1", due=desk.now.plus(200 * MINUTE_MS))
    part = desk.part()
    found = legs_of(desk)

    keys = [leg.key for leg in found.legs]
    assert keys == [stage.key for stage in part.route if stage.key != "half-2"]
    assert found.due_ms == 200 * MINUTE_MS
    under = next(leg for leg in found.legs if leg.key == "submerge")
    assert (under.place, under.vessel) == (part.box, part.vessel)


def test_a_coat_waits_tacked_before_what_comes_next_until_it_is_covered():
    desk = desk_at("coat-1", phase=Ready)
    tacked = {leg.key: leg.tacked for leg in legs_of(desk).legs}

    assert not tacked["coat-1"]
    assert tacked["coat-2"]
    assert tacked["submerge"]
    assert not tacked["rinse"]


def test_a_bath_and_a_run_count_what_is_left_of_them():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(30)
    found = legs_of(desk)
    first = found.legs[0]
    assert found.begun
    assert (first.alone_ms, first.most_ms, first.hands_ms) == (90_000, 270_000, 0)

    desk = desk_at("half-1", phase=InRun)
    desk.wait(75)
    assert legs_of(desk).legs[0].alone_ms == 200_000


@pytest.mark.parametrize("phase", [Brushing, Walking])
def test_a_wet_patch_counts_what_is_left_of_it(phase):
    whole = sum(legs_of(desk_at("coat-1", phase=Ready)).legs[0].pieces)
    left = sum(legs_of(desk_at("coat-1", phase=phase)).legs[0].pieces)

    assert 0 < left <= whole


def test_work_by_hand_takes_a_limit_until_there_are_five_own_times():
    desk = desk_at("supports")
    part = desk.part()
    assert legs_of(desk).legs[0].hands_ms == 600_000
    assert is_estimate(desk.bench, part)

    item = desk.bench.recipe_of(part).item_class
    taken = (50_000, 60_000, 60_000, 70_000, 90_000)
    keys = [(work, item) for work in ("supports", "refine", "fit", "clean")]
    keys += [(work, item) for work in ("abrade", "mount", "checks", "polish")]
    bench = replace(desk.bench, took=dict.fromkeys(keys, taken))

    found = way_of(bench, part, desk.now).legs[0]
    assert found.hands_ms == 60_000
    assert found.sigma == pytest.approx(sigma_of(60_000, 70_000))
    assert not is_estimate(bench, part)


def test_the_ways_are_of_the_parts_in_flight():
    desk = desk_at("fit")
    desk.take("EX-2")
    assert [each.code for each in ways_of(desk.bench, desk.now)] == ["EX-1", "EX-2"]
    desk.must(cm.ScrapPart("EX-1", "lost"))

    assert [each.code for each in ways_of(desk.bench, desk.now)] == ["EX-2"]


def test_a_turn_is_hands_and_a_hold_is_nobody_s():
    """A hold runs as long as somebody lets it: the coat lies tacked till it is covered."""
    desk = Desk()
    desk.take("EX-1", recipe=DENTURE)
    turns = [leg for leg in legs_of(desk).legs if leg.key.startswith("flip")]
    assert turns
    assert all(leg.mode == "hands" and leg.hands_ms > 0 for leg in turns)

    desk.take("EX-2", variant=lib.Variant(0, 2, "coat", hold_between=True))
    assert "hold" in [stage.key for stage in desk.part("EX-2").route]
    legs = {leg.key: leg for leg in legs_of(desk, "EX-2").legs}
    assert "hold" not in legs
    assert legs["submerge"].tacked


def test_under_glycerine_the_bubbles_are_waited_for_and_then_the_run():
    desk = desk_at("submerge", phase=Soaking)
    whole = legs_of(desk_at("submerge", phase=Ready)).legs[0].alone_ms
    desk.wait(15)
    leg = legs_of(desk).legs[0]

    assert (leg.key, leg.hands_ms) == ("submerge", 0)
    assert leg.alone_ms == whole - 15_000


def test_a_coat_takes_its_own_times_once_there_are_five_of_them():
    """What a spot took beside its light has brush and moving in it: none is added."""
    desk = desk_at("coat-1", phase=Ready)
    part = desk.part()
    item = desk.bench.recipe_of(part).item_class
    bench = replace(desk.bench, took={("coat", item): (4_000,) * 5})

    pieces = way_of(bench, part, desk.now).legs[0].pieces
    spots, light_s = bench.spots_of(part), answer_for(bench, part).seconds
    assert sum(pieces) == spots * (light_s * 1000 + 4_000)
