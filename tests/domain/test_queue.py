"""Who needs me next: one answer, what comes then, and a whole day obeyed."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.advice import answer, hand_over_list, tasks_of
from benchassist.domain.plan import Step, plan_back, plan_for, steps_ahead
from benchassist.domain.stagger import collision
from benchassist.domain.state import Brushing, Closed, InRun, Ready, Soaking, Walking
from tests.domain.builders import SPLINT, Desk, code_of, desk_at, recipe
from tests.domain.day import ByAppointment, Operator

CROWN = "EX-RC-C r1"
BRIDGE = "EX-RC-B r1"
VENEER = "EX-RC-V r2"
ARCH = "EX-RC-S r1"
DENTURE = "EX-RC-D r1"
TRY_IN = "EX-RC-T r1"
MINUTE_MS = 60_000


def first(desk):
    task = answer(desk.bench, desk.now).first
    return task and (task.part, task.act, task.reason)


def then(desk):
    task = answer(desk.bench, desk.now).then
    return task and (task.part, task.act, task.reason)


# --- one answer -----------------------------------------------------------------


def test_an_empty_bench_needs_nobody():
    desk = Desk()

    assert (first(desk), then(desk)) == (None, None)


def test_the_slack_before_harm_ranks_and_not_the_time_left():
    desk = desk_at("half-1", phase=InRun, code="EX-1")
    desk.wait(275)  # the run is due now; an idle box harms nobody
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))
    desk.wait(121)  # in alcohol, shortest stay past: 179 s to harm

    assert first(desk) == ("EX-2", "take out", "alcohol")
    assert then(desk) == ("EX-1", "tell the run's end", "box")
    task = answer(desk.bench, desk.now).first
    # 300 s longest stay, 121 s gone, 20 s for a glove change and the walk.
    assert task.slack_ms == (300 - 121 - 20) * 1000


def test_a_wet_coat_goes_before_everything_and_needs_no_glove_change():
    desk = desk_at("coat-1", phase=Brushing, code="EX-1")
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))
    desk.wait(10)

    task = answer(desk.bench, desk.now).first
    assert (task.part, task.act, task.slack_ms) == ("EX-1", "tack", 110_000)


def test_what_is_not_due_yet_is_waited_for_by_name():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(20)
    task = answer(desk.bench, desk.now).first

    assert (task.part, task.act, task.due_ms) == ("EX-1", "take out", 100_000)


def test_hand_work_goes_on_and_then_names_what_falls_due_meanwhile():
    desk = desk_at("supports", phase=Ready, code="EX-1")
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))

    assert first(desk) == ("EX-1", "work by hand", "next")
    assert then(desk) == ("EX-2", "take out", "alcohol")


def test_the_nearest_appointment_is_worked_on_first():
    desk = desk_at("supports", phase=Ready, code="EX-1", due=None)
    desk.take("EX-2", due=desk.now.plus(300 * MINUTE_MS))
    desk.take("EX-3", due=desk.now.plus(200 * MINUTE_MS))
    for code in ("EX-2", "EX-3"):
        desk.work(code, "supports", Ready)

    assert first(desk) == ("EX-3", "work by hand", "appointment")
    assert then(desk) == ("EX-2", "work by hand", "appointment")


def test_of_two_that_nobody_waits_for_what_runs_alone_is_started_first():
    desk = desk_at("supports", phase=Ready, code="EX-1", due=None)
    desk.take("EX-2")

    assert first(desk) == ("EX-2", "start", "next")


def test_what_takes_seconds_never_passes_an_earlier_appointment():
    desk = desk_at("supports", phase=Ready, due=desk_at("fit").now.plus(90 * MINUTE_MS))
    desk.take("EX-2", due=desk.now.plus(120 * MINUTE_MS))

    # EX-2 has the less slack by far: all of its washing and curing is ahead of it.
    assert first(desk) == ("EX-1", "work by hand", "appointment")
    assert then(desk) == ("EX-2", "start", "appointment")


def test_of_two_for_one_time_the_one_with_less_slack_comes_first():
    desk = desk_at("checks", phase=Ready, due=None)
    due = desk.now.plus(300 * MINUTE_MS)
    for code, stage in (("EX-2", "polish"), ("EX-3", "supports")):
        finish = lib.Variant(finish="polish") if stage == "polish" else lib.Variant()
        desk.take(code, due=due, variant=finish)
        desk.work(code, stage, Ready)

    assert first(desk)[0] == "EX-3"


def test_a_basket_counts_by_the_earliest_appointment_in_it():
    desk = Desk()
    for code, minutes in (("EX-1", 300), ("EX-2", 100), ("EX-3", 200)):
        desk.take(code, due=desk.now.plus(minutes * MINUTE_MS))
    desk.must(cm.FormBasket(("EX-1", "EX-2")))

    assert first(desk)[0] == "EX-1"
    task = answer(desk.bench, desk.now).first
    assert (task.parts, task.promise_ms) == (("EX-1", "EX-2"), 100 * MINUTE_MS)


def test_an_appointment_lets_a_bath_be_started_before_a_tacked_coat_but_not_near_harm():
    desk = desk_at("coat-2", phase=Ready, code="EX-1")
    desk.take("EX-2")
    assert first(desk) == ("EX-1", "wet the brush", "tacked coat")
    desk.take("EX-3", due=desk.now.plus(300 * MINUTE_MS))
    desk.must(cm.ChoosePart("EX-1"))
    assert first(desk) == ("EX-3", "start", "appointment")
    assert then(desk) == ("EX-1", "wet the brush", "tacked coat")

    desk.wait(600)
    assert first(desk) == ("EX-1", "wet the brush", "tacked coat")


def test_the_box_is_freed_before_the_tacked_part_that_waits_for_it():
    desk = desk_at("half-1", phase=InRun, code="EX-1")
    desk.wait(275)
    desk.take("EX-2", box="BX-2")
    desk.work("EX-2", "submerge", Ready)
    desk.must(cm.ChooseEquipment("EX-2", "box", "BX-1"))
    assert (
        code_of(desk.do(cm.ConfirmSubmerged(("EX-2",), "BX-1", "GV-1", 2200)))
        == "box-occupied"
    )

    assert first(desk) == ("EX-1", "tell the run's end", "box")


def test_glycerine_past_its_count_is_the_thing_to_do_and_not_to_wait_for():
    desk = desk_at("submerge", phase=Ready, vessel="GV-2")  # 4 immersions so far
    desk.happened(ev.GlycerineFilled("GV-2", "G-1", 5))

    task = answer(desk.bench, desk.now).first
    assert (task.part, task.act, task.shut) == ("EX-1", "submerge", "glycerine-count")


def test_a_brush_is_put_off_where_alcohol_comes_due_inside_its_patch():
    # The patch takes 80 s; wash 2 (60 to 180 s) has had its shortest stay in 10 s,
    # although the gate itself would still open: its longest ends in 130 s.
    desk = desk_at("coat-1", phase=Ready, code="EX-1")
    desk.take("EX-2")
    desk.work("EX-2", "wash-2", Soaking)
    desk.wait(50)
    desk.do(cm.ChoosePart("EX-1"))

    task = answer(desk.bench, desk.now).first
    assert (task.part, task.act, task.due_ms) == ("EX-2", "take out", 10_000)


def test_a_hold_is_named_a_quarter_of_an_hour_before_its_limit():
    desk = desk_at("submerge", phase=Ready)
    desk.must(cm.HoldPart("EX-1", "the box is serviced"))
    desk.wait(7 * 3600)
    assert answer(desk.bench, desk.now).first.due_ms > 0
    desk.wait(2800)

    assert first(desk) == ("EX-1", "resume", "hold")


def test_a_basket_is_one_answer():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")))

    (task,) = tasks_of(desk.bench, desk.now)
    assert task.parts == ("EX-1", "EX-2")


# --- collisions -------------------------------------------------------------------


def test_two_baths_that_would_end_together_are_foreseen_before_the_second_starts():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-1"))
    found = collision(desk.bench, desk.part("EX-2"), desk.now)

    assert (found.part, found.other, found.wait_s) == ("EX-2", "EX-1", 90)
    assert found.at.local().strftime("%H:%M") == "08:52"
    task = next(each for each in tasks_of(desk.bench, desk.now) if each.part == "EX-2")
    assert task.due_ms == 90_000


@pytest.mark.parametrize(("waited_s", "collides"), [(60, True), (61, False)])
def test_a_minute_apart_is_close_and_more_is_not(waited_s, collides):
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-1"))
    desk.wait(waited_s)

    assert (collision(desk.bench, desk.part("EX-2"), desk.now) is not None) is collides


def test_a_box_run_and_a_bath_collide_like_two_baths():
    desk = desk_at("half-1", phase=InRun, code="EX-1")
    desk.wait(275 - 120)
    desk.take("EX-2")
    found = collision(desk.bench, desk.part("EX-2"), desk.now)

    assert (found.other, found.wait_s) == ("EX-1", 90)


def test_hand_work_collides_with_nothing():
    desk = desk_at("fit", phase=Ready)
    assert collision(desk.bench, desk.part(), desk.now) is None

    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))
    assert collision(desk.bench, desk.part(), desk.now) is None


# --- one wet coat, or two where both stay inside ------------------------------------


def two_small(spots, **more):
    """Return two parts at their first coat with few spots each."""
    desk = Desk()
    small = recipe("EX-RC-SMALL", faces=(lib.SpotFace("Outer", spots),), **more)
    desk.must(cm.FileLibrary(recipes=(small,)))
    for code in ("EX-1", "EX-2"):
        desk.take(code, recipe="EX-RC-SMALL r1")
        desk.work(code, "coat-1", Ready)
    desk.must(cm.OpenLampSession("LM-A"), cm.WetBrush("EX-1"))
    return desk


def test_two_wet_coats_where_the_forecast_keeps_both_inside_the_limit():
    # Brush, brush, walk, walk: 2 × 15 s, and three spots of 13 s each: 108 s of 120 s.
    desk = two_small(3)
    desk.wait(15)
    desk.must(cm.WetBrush("EX-2"))
    desk.wait(15)
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(39)
    desk.must(cm.StartWalk("EX-2"))
    desk.wait(39)

    told = {each.part for each in desk.events(ev.SpotTacked)}
    assert told == {"EX-1", "EX-2"}
    assert desk.events(ev.WalkPaused) == []
    assert {desk.stage("EX-1"), desk.stage("EX-2")} == {"coat-2"}


def test_one_spot_more_and_the_second_brush_stays_dry():
    # Four spots each: the second coat would be wet for 15 + 52 + 52 = 119 s, the first
    # one for 15 + 15 + 52 = 82 s; with five it is 145 s.
    assert two_small(4).do(cm.WetBrush("EX-2"))[0].part == "EX-2"
    assert code_of(two_small(5).do(cm.WetBrush("EX-2"))) == "interruption"


def test_no_second_brush_beside_a_walk_or_beside_a_third():
    desk = two_small(3)
    desk.wait(15)
    desk.must(cm.StartWalk("EX-1"))

    assert code_of(desk.do(cm.WetBrush("EX-2"))) == "interruption"


# --- the appointment ----------------------------------------------------------------


def test_back_from_the_chair_with_the_patient_waiting():
    # 3:00 + 3:00 + 5:00 + 2 × 5:05 + 5:00 + 1:28 + 2:00 + 3:00 = 32:38; due 45 min
    # after arrival: 12:22 of slack, and 12:22 after arrival is the latest start.
    desk = Desk()
    chair = recipe(
        "EX-RC-CHAIR",
        total=1400,
        faces=(lib.SpotFace("Outer", 20), lib.SpotFace("Biting", 20)),
        refine=False,
        degas_s=300,
        rinse_s=60,
        dry_after_rinse_s=60,
    )
    desk.must(cm.FileLibrary(recipes=(chair,)))
    arrived = desk.now
    variant = lib.Variant(0, 2, back_from_mouth=True, faces=("Biting",))
    desk.take(
        "EX-13",
        "EX-RC-CHAIR r1",
        variant,
        due=arrived.plus(45 * MINUTE_MS),
        before=1400,
    )
    plan = plan_for(desk.bench, desk.part("EX-13"), desk.now)

    takes = [
        (planned.step.key, planned.step.takes_ms // 1000) for planned in plan.steps
    ]
    assert takes == [
        ("disinfect", 180), ("abrade", 180), ("dry-coat", 300), ("mount", 0),
        ("coat-1", 305), ("coat-2", 305), ("submerge", 300), ("half-2", 88),
        ("rinse", 60), ("dry-end", 60), ("checks", 180),
    ]  # fmt: skip
    assert plan.total_ms == (32 * 60 + 38) * 1000
    assert plan.slack_ms == (12 * 60 + 22) * 1000
    assert plan.latest.since(arrived) == plan.slack_ms
    assert plan.steps[-1].latest == arrived.plus(42 * MINUTE_MS)


def test_no_due_time_is_no_plan():
    desk = desk_at("fit")

    assert plan_for(desk.bench, desk.part(), desk.now) is None


def test_what_is_under_way_counts_only_what_is_left_of_it():
    desk = desk_at("dry-box", phase=Soaking)
    desk.wait(300)
    assert steps_ahead(desk.bench, desk.part(), desk.now)[0].takes_ms == 600_000

    desk = desk_at("half-1", phase=InRun)
    desk.wait(200)
    assert steps_ahead(desk.bench, desk.part(), desk.now)[0].takes_ms == 75_000

    desk = desk_at("coat-1", phase=Walking, recipe=SPLINT)
    desk.wait(101)
    # 52 spots are left: 7 segments × 15 s and 52 × 13 s.
    assert (
        steps_ahead(desk.bench, desk.part(), desk.now)[0].takes_ms == (105 + 676) * 1000
    )


def test_without_the_light_check_the_recipe_s_seconds_are_planned():
    desk = desk_at("coat-1", phase=Ready, lamp="LM-C")
    judged = steps_ahead(desk.bench, desk.part(), desk.now)
    planned = steps_ahead(desk.bench, desk.part(), desk.now, judged=False)

    assert judged[0].takes_ms == (15 + 5 * 20) * 1000
    assert planned[0].takes_ms == (15 + 5 * 13) * 1000


def test_the_practice_s_own_times_by_hand_are_planned_with():
    desk = desk_at("fit", phase=Ready)
    desk.must(cm.SetLimit("hands_fit_s", 420, "our own 80 %"))

    assert steps_ahead(desk.bench, desk.part(), desk.now)[0].takes_ms == 420_000


def test_a_plan_that_cannot_make_it_has_negative_slack():
    desk = Desk()
    steps = (Step("a", "A", 600_000), Step("b", "B", 600_000))
    plan = plan_back(steps, desk.now.plus(900_000), desk.now)

    assert (plan.total_ms, plan.slack_ms) == (1_200_000, -300_000)
    assert [each.latest.since(desk.now) for each in plan.steps] == [-300_000, 300_000]


# --- a day of thirteen --------------------------------------------------------------


def coming(code, pinned, due, **more):
    return lambda operator: operator.take_in(code, pinned, due, **more)


def together(*codes):
    return lambda operator: operator.must(cm.FormBasket(codes))


# The minute after opening at which each part comes in, and when it is due from then
# on. Codes, appointments and items are invented.
THIRTEEN = (
    (0, coming("EX-K01", CROWN, 150)),
    (0, coming("EX-K02", CROWN, 150)),
    (0, together("EX-K01", "EX-K02")),
    (0, coming("EX-K11", TRY_IN, 180)),
    (0, coming("EX-K03", BRIDGE, 210)),
    *((40, coming(f"EX-K0{n}", VENEER, 320)) for n in range(4, 8)),
    (40, together("EX-K04", "EX-K05", "EX-K06", "EX-K07")),
    (70, coming("EX-K08", ARCH, 350)),
    (100, coming("EX-K12", CROWN, 350)),
    (130, coming("EX-K09", ARCH, 350)),
    (160, coming("EX-K10", DENTURE, 0)),
    (
        320,  # the patient waits in the chair
        coming(
            "EX-K13",
            ARCH,
            45,
            variant=lib.Variant(0, 2, back_from_mouth=True, faces=("biting",)),
            vessel="EX-GV-02",
            before=1400,
        ),
    ),
)


def test_a_day_of_thirteen_obeyed_harms_nothing_by_being_late():
    operator = Operator()
    operator.until(11 * 60, THIRTEEN)

    assert operator.harmed == {}
    assert operator.bench.deviations == {}
    parts = operator.bench.parts.values()
    assert [part.code for part in parts if not isinstance(part.phase, Closed)] == []
    assert len(parts) == 13


@pytest.mark.parametrize("order", [1, -1])
def test_parts_that_all_come_at_once_without_appointments_are_not_harmed_either(order):
    operator = Operator()
    for code, pinned in (
        ("EX-1", CROWN),
        ("EX-2", ARCH),
        ("EX-3", VENEER),
        ("EX-4", CROWN),
    )[::order]:
        operator.take_in(code, pinned, 0)
    operator.until(6 * 60)

    assert operator.harmed == {}
    assert {part.phase.kind for part in operator.bench.parts.values()} == {"closed"}


def test_whoever_goes_by_appointment_alone_harms_parts_on_the_same_day():
    # The check on the check: the same bench, the same hands, another order.
    operator = ByAppointment()
    operator.until(5 * 60, THIRTEEN)

    assert operator.harmed
    assert "over-wash" in {found.rule for found in operator.bench.deviations.values()}


def test_the_hand_over_list_of_a_busy_bench_is_in_order_of_slack():
    operator = Operator()
    operator.until(60, THIRTEEN)
    slack = [task.slack_ms for task in hand_over_list(operator.bench, operator.now)]

    assert len(slack) > 3
    assert slack == sorted(slack)
