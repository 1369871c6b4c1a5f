"""Quiet, not yet: a long press rests the sound of what is due and credits nothing."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.limits import limit
from benchassist.domain.pedal import situation
from benchassist.domain.quiet import quiet_until
from benchassist.domain.state import InRun, Soaking
from tests.domain.builders import Desk, code_of, desk_at, names


def due_bath(seconds=120):
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(seconds)
    return desk


def due_run():
    desk = desk_at("half-1", phase=InRun)
    desk.wait(275)
    return desk


DUE = {
    "timer-due": due_bath,
    "dry-due": lambda: _waited(desk_at("dry-box"), 900),
    "run-due": due_run,
}


def _waited(desk, seconds):
    desk.wait(seconds)
    return desk


@pytest.mark.parametrize("name", DUE)
def test_a_long_press_on_what_is_due_quiets_it_and_credits_nothing(name):
    desk = DUE[name]()
    before = desk.part()
    assert situation(desk.bench, desk.now) == name

    assert names(desk.press(long=True)) == ["DueQuieted"]

    assert desk.part() == before
    assert situation(desk.bench, desk.now) == name
    until = quiet_until(desk.bench, desk.part(), desk.now)
    assert until.since(desk.now) == limit(desk.bench, "quiet_s") * 1000


def test_it_is_quiet_for_a_while_and_no_longer():
    desk = due_bath()
    desk.press(long=True)
    desk.wait(119)
    assert quiet_until(desk.bench, desk.part(), desk.now) is not None
    desk.wait(1)

    assert quiet_until(desk.bench, desk.part(), desk.now) is None


def test_a_whole_basket_and_a_whole_run_fall_quiet_together():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")), cm.StartStage("EX-1"))
    desk.wait(120)
    (quieted,) = desk.press(long=True)

    assert quieted.parts == ("EX-1", "EX-2")
    assert quiet_until(desk.bench, desk.part("EX-2"), desk.now) is not None


def test_what_falls_due_next_is_heard_again():
    desk = due_bath()
    desk.press(long=True)
    desk.press()
    desk.must(cm.StartStage("EX-1"))
    desk.wait(60)

    assert desk.stage() == "wash-2"
    assert situation(desk.bench, desk.now) == "timer-due"
    assert quiet_until(desk.bench, desk.part(), desk.now) is None


def test_what_is_late_is_not_quieted_by_foot():
    # Longest stay 300 s; 20 s for a glove change and the walk before it.
    desk = due_bath(280)
    assert names(desk.press(long=True)) == ["DueQuieted"]
    desk.wait(1)

    refusal = desk.press(long=True)
    assert code_of(refusal) == "late"
    assert refusal.message == "EX-1 is late: its sound stays on."


@pytest.mark.parametrize(
    "desk",
    [desk_at("wash-1", phase=Soaking), desk_at("fit"), desk_at("half-1", phase=InRun)],
    ids=["running", "hand", "in the box"],
)
def test_what_is_not_due_makes_no_sound_to_quiet(desk):
    assert code_of(desk.do(cm.Quiet("EX-1"))) == "not-at-stage"
    assert code_of(desk.do(cm.Quiet("EX-9"))) == "no-such-part"
    assert desk.events(ev.DueQuieted) == []


def test_a_restart_forgets_the_quiet_of_parts_that_are_gone():
    desk = due_bath()
    desk.press(long=True)
    desk.press()
    desk.must(cm.ScrapPart("EX-1", "cracked"))
    desk.clock.advance(24 * 3_600_000)
    desk.do(cm.Reopen("2", desk.now), "tool")

    assert desk.bench.quiet == {}
