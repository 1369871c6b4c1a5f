"""Bottles, baths, lamps and routine checks: what keeps a bench fit for work."""

import pytest

from benchassist.domain import baths
from benchassist.domain import commands as cm
from benchassist.domain.gates import GATES, ask_for, is_open
from benchassist.domain.gates.lot_expiry import last_day
from benchassist.domain.outcome import Refusal
from benchassist.domain.routines import ROUTINES, due
from benchassist.value import replace
from tests.domain.builders import Desk, desk_at

DAY_S = 86_400


def lot_of(desk, role):
    return next(
        code
        for code, lot in desk.bench.lots.items()
        if desk.bench.materials[lot.material].role == role
    )


def kept(desk, lot, **days):
    told = {"open_days": 0.0, "decanted_days": 0.0, "stir_min": 0.0} | days
    material = desk.bench.lots[lot].material
    desk.must(cm.SetKeeping(material, **told, document="EX-IFU", revision="2026-01"))


# --- bottles -----------------------------------------------------------------------


def test_a_bottle_is_as_old_as_the_day_it_was_opened():
    desk = Desk()
    lot = lot_of(desk, "coat")
    printed = last_day(desk.bench, lot)
    kept(desk, lot, open_days=10.0)
    assert last_day(desk.bench, lot) == printed  # nobody has opened it
    desk.must(cm.HandleBottle(lot, "opened"))
    assert last_day(desk.bench, lot) == "2026-05-24"


def test_the_earliest_of_all_days_counts():
    desk = Desk()
    lot = lot_of(desk, "coat")
    kept(desk, lot, open_days=10.0, decanted_days=2.0)
    desk.must(cm.HandleBottle(lot, "decanted"))  # and thereby opened
    assert last_day(desk.bench, lot) == "2026-05-16"
    desk.wait(DAY_S)
    desk.must(cm.HandleBottle(lot, "decanted"))
    assert last_day(desk.bench, lot) == "2026-05-17"
    desk.wait(8 * DAY_S)
    desk.must(cm.HandleBottle(lot, "decanted"))
    assert last_day(desk.bench, lot) == "2026-05-24"


def test_a_bottle_is_opened_once():
    desk = Desk()
    lot = lot_of(desk, "coat")
    desk.must(cm.HandleBottle(lot, "opened"))
    again = desk.do(cm.HandleBottle(lot, "opened"))
    assert isinstance(again, Refusal)
    assert "2026-05-14" in again.message


def test_an_open_bottle_past_its_life_shuts_the_gate():
    desk = desk_at("coat-1")
    part = desk.bench.parts["EX-1"]
    kept(desk, part.coat_lot, open_days=1.0)
    desk.must(cm.HandleBottle(part.coat_lot, "opened"))
    verdict = GATES["lot-expiry"].check(
        desk.bench, ask_for(desk.bench, part), desk.now.plus(2 * DAY_S * 1000)
    )
    assert verdict.level == "fail"


def test_keeping_wants_its_paper():
    desk = Desk()
    material = next(iter(desk.bench.materials))
    for document, revision in (("", "r1"), ("EX-IFU", " ")):
        told = cm.SetKeeping(material, 10.0, 0.0, 0.0, document, revision)
        assert isinstance(desk.do(told), Refusal)
    mute = cm.SetKeeping(material, 1e6, 0.0, 0.0, "EX-IFU", "r1")
    assert isinstance(desk.do(mute), Refusal)


@pytest.mark.parametrize(
    ("minutes", "level"), [(59.9, "pass"), (60.0, "pass"), (60.1, "marginal")]
)
def test_a_bottle_at_rest_is_asked_about(minutes, level):
    desk = desk_at("coat-1")
    part = desk.bench.parts["EX-1"]
    gate = GATES["bottle-stirred"]
    ask = ask_for(desk.bench, part)
    assert gate.check(desk.bench, ask, desk.now).level == "pass"  # no paper says so
    kept(desk, part.coat_lot, stir_min=60.0)
    never = gate.check(desk.bench, ask, desk.now)
    assert never.level == "marginal"
    assert "no stirring" in never.sentence
    desk.must(cm.HandleBottle(part.coat_lot, "stirred"))
    at = desk.now.plus(round(minutes * 60_000))
    assert gate.check(desk.bench, ask, at).level == level


# --- baths -------------------------------------------------------------------------


@pytest.mark.parametrize(("item_class", "parts"), [("splint", 31), ("crown", 750)])
def test_a_litre_is_full_after_so_many_parts(item_class, parts):
    # Mass balance by hand: 5 % of (785 g + m) is m = 41 g; 1.32 g a splint, 0.055 g
    # a crown (areas and films: common practice, no source).
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1.0))
    held = baths.load(desk.bench, "Wash 1", item_class)
    assert held.percent == 0
    low, high = held.left_low, held.left_high
    assert low == pytest.approx(parts / 1.3, rel=0.05)
    assert high == pytest.approx(parts / 0.7, rel=0.05)


def test_each_part_that_is_washed_is_counted_in_its_own_bath():
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1.0), cm.FillBath("Wash 2", 2.0))
    desk.take("EX-1")
    desk.work("EX-1", upto="wash-2")
    assert desk.bench.baths["Wash 1"].washed == {"crown": 1}
    assert desk.bench.baths["Wash 2"].washed == {}


def test_two_baths_take_turns():
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1.0), cm.FillBath("Wash 2", 2.0))
    desk.take("EX-1")
    desk.work("EX-1", upto="dry-box")
    desk.must(cm.RotateBaths("Wash 1", "Wash 2", 1.5, "EX-LT-IPA"))
    assert desk.bench.baths["Wash 1"].litres == 2.0
    assert desk.bench.baths["Wash 1"].washed == {"crown": 1}
    assert desk.bench.baths["Wash 2"].washed == {}
    assert desk.bench.baths["Wash 2"].lot == "EX-LT-IPA"


@pytest.mark.parametrize(
    ("splints", "level"), [(20, "pass"), (26, "marginal"), (50, "fail")]
)
def test_a_full_bath_shuts_the_wash(splints, level):
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1.0))
    desk.take("EX-1")
    bath = replace(desk.bench.baths["Wash 1"], washed={"splint": splints})
    desk.bench = replace(desk.bench, baths={"Wash 1": bath})
    part = desk.bench.parts["EX-1"]
    verdict = GATES["bath-load"].check(desk.bench, ask_for(desk.bench, part), desk.now)
    assert verdict.level == level
    assert bool(verdict.scope) == (level == "marginal")


def test_a_bath_that_may_be_full_is_accepted_for_a_day_and_not_for_ever():
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1.0))
    desk.take("EX-1")
    desk.must(cm.ChoosePart("EX-1"))
    gate = GATES["bath-load"]

    def shut(at):
        full = replace(desk.bench.baths["Wash 1"], washed={"splint": 26})
        bench = replace(desk.bench, baths={"Wash 1": full})
        verdict = gate.check(bench, ask_for(bench, bench.parts["EX-1"]), at)
        return verdict.scope, is_open(bench, gate, verdict, at)

    scope, before = shut(desk.now)
    desk.bench = desk.bench.put("accepted", ("bath-load", scope), ())

    assert (before, shut(desk.now)[1]) == (False, True)
    assert not shut(desk.now.plus(24 * 3_600_000))[1]


def test_a_hydrometer_goes_before_the_count():
    # 5 % by mass raises 0.785 by 0.011 (the same balance, by hand).
    assert baths.from_density(0.796, 0.785) == pytest.approx(5, rel=0.05)
    assert baths.from_density(0.785, 0.785) == 0
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1.0))
    desk.must(cm.MeasureBath("Wash 1", 0.796, 0.785))
    held = baths.load(desk.bench, "Wash 1", "splint")
    assert held.measured
    assert held.percent == pytest.approx(5, rel=0.05)


@pytest.mark.parametrize(
    "reading",
    [(0.70, 0.785, 20.0), (1.2, 0.785, 20.0), (0.796, 0.785, 60.0), (796, 785, 20.0)],
)
def test_readings_that_cannot_be_are_refused(reading):
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1.0))
    assert isinstance(desk.do(cm.MeasureBath("Wash 1", *reading)), Refusal)


@pytest.mark.parametrize("litres", [0.0, -1.0, 1000.0, float("nan")])
def test_a_bath_has_a_size(litres):
    assert isinstance(Desk().do(cm.FillBath("Wash 1", litres)), Refusal)


# --- lamps -------------------------------------------------------------------------


def test_a_repaired_lamp_is_read_anew():
    desk = Desk()
    lamp = next(iter(desk.bench.readings))
    desk.must(cm.ServiceLamp(lamp, "tip cleaned"))
    assert lamp in desk.bench.readings
    desk.must(cm.ServiceLamp(lamp, "repaired", "new cable"))
    assert lamp not in desk.bench.readings


# --- routines ----------------------------------------------------------------------


def test_every_thing_is_looked_at_by_itself():
    desk = Desk()
    asked = [each for each in due(desk.bench, desk.now) if each.routine.per == "lamp"]
    assert {each.thing for each in asked} == set(desk.bench.lamps)


def test_what_was_done_last_evening_is_due_in_the_morning_and_not_before():
    desk = Desk()
    desk.must(cm.DoRoutine("room", good=True))
    assert "room" not in codes(desk)
    desk.wait(15 * 3600)  # 23:50 of the same day
    assert "room" not in codes(desk)
    desk.wait(15 * 60)
    assert "room" in codes(desk)


def test_what_was_not_good_stays_due_and_stands_first():
    desk = Desk()
    desk.must(cm.DoRoutine("pedal", good=False, note="sticks"))
    first = due(desk.bench, desk.now, "open")[0]
    assert (first.routine.code, first.good) == ("pedal", False)
    desk.must(cm.DoRoutine("pedal", good=True))
    assert "pedal" not in codes(desk)


def test_the_longest_overdue_stands_above():
    desk = Desk()
    for each in due(desk.bench, desk.now, "week", "month"):
        desk.must(cm.DoRoutine(each.routine.code, good=True, thing=each.thing))
    desk.wait(40 * DAY_S)
    late = [each.late_days for each in due(desk.bench, desk.now, "week", "month")]
    assert late == sorted(late, reverse=True)
    assert late[0] == 33
    assert late[-1] == 9


def test_a_reading_is_the_lamps_check():
    desk = Desk()
    lamp = next(iter(desk.bench.lamps))
    desk.must(cm.ReadLamp(lamp, desk.bench.lamps[lamp].baseline_reading))
    asked = [each.thing for each in due(desk.bench, desk.now, "open")]
    assert ("lamp-reading", lamp) not in [
        (each.routine.code, each.thing) for each in due(desk.bench, desk.now, "open")
    ]
    assert lamp in asked  # its tip still is


@pytest.mark.parametrize(
    "told",
    [
        cm.DoRoutine("nothing", good=True),
        cm.DoRoutine("lamp-tip", good=True, thing="EX-NONE"),
        cm.DoRoutine("pedal", good=False),
    ],
)
def test_what_cannot_be_noted(told):
    assert isinstance(Desk().do(told), Refusal)


def test_every_routine_is_one_line_of_few_words():
    for each in ROUTINES.values():
        assert len(each.title) <= 48


def codes(desk):
    return {each.routine.code for each in due(desk.bench, desk.now)}


def test_over_a_boot_a_bottle_was_stirred_at_the_longest_ago_that_it_can_be():
    desk = desk_at("coat-1")
    desk.must(cm.SetKeeping("EX-CC", 0, 0, 10, "EX-LABEL", "1"))
    desk.must(cm.HandleBottle("L-COAT", "stirred"))
    desk.away(601)
    desk.clock.reboot(1000)
    desk.do(cm.Reopen("2", None), "tool")
    verdict = GATES["bottle-stirred"].check(
        desk.bench, ask_for(desk.bench, desk.part()), desk.now
    )

    assert verdict.level == "marginal"
