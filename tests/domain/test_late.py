"""What was done away from the program: both times kept, and never more than is known.

The sums are counts and times that can be added by hand; that alcohol thought gone is
not, until its time has run here, is common practice, no source.
"""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.state import InRun, Ready, Soaking, Walking
from benchassist.value import replace
from tests.domain.builders import DENTURE, SPLINT, code_of, desk_at, names

MINUTE = 60_000


def late(desk, minutes, *, began=None, **more):
    """Enter that it ended so many minutes ago."""
    first = None if began is None else desk.now.plus(-began * MINUTE)
    ended = desk.now.plus(-minutes * MINUTE)
    return desk.do(cm.EnterLate("EX-1", ended, first, **more))


def test_a_bath_ends_when_it_was_told_to_have_and_dries_from_now():
    desk = desk_at("wash-2", phase=Soaking)
    desk.away(1800)
    decision = late(desk, 28)

    assert names(decision)[:3] == ["StageEnded", "StageStarted", "EnteredLate"]
    assert decision[0].elapsed_ms == 2 * MINUTE
    assert desk.part().solvent_ms == 4 * MINUTE
    assert desk.part().dry_since == desk.now
    told = desk.events(ev.EnteredLate)[0]
    assert told.ended.wall_ms == desk.now.wall_ms - 28 * MINUTE


def test_drying_told_late_opens_no_gate():
    desk = desk_at("dry-box", phase=Soaking)
    desk.away(3600)
    assert code_of(late(desk, 1)) == "late-drying"

    desk = desk_at("wash-2", phase=Soaking)
    desk.away(7200)
    late(desk, 118)
    desk.must(cm.ChoosePart("EX-1"))
    desk.wait(14 * 60)
    assert code_of(desk.do(cm.FinishStage("EX-1"))) == "dry-before-box"
    desk.wait(60)
    desk.must(cm.FinishStage("EX-1"))


@pytest.mark.parametrize(
    ("count", "low", "high", "evidence"),
    [(2200, 2200, 2200, "observed"), (-1, 0, 2200, "assumed"), (0, 0, 0, "observed")],
)
def test_a_dose_told_late_is_seen_only_where_a_counter_was_read(
    count, low, high, evidence
):
    desk = desk_at("half-1", phase=Ready)
    desk.away(3600)
    late(desk, 10, count=count)
    found = desk.part().exposures[-1]

    assert (found.low, found.high, found.evidence) == (low, high, evidence)
    assert desk.stage() == ("supports" if low == 2200 else "half-1")
    assert desk.bench.runs == {}


def test_a_counter_past_what_was_to_be_set_is_a_deviation():
    desk = desk_at("half-1", phase=Ready)
    desk.away(3600)
    late(desk, 10, count=3000)

    assert [each.rule for each in desk.events(ev.DeviationOpened)] == ["over-dose"]


@pytest.mark.parametrize(("minutes", "rules"), [(4, []), (3, ["late-count"])])
def test_a_counter_that_the_times_leave_no_room_for_is_to_assess(minutes, rules):
    """2,200 flashes at 8 a second are 4 min 35 s; a minute is lost in the typing."""
    desk = desk_at("half-1", phase=Ready)
    desk.away(3600)
    late(desk, 10, began=10 + minutes, count=2200)

    assert desk.part().exposures[-1].low == 2200  # the counter wins over the clock
    assert [each.rule for each in desk.events(ev.DeviationOpened)] == rules


def test_a_turn_is_on_record_as_a_turn():
    desk = desk_at("flip-1", phase=Ready, recipe=DENTURE)
    desk.away(600)
    late(desk, 1)

    assert desk.part().facing == "B"
    assert desk.stage() == "half-1-B"


def test_a_coat_is_assumed_and_its_gates_are_asked_at_the_time_told():
    desk = desk_at("coat-1", phase=Ready)
    desk.away(600)
    assert code_of(late(desk, 1)) == "late-light"
    late(desk, 1, spot_s=10)
    lit = desk.events(ev.SpotTacked)

    assert {each.evidence for each in lit} == {"assumed"}
    assert desk.stage() == "coat-2"
    desk.must(cm.ChooseEquipment("EX-1", "lamp", "LM-B"))
    decision = late(desk, 0, spot_s=10)
    assert decision[-1].rule == "late"
    assert "Light check" in decision[-1].text


def test_glycerine_is_counted_as_if_it_had_been_told_here():
    desk = desk_at("submerge", phase=Ready)
    before = desk.bench.fills["GV-1"].immersions
    desk.away(600)
    late(desk, 5)

    assert desk.bench.fills["GV-1"].immersions == before + 1
    assert desk.part().immersed_in == "GV-1"


def test_a_part_back_from_a_mouth_spoils_its_portion_on_paper_too():
    """What lay with it serves no other part (common practice, no source)."""
    mouth = lib.Variant(0, 2, back_from_mouth=True, faces=("Biting",))
    desk = desk_at("submerge", phase=Ready, variant=mouth, recipe=SPLINT)
    desk.away(600)
    late(desk, 5)

    assert desk.bench.fills["GV-1"].spoilt == "own portion of EX-1"


@pytest.mark.parametrize(
    ("stage", "phase", "code"),
    [
        ("checks", Ready, "late-here"),
        ("half-1", InRun, "late-here"),
        ("coat-1", Walking, "late-here"),
    ],
)
def test_what_is_told_here_is_not_told_late(stage, phase, code):
    desk = desk_at(stage, phase=phase)

    assert code_of(late(desk, 0)) == code


def test_times_run_forwards_and_not_into_what_was_before():
    desk = desk_at("supports", phase=Ready)
    desk.away(3600)

    assert code_of(late(desk, -2)) == "late-time"  # has not come yet
    assert code_of(late(desk, 61)) == "late-time"  # before it came here
    assert code_of(late(desk, 30, began=20)) == "late-time"  # ends before it began
    late(desk, 30, began=50)
    assert code_of(late(desk, 20, began=40)) == "late-time"  # before the stage before
    late(desk, 20, began=30)
    assert desk.stage() == "fit"


def test_a_bath_too_short_or_too_long_by_its_times_is_a_deviation():
    for minutes, rule in ((1, "too-early"), (9, "over-wash")):
        desk = desk_at("wash-1", phase=Soaking)
        desk.away(600)
        late(desk, 10 - minutes)
        assert [each.rule for each in desk.events(ev.DeviationOpened)] == [rule]


def test_a_wait_counts_from_when_it_was_done_and_never_from_the_entry():
    desk = desk_at("coat-2", phase=Ready)
    desk.away(3600)
    late(desk, 25, spot_s=10)

    # Tacked and in the open for 25 minutes, not for none.
    assert desk.now.since(desk.part().phase.since) == 25 * MINUTE
    assert replace(desk.part(), hands_ms=0).stage.key == "submerge"
