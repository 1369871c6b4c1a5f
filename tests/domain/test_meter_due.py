"""A reading by a meter past its day is said where a coat leans on it."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.library import Meter
from tests.domain.builders import code_of, desk_at, names

LAMP = "LM-A"


def judged(desk):
    return GATES["meter-due"].check(
        desk.bench, ask_for(desk.bench, desk.part()), desk.now
    )


def day(desk, ahead):
    """Return a day of the desk's, so many ahead."""
    return desk.now.plus(ahead * 24 * 3_600_000).day()


def owning(*meters):
    """Return a desk at a coat, with meters of its own and the lamp read just now."""
    desk = desk_at("coat-1")
    for code, ahead in meters:
        until = "" if ahead is None else day(desk, ahead)
        desk.must(cm.FileThing(Meter(code, "Lamp meter", "mW/cm²", until=until)))
    desk.must(cm.ReadLamp(LAMP, 100), cm.OpenLampSession(LAMP))
    return desk


@pytest.mark.parametrize(
    ("ahead", "level"), [(1, "pass"), (0, "pass"), (-1, "marginal"), (None, "pass")]
)
def test_a_meter_is_good_on_its_last_day_and_not_after(ahead, level):
    assert judged(owning(("MT-1", ahead))).level == level


def test_without_a_meter_on_file_or_a_reading_there_is_nothing_to_lean_on():
    assert judged(owning()).level == "pass"
    desk = owning(("MT-1", -1))
    desk.must(cm.ChooseEquipment("EX-1", "lamp", "LM-UNREAD"))
    assert judged(desk).level == "pass"


def test_which_meter_it_was_is_not_told_so_the_one_longest_past_is_named():
    found = judged(owning(("MT-1", 9), ("MT-2", -2), ("MT-3", -5)))

    assert "MT-3 was good until" in found.sentence
    assert found.scope.startswith("EX-1, LM-A, MT-3")


def test_what_was_read_in_time_stays_read_in_time():
    desk = owning(("MT-1", 0))
    desk.away(20 * 3600)

    assert desk.now.day() > desk.bench.meters["MT-1"].until
    assert judged(desk).level == "pass"
    desk.must(cm.ReadLamp(LAMP, 100))
    assert judged(desk).level == "marginal"


def test_it_shuts_the_coat_until_a_hand_takes_it_for_the_meter_and_the_lamp():
    desk = owning(("MT-1", -1))
    refusal = desk.do(cm.WetBrush("EX-1"))
    assert (code_of(refusal), refusal.acceptable) == ("meter-due", True)

    desk.must(cm.AcceptGate("meter-due", "EX-1", "sent in tomorrow", day(desk, 7)))

    assert names(desk.do(cm.WetBrush("EX-1"))) == ["BrushWetted"]
    assert judged(desk).level == "marginal"  # taken, and still said


@pytest.mark.parametrize("act", ["retired", "a new day"])
def test_a_meter_that_is_retired_or_back_from_calibration_is_asked_no_more(act):
    desk = owning(("MT-1", -1))
    if act == "retired":
        desk.must(cm.RetireThing("meter", "MT-1", "lost"))
    else:
        back = Meter("MT-1", "Lamp meter", "mW/cm²", until=day(desk, 300))
        desk.must(cm.FileThing(back, "calibrated"))

    assert judged(desk).level == "pass"
