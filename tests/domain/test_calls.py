"""The table of calls: each row says what ends it; a wet coat keeps the harmless quiet."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.calls import CALLS, call_for, wet_ms
from benchassist.domain.standing import Standing
from benchassist.domain.state import Paused, Ready, Soaking, Walking
from benchassist.ui.present.heard import calls
from benchassist.ui.present.look import look
from tests.domain.builders import code_of, desk_at

MS = 1000
LIMIT_MS = 120 * MS  # a crown's coat may stay wet so long


def told(desk):
    return {(call.kind, call.part) for call in calls(desk.bench, desk.now)}


def test_whatever_asks_hands_for_something_names_what_ends_it():
    for condition, row in CALLS.items():
        assert bool(row.act) == bool(row.ends), condition
        assert all(issubclass(each, cm.Command) for each in row.ends)


@pytest.mark.parametrize(
    ("stage", "phase"),
    [
        ("wash-1", Ready),
        ("wash-1", Soaking),
        ("dry-box", Soaking),
        ("half-1", Ready),
        ("supports", Ready),
        ("coat-1", Ready),
        ("coat-1", Walking),
        ("checks", Ready),
    ],
)
def test_what_a_row_names_ends_its_call(stage, phase):
    desk = desk_at(stage, phase=phase)
    at = Standing(desk.bench, desk.part(), desk.now)
    before, names = at.asked, {each.__name__ for each in at.call.ends}
    done = []
    real = desk.do

    def noted(command, channel="hand"):
        done.append(type(command).__name__)
        return real(command, channel)

    desk.do = noted
    for _ in range(20):
        desk.step()
        after = Standing(desk.bench, desk.part(), desk.now)
        if (after.asked, after.part.stage.key) != (before, at.part.stage.key):
            break
    assert names & set(done) or phase is Walking, (names, done)


def drying_while_wet():
    """A crown's patch is walked while another part's drying runs out."""
    desk = desk_at("coat-1", phase=Ready)
    desk.take("EX-2", vessel="GV-2")
    desk.work("EX-2", upto="dry-box", phase=Soaking)
    left_ms = Standing(desk.bench, desk.part("EX-2"), desk.now).need.due_ms
    desk.wait_ms(left_ms - 20 * MS)
    desk.must(cm.OpenLampSession("LM-A")) if not desk.bench.lamp_session else None
    desk.must(cm.ChoosePart("EX-1"), cm.WetBrush("EX-1"))
    return desk


def test_while_a_coat_is_wet_only_what_harms_calls_and_the_rest_after_its_patch():
    desk = drying_while_wet()
    desk.wait(15)
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(10)
    assert Standing(desk.bench, desk.part("EX-2"), desk.now).asked == "dry-due"

    assert isinstance(desk.part().phase, Walking)
    assert told(desk) == set()
    while isinstance(desk.part().phase, Walking):
        desk.wait(1)
    assert ("due", "EX-2") in told(desk)


def test_past_its_wet_limit_a_coat_keeps_nobody_quiet():
    desk = drying_while_wet()
    desk.wait(15)
    desk.must(cm.StartWalk("EX-1"), cm.HoldHere("EX-1"))
    desk.wait(60)
    assert isinstance(desk.part().phase, Paused)
    assert told(desk) == set()

    desk.wait(60)
    assert told(desk) == {("late", "EX-1"), ("due", "EX-2")}


def test_what_harms_sooner_than_the_patch_ends_may_call_and_only_that():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(200)  # of 300 at the most: due, and harmed in 100 s
    at, row = Standing(desk.bench, desk.part(), desk.now), call_for("timer-due", "soak")
    assert at.call == row
    hands_ms = 20 * MS

    assert at.may_call(row, None)
    assert at.may_call(row, at.need.harm_ms - hands_ms + 1)
    assert not at.may_call(row, at.need.harm_ms - hands_ms)
    assert not at.may_call(call_for("dry-due", ""), LIMIT_MS)
    assert at.may_call(call_for("walking", ""), 1)


def test_nobody_is_bound_where_nothing_is_wet():
    desk = desk_at("wash-1", phase=Soaking)
    assert wet_ms(desk.bench, desk.now) is None


# --- a brush waits for what comes due inside its patch ------------------------------


def test_a_brush_is_offered_after_the_bath_that_comes_due_inside_its_patch():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"))
    desk.take("EX-2", vessel="GV-2")
    desk.must(cm.StartStage("EX-2"), cm.ChoosePart("EX-1"))
    before = look(desk.bench, desk.now)
    assert before.band.word == "DO"  # the bath is due in 2:00, the patch takes 1:20

    desk.wait(60)
    view = look(desk.bench, desk.now)
    row = next(row for row in view.rows if row.code == "EX-1")
    tag = next(tag for tag in view.tags if tag.code == "EX-1")

    assert (view.band.word, view.headline) == ("WAIT", "Brush after EX-2")
    assert view.countdown.big == "1:00"
    assert (row.now, row.right, tag.right) == (True, "after EX-2", "after")
    assert view.next_line == "EX-2: wash 1, due in 1:00"
    assert code_of(desk.do(cm.WetBrush("EX-1"))) == "interruption"


def test_next_names_no_part_whose_brush_waits_for_another():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"))
    for code in ("EX-2", "EX-3"):
        desk.take(code, vessel="GV-2")
    desk.must(cm.StartStage("EX-2"), cm.ChoosePart("EX-2"))
    desk.wait(60)

    assert look(desk.bench, desk.now).next_line.startswith("EX-3: start wash 1")
    desk.must(cm.StartStage("EX-3"))
    assert look(desk.bench, desk.now).next_line.startswith("EX-3: wash 1")
