"""The practice's own times: work by hand as it was measured here, and the plan of it."""

import numpy as np
import pytest

from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.limits import limit
from benchassist.domain.own_times import ENOUGH, KEPT, own_ms, percentile_80, took_key
from benchassist.domain.plan import polished, steps_ahead, steps_of
from benchassist.domain.state import Ready
from tests.domain.builders import SPLINT, Desk, desk_at

MINUTE_MS = 60_000


def supports_off(desk, code, seconds, **more):
    """Take a part in, bring it to its supports, and work on it for so long."""
    desk.take(code, **more)
    desk.work(code, "supports", Ready)
    desk.must(cm.ChoosePart(code))
    desk.wait(seconds)
    desk.must(cm.FinishStage(code))
    desk.must(cm.ScrapPart(code, "only its time was wanted"))


def measured(*seconds):
    desk = Desk()
    for n, each in enumerate(seconds):
        supports_off(desk, f"EX-{n + 10}", each)
    return desk


# --- the percentile -----------------------------------------------------------------


@pytest.mark.parametrize("count", [1, 2, 4, 5, 9, 10, 11, 40])
def test_the_80th_percentile_is_numpy_s_inverted_distribution(count):
    # Definition 1 of Hyndman and Fan 1996 (The American Statistician 50:361, from
    # memory), which numpy calls "inverted_cdf".
    taken = tuple(int(x) for x in np.random.default_rng(count).integers(1, 900, count))

    expected = np.quantile(taken, 0.8, method="inverted_cdf")
    assert percentile_80(taken) == expected


# --- what is measured ----------------------------------------------------------------


def test_work_by_hand_is_measured_while_its_part_is_in_front():
    desk = measured(400)

    assert desk.bench.took == {took_key("crown", "supports"): (400_000,)}


def test_the_time_a_part_lay_while_another_was_worked_on_is_not_its_own():
    desk = desk_at("supports", phase=Ready)
    desk.take("EX-2")
    desk.must(cm.ChoosePart("EX-1"))
    desk.wait(100)
    desk.must(cm.ChoosePart("EX-2"))
    desk.wait(500)
    desk.must(cm.ChoosePart("EX-1"))
    desk.wait(60)
    desk.must(cm.FinishStage("EX-1"))

    assert desk.bench.took[took_key("crown", "supports")] == (160_000,)


def test_the_time_the_operator_was_away_is_nobody_s():
    desk = desk_at("supports", phase=Ready)
    desk.wait(100)
    desk.must(cm.CallAway())
    desk.wait(500)
    desk.must(cm.ComeBack())
    desk.wait(60)
    desk.must(cm.FinishStage("EX-1"))

    assert desk.bench.took[took_key("crown", "supports")] == (160_000,)


def test_the_time_the_program_was_away_is_not_counted():
    desk = desk_at("supports", phase=Ready)
    desk.wait(100)
    desk.away(3600)
    desk.do(cm.Reopen("2", desk.now), "tool")
    desk.wait(60)
    desk.must(cm.FinishStage("EX-1"))

    assert desk.bench.took[took_key("crown", "supports")][0] <= 160_000


def test_what_nobody_had_in_front_is_no_measurement():
    desk = desk_at("supports", phase=Ready)
    desk.take("EX-2")
    desk.must(cm.ChoosePart("EX-2"))
    before = desk.bench.took
    desk.wait(300)
    desk.must(cm.FinishStage("EX-1"))

    assert desk.bench.took.get(took_key("crown", "supports"), ()) == before.get(
        took_key("crown", "supports"), ()
    )


def test_a_coat_is_measured_as_what_a_spot_takes_beside_its_light():
    # 15 s of brushing and 5 × (10 s light + 3 s move), the last move not waited for:
    # 15 + 4 × 3 = 27 s beside the light, 5.4 s a spot.
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"), cm.ChoosePart("EX-1"))
    before = desk.now
    desk.work(upto="coat-2", phase=Ready)
    beside_ms = desk.now.since(before) - 50_000

    (spot_ms,) = desk.bench.took[took_key("crown", "coat")]
    assert spot_ms == pytest.approx(beside_ms / 5, abs=700)


def test_only_the_last_ones_are_kept():
    desk = Desk()
    key = took_key("crown", "supports")
    for n in range(KEPT + 3):
        supports_off(desk, f"EX-{n + 10}", 10 + n)

    taken = desk.bench.took[key]
    assert len(taken) == KEPT
    assert taken[-1] == (10 + KEPT + 2) * 1000


# --- what the plan makes of it ------------------------------------------------------


def test_before_there_are_enough_the_plan_takes_the_limit_and_says_estimate():
    desk = measured(*(400,) * (ENOUGH - 1))
    desk.take("EX-1")
    desk.work("EX-1", "supports", Ready)
    step = steps_ahead(desk.bench, desk.part(), desk.now)[0]

    assert step.takes_ms == limit(desk.bench, "hands_supports_s") * 1000
    assert (step.basis, step.times) == ("estimate", 0)


def test_with_enough_the_plan_takes_the_80th_percentile_and_says_measured():
    desk = measured(300, 320, 340, 360, 900)
    desk.take("EX-1")
    desk.work("EX-1", "supports", Ready)
    step = steps_ahead(desk.bench, desk.part(), desk.now)[0]

    assert step.takes_ms == 360_000  # the fourth of five
    assert (step.basis, step.times) == ("measured", 5)


def test_a_splint_is_not_planned_by_what_crowns_took():
    desk = measured(300, 320, 340, 360, 900)
    desk.take("EX-1", recipe=SPLINT)

    assert own_ms(desk.bench, desk.part(), "supports") is None


def test_what_the_recipe_or_the_box_says_is_no_estimate():
    desk = Desk()
    desk.take()
    basis = {
        step.key: step.basis for step in steps_ahead(desk.bench, desk.part(), desk.now)
    }

    assert basis["wash-1"] == basis["dry-box"] == basis["submerge"] == "recipe"
    assert basis["half-1"] == "box"
    assert basis["coat-1"] == "light check"
    assert basis["supports"] == basis["checks"] == "estimate"


def test_a_coat_measured_here_takes_today_s_light_and_the_practice_s_own_hands():
    desk = desk_at("coat-1", phase=Ready)
    key = took_key("crown", "coat")
    desk.bench.took[key] = (8000,) * ENOUGH  # 8 s a spot beside the light
    step = next(
        each
        for each in steps_ahead(desk.bench, desk.part(), desk.now)
        if each.key == "coat-1"
    )

    assert step.takes_ms == 5 * (10_000 + 8000)
    assert step.basis == "measured"


# --- polished instead ----------------------------------------------------------------


def test_polished_instead_leaves_coats_mount_and_their_drying_out():
    desk = desk_at("supports", phase=Ready)
    keys = [stage.key for stage in polished(desk.part(), 900)]

    assert keys == [
        "supports", "refine", "fit", "clean", "dry-cover", "submerge", "half-2", "rinse",
        "dry-end", "polish", "checks",
    ]  # fmt: skip


def test_a_part_back_from_a_mouth_that_is_polished_is_not_cured_again():
    desk = Desk()
    desk.take(
        recipe=SPLINT,
        variant=lib.Variant(0, 2, back_from_mouth=True, faces=("Biting",)),
        before=1400,
    )
    keys = [stage.key for stage in polished(desk.part(), 900)]

    assert keys == ["disinfect", "abrade", "polish", "checks"]


@pytest.mark.parametrize("stage", ["coat-2", "submerge", "checks"])
def test_with_a_coat_on_the_part_polishing_is_no_way_out(stage):
    desk = desk_at(stage, phase=Ready)

    assert polished(desk.part(), 900) == ()


def test_a_stain_would_be_polished_off_again():
    desk = Desk()
    desk.take(variant=lib.Variant(1, 2))

    assert polished(desk.part(), 900) == ()


def test_a_stage_beside_the_route_is_timed_like_one_on_it():
    desk = desk_at("supports", phase=Ready)
    polish = polished(desk.part(), 900)[-2]

    (step,) = steps_of(desk.bench, desk.part(), (polish,), desk.now)
    assert step.takes_ms == limit(desk.bench, "hands_polish_s") * 1000
