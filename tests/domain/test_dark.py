"""Time over a boot: what is sure, the most it can be, and what a hand says of it."""

from datetime import UTC, datetime

import pytest

from benchassist.clock import DAY_MS, NO_BOOT, Boot, Instant, Now, SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.dark import Dark, boots_at, placed
from benchassist.domain.evolve import fold
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.limits import limit
from benchassist.domain.plan import plan_for
from benchassist.domain.queue import need
from benchassist.domain.runs import length_ms
from benchassist.domain.state import (
    Bench,
    Closed,
    InRun,
    OnHold,
    Ready,
    Soaking,
    Walking,
)
from benchassist.domain.sure import asked, at_most, sure
from benchassist.domain.wet import wet_limit_ms
from benchassist.value import replace
from tests.domain.builders import CROWN, DENTURE, desk_at, names

S, MIN, HOUR = 1000, 60_000, 3_600_000


def dark(wall_ms, up_ms, *, stepped_ms=0, boot="b", before_mono=5 * MIN):
    before = Instant(0, 0, before_mono, "a")
    return Dark(before, Instant(wall_ms, 0, up_ms, boot), stepped_ms)


# --- the bounds ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wall_ms", "up_ms", "stepped_ms", "least", "most"),
    [
        (6 * MIN, 40 * S, 0, 40 * S, 6 * MIN),  # the clock was right
        (66 * MIN, 40 * S, 0, 40 * S, 66 * MIN),  # an hour ahead: the rest is not sure
        (66 * MIN, 40 * S, -HOUR, 40 * S, 66 * MIN),  # put right: both were said
        (-4 * MIN, 40 * S, 0, 0, DAY_MS),  # less than nothing is no evidence
        (-4 * MIN, 40 * S, 10 * MIN, 40 * S, 6 * MIN),  # put right ten minutes
        (-HOUR, 25 * HOUR, 0, 0, 25 * HOUR),  # up for more than a day
        (6 * MIN, 9 * HOUR, 0, 6 * MIN, 9 * HOUR),  # another machine, long up
        (30 * S, 40 * S, -MIN, 30 * S, 40 * S),  # a step to before it: said once
        (0, 0, 0, 0, 0),
    ],
)
def test_of_a_dark_the_clocks_say_the_least_and_the_most(
    wall_ms, up_ms, stepped_ms, least, most
):
    assert dark(wall_ms, up_ms, stepped_ms=stepped_ms).bounds == (least, most)


def test_a_machine_that_tells_no_boot_may_never_have_been_off():
    assert dark(MIN, 6 * MIN, boot=f"{NO_BOOT}x").up_ms == MIN
    assert dark(MIN, 6 * MIN).up_ms == 6 * MIN
    assert dark(MIN, MIN, boot=f"{NO_BOOT}x").up_ms == MIN  # it began anew


def test_what_was_told_is_believed_only_inside_the_bounds():
    found = dark(6 * MIN, 40 * S)

    assert replace(found, told=(2 * MIN, 3 * MIN)).span == (2 * MIN, 3 * MIN)
    assert replace(found, told=(0, 3 * MIN)).span == (40 * S, 3 * MIN)
    assert replace(found, told=(2 * MIN, HOUR)).span == (2 * MIN, 6 * MIN)
    assert replace(found, told=(7 * MIN, HOUR)).span == (40 * S, 6 * MIN)


def test_what_is_told_of_a_dark_that_was_not_is_not_believed():
    desk = desk_at("wash-1")
    desk.happened(ev.DarkTold("another boot", 0, MIN))

    assert desk.bench.dark is None
    assert desk.now == desk.clock.now()


# --- the line --------------------------------------------------------------------


def test_boots_lie_one_behind_the_other_with_what_is_sure_and_the_most_between():
    first = placed({"a": Boot(0, 0)}, dark(6 * MIN, 40 * S))
    second = Dark(
        Instant(0, 0, 10 * MIN, "b"), Instant(HOUR, 0, 20 * S, "c"), told=(MIN, MIN)
    )
    boots = placed(first, second)
    now = Now.at(Instant(0, 0, 2 * MIN, "c"), boots)
    begun = Instant(0, 0, 4 * MIN, "a")
    # 1 min before the dark; 40 s to 6 min; 9:20 in b; 1 min told; 1:40 in c.
    sure_ms = MIN + 40 * S + 560 * S + MIN + 100 * S

    assert now.since(begun) == sure_ms
    assert now.most_since(begun) == sure_ms + 320 * S
    assert now.until(begun.plus(HOUR)) == HOUR - sure_ms - 320 * S
    assert (
        now.since(Instant(0, 0, MIN, "c"))
        == MIN
        == now.most_since(Instant(0, 0, MIN, "c"))
    )


def test_a_boot_that_comes_again_lies_behind_the_one_between():
    boots = placed({"a": Boot(0, 0)}, dark(6 * MIN, 40 * S))
    again = Dark(Instant(0, 0, 5 * MIN, "b"), Instant(MIN, 0, 20 * MIN, "a"))
    now = Now.at(Instant(0, 0, 21 * MIN, "a"), placed(boots, again))

    assert now.since(Instant(0, 0, 5 * MIN, "b")) == 2 * MIN
    assert now.most_since(Instant(0, 0, 5 * MIN, "b")) == 21 * MIN
    assert now.since(Instant(0, 0, 5 * MIN, "a")) == 16 * MIN  # one reading, no gap


def test_of_a_boot_that_nobody_placed_nothing_is_sure():
    now = Now.at(Instant(HOUR, 0, 5, "x"), {})

    assert now.since(Instant(0, 0, 0, "y")) == 0
    assert now.most_since(Instant(0, 0, 0, "y")) == DAY_MS
    assert now.most_since(Instant(-2 * DAY_MS, 0, 0, "y")) == 2 * DAY_MS + HOUR


def test_what_is_kept_of_a_moment_is_bare():
    now = Now.at(Instant(1, 2, 3, "a"), {"a": Boot(0, 0)})

    assert now.instant == Instant(1, 2, 3, "a")
    assert type(now.plus(5)) is Instant


def test_the_line_is_the_same_before_the_opening_is_written_and_after_it():
    desk = desk_at("wash-1", phase=Soaking)
    beat = desk.clock.now().plus(20_000)
    desk.away(60)
    desk.clock.reboot(10_000)
    before = boots_at(desk.bench.boots, desk.bench.latest, desk.clock.now(), beat)
    desk.do(cm.Reopen("2", beat), "tool")

    assert desk.bench.boots == before
    assert desk.bench.dark.before == beat
    assert fold(Bench(), desk.entries) == desk.bench


def test_a_heartbeat_of_another_boot_or_before_the_last_entry_ends_no_boot():
    for beat in (Instant(0, 0, 10**9, "elsewhere"), Instant(0, 0, 5, "simulated-1")):
        desk = desk_at("wash-1", phase=Soaking)
        last = desk.bench.latest
        desk.clock.reboot()
        desk.do(cm.Reopen("2", beat), "tool")

        assert desk.bench.dark.before == last


def test_only_so_many_boots_are_kept_and_the_present_one_among_them():
    desk = desk_at("fit")
    for _ in range(120):
        desk.clock.advance(MIN)
        desk.clock.reboot(S)
        desk.do(cm.Reopen("2", None), "tool")

    assert len(desk.bench.boots) == 100
    assert desk.clock.now().boot in desk.bench.boots


# --- waits and maxima ------------------------------------------------------------


def off(desk, seconds=360, up=40, clock_ms=0):
    """Let the machine be off for so long, its clock set meanwhile."""
    beat = desk.clock.now()
    desk.away(seconds)
    desk.clock.reboot(up * S)
    desk.clock.step_wall(clock_ms)
    desk.do(cm.Reopen("2", beat), "tool")


def test_a_wash_calls_by_the_most_and_is_too_long_by_the_most():
    desk = desk_at("wash-1", phase=Soaking)  # 120 to 300 s
    desk.wait(60)
    off(desk)

    assert need(desk.bench, desk.part(), desk.now).due_ms == (120 - 420) * S
    assert need(desk.bench, desk.part(), desk.now).harm_ms == (300 - 420) * S
    assert names(desk.press())[0] == "StageEnded"
    (ended,) = desk.events(ev.StageEnded)
    assert (ended.elapsed_ms, ended.least_ms) == (420 * S, 100 * S)
    assert desk.part().solvent_ms == 420 * S
    (found,) = desk.events(ev.DeviationOpened)
    assert found.text == "Wash 1 took at most 7:00, at most 5:00 allowed."


@pytest.mark.parametrize("stage", ["dry-box", "rinse", "submerge", "purge", "dry-end"])
def test_a_wait_against_harm_counts_what_is_sure(stage):
    nitrogen = lib.Variant(cover="nitrogen") if stage == "purge" else None
    desk = desk_at(stage, phase=Soaking, variant=nitrogen)
    least = desk.part().stage.min_s
    off(desk, seconds=2 * least, up=1)

    assert need(desk.bench, desk.part(), desk.now).due_ms == (least - 1) * S


@pytest.mark.parametrize("clock_ms", [0, 47 * MIN, HOUR, -10 * MIN, -HOUR * 54_000])
def test_no_clock_dries_a_part(clock_ms):
    desk = desk_at("dry-box", phase=Soaking)  # 900 s
    desk.wait(120)
    off(desk, clock_ms=clock_ms)
    gate = GATES["dry-before-box"]

    def ask():
        return gate.check(desk.bench, ask_for(desk.bench, desk.part()), desk.now)

    assert ask().level == "fail"
    desk.wait(900 - 160 - 1)
    assert ask().level == "fail"
    desk.wait(41)  # where no clock said anything the 40 s of the boot are not sure
    assert ask().level == "pass"


def test_a_gate_says_what_of_a_wait_is_sure():
    desk = desk_at("dry-box", phase=Soaking)
    desk.wait(120)
    off(desk)
    verdict = GATES["dry-before-box"].check(
        desk.bench, ask_for(desk.bench, desk.part()), desk.now
    )

    assert verdict.remedy.startswith("2:40 sure, 8:00 by the clock. Wait until")
    assert sure(desk.now, desk.now) == "" == at_most(desk.now, desk.now)


def test_a_hot_vessel_cools_by_what_is_sure():
    desk = desk_at("half-1")
    part = replace(desk.part(), hot_since=desk.clock.now())
    desk.bench = desk.bench.with_part(part)
    box = replace(desk.bench.boxes[part.box], warm_s=60)
    desk.bench = replace(desk.bench, boxes={**desk.bench.boxes, box.code: box})
    off(desk, up=40)
    ask = ask_for(desk.bench, desk.part())

    assert GATES["vessel-hot"].check(desk.bench, ask, desk.now).level == "fail"
    desk.wait(20)
    assert GATES["vessel-hot"].check(desk.bench, ask, desk.now).level == "pass"


def test_every_maximum_counts_the_most():
    desk = desk_at("fit")
    desk.must(cm.HoldPart("EX-1", "phone"))
    off(desk, seconds=9 * 3600)

    assert isinstance(desk.part().phase, OnHold)
    assert need(desk.bench, desk.part(), desk.now).harm_ms == -HOUR
    desk.must(cm.ResumePart("EX-1"))
    assert desk.events(ev.HoldEnded)[-1].elapsed_ms == 9 * HOUR
    assert desk.events(ev.DeviationOpened)[-1].text.startswith("Held at most 9:00:00")


def test_an_operator_who_may_have_been_gone_for_long_is_unconfirmed():
    desk = desk_at("fit")
    desk.must(cm.ClaimStation("OP-1"))
    off(desk, seconds=700)

    assert names(desk.tick()) == ["OperatorUnconfirmed"]


def test_an_appointment_is_as_near_as_it_can_be():
    desk = desk_at("fit")
    due = desk.now.plus(HOUR)
    desk.bench = desk.bench.with_part(replace(desk.part(), due=due))
    before = plan_for(desk.bench, desk.part(), desk.now).slack_ms
    off(desk, seconds=360)

    plan = plan_for(desk.bench, desk.part(), desk.now)
    assert plan.slack_ms == before - 360 * S


# --- the question ----------------------------------------------------------------


def test_it_is_asked_only_while_a_limit_lies_between():
    desk = desk_at("dry-box", phase=Soaking)  # 900 s
    desk.wait(120)
    off(desk, seconds=780, up=30)  # at most 900 s: just so
    assert asked(desk.bench, desk.now) is desk.bench.dark

    desk = desk_at("dry-box", phase=Soaking)
    desk.wait(120)
    off(desk, seconds=170, up=30)  # 290 at most: no limit of 300 lies there
    assert asked(desk.bench, desk.now) is None
    desk.wait(10)
    assert asked(desk.bench, desk.now) is not None
    desk.wait(900)  # past every limit whatever it was
    assert asked(desk.bench, desk.now) is None


def reading(desk):
    desk.wait(1000)  # whatever was wiped is dry, whatever was hot is cool
    return desk.bench.readings["LM-A"].at, limit(
        desk.bench, "lamp_reading_age_h"
    ) * 3600


def wet(desk):
    return desk.part().phase.wet_since, wet_limit_ms(desk.bench, desk.part()) / S


def tacked(desk):
    return desk.part().phase.since, limit(desk.bench, "late_tacked_s")


def flip(desk):
    return desk.part().phase.since, limit(desk.bench, "late_box_s")


def held(desk):
    desk.must(cm.HoldPart("EX-1", "phone"))
    return desk.part().phase.since, limit(desk.bench, "hold_limit_s")


def run(desk):
    (found,) = desk.bench.runs.values()
    return found.started, length_ms(found, desk.bench.boxes[found.box]) / S


def run_late(desk):
    started, length_s = run(desk)
    desk.wait(length_s + 1)
    return started, length_s + limit(desk.bench, "late_box_s")


def promised(desk):
    due = desk.now.plus(10 * MIN)
    desk.bench = desk.bench.with_part(replace(desk.part(), due=due))
    return due, 0


def stirred(desk):
    desk.must(cm.SetKeeping("EX-CC", 0, 0, 10, "EX-LABEL", "1"))
    desk.must(cm.HandleBottle("L-COAT", "stirred"))
    return desk.now, 600


def opened(desk):
    desk.must(cm.RecordSmear("EX-CC", "bench", 1.0, 600))
    desk.must(cm.ChangeDish("L-COAT", "open", "bench", 1.0))
    return desk.now, 600


@pytest.mark.parametrize(
    ("recipe", "stage", "phase", "told"),
    [
        (CROWN, "coat-1", Ready, reading),
        (CROWN, "supports", Ready, reading),
        (CROWN, "coat-1", Walking, wet),
        (CROWN, "coat-2", Ready, tacked),
        (CROWN, "fit", Ready, held),
        (CROWN, "half-1", InRun, run),
        (CROWN, "half-1", InRun, run_late),
        (DENTURE, "flip-1", Ready, flip),
        (CROWN, "fit", Ready, promised),
        (CROWN, "fit", Ready, stirred),
        (CROWN, "fit", Ready, opened),
    ],
)
@pytest.mark.parametrize("over_s", [-2, 2])
def test_whatever_limit_lies_between_raises_the_question(
    recipe, stage, phase, told, over_s
):
    desk = desk_at(stage, phase=phase, recipe=recipe)
    since, limit_s = told(desk)
    off(desk, seconds=limit_s - desk.now.since(since) / S + over_s, up=1)

    assert (asked(desk.bench, desk.now) is not None) == (over_s > 0)


def test_a_coat_that_is_laid_needs_no_young_reading():
    desk = desk_at("checks")
    since, limit_s = reading(desk)
    off(desk, seconds=limit_s - desk.now.since(since) / S + 2, up=1)

    assert asked(desk.bench, desk.now) is None


def test_it_is_not_asked_of_parts_that_are_not_in_flight_or_of_an_older_boot():
    desk = desk_at("dry-box", phase=Soaking)
    desk.wait(120)
    off(desk, seconds=1000)
    closed = replace(desk.part(), phase=Closed(desk.clock.now(), "scrapped"))
    assert asked(desk.bench.with_part(closed), desk.now) is None

    older = replace(desk.bench.dark, opened=Instant(0, 0, 0, "older"))
    assert asked(replace(desk.bench, dark=older), desk.now) is None


def test_the_clocks_are_confirmed_by_hand_and_it_is_asked_no_more():
    desk = desk_at("dry-box", phase=Soaking)
    desk.wait(120)
    off(desk, seconds=1000)
    desk.must(cm.TellDark("clocks"))

    assert asked(desk.bench, desk.now) is None
    assert desk.now.since(desk.part().phase.since) == 1120 * S
    assert desk.events(ev.DarkTold) == [ev.DarkTold("simulated-2", 1000 * S, 1000 * S)]


def test_not_sure_is_an_answer_and_changes_nothing():
    desk = desk_at("dry-box", phase=Soaking)
    off(desk, seconds=1000)
    before = desk.now.since(desk.part().phase.since)
    desk.must(cm.TellDark("not sure"))

    assert asked(desk.bench, desk.now) is None
    assert desk.now.since(desk.part().phase.since) == before


@pytest.mark.parametrize(
    ("typed", "least_s", "most_s"),
    [("6", 360, 419.999), ("5-10 min", 300, 659.999), ("0 to 2", 40, 179.999)],
)
def test_minutes_are_typed_as_one_or_as_two(typed, least_s, most_s):
    desk = desk_at("dry-box", phase=Soaking)
    off(desk, seconds=1000)
    (told,) = desk.must(cm.TellDark("minutes", typed))

    assert (told.low_ms / S, told.high_ms / S) == (least_s, most_s)
    assert desk.bench.dark.span == (told.low_ms, told.high_ms)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "minutes"),
        ("six", "minutes"),
        ("10-5", "minutes"),
        ("17", "dark-outside"),
        ("-1", "minutes"),
    ],
)
def test_what_the_clocks_rule_out_is_not_believed(typed, code):
    desk = desk_at("dry-box", phase=Soaking)
    off(desk, seconds=1000)  # 40 s to 16:40

    refusal = desk.do(cm.TellDark("minutes", typed))
    assert refusal.code == code
    assert desk.bench.dark.told is None


def test_a_clock_that_says_nothing_is_not_confirmed():
    desk = desk_at("dry-box", phase=Soaking)
    off(desk, clock_ms=-HOUR)

    assert desk.do(cm.TellDark("clocks")).code == "no-clock"
    assert desk_at("fit").do(cm.TellDark("clocks")).code == "not-dark"


def test_the_dark_before_another_boot_is_told_no_more():
    desk = desk_at("dry-box", phase=Soaking)
    off(desk)
    desk.clock.reboot(40 * S)  # and the program has not said yet that it is open

    assert desk.do(cm.TellDark("minutes", "6")).code == "not-dark"


def test_a_step_of_the_clock_asks_again():
    desk = desk_at("dry-box", phase=Soaking)
    off(desk, seconds=300, clock_ms=HOUR)
    desk.must(cm.TellDark("clocks"))
    assert asked(desk.bench, desk.now) is None
    desk.clock.step_wall(-HOUR)
    desk.do(cm.NoteWallStep(-HOUR), "tool")

    assert desk.bench.dark.told is None
    assert desk.bench.dark.said == (HOUR + 300 * S, 300 * S)


def test_a_step_while_the_program_is_closed_is_seen_at_its_next_opening():
    desk = desk_at("dry-box", phase=Soaking)
    off(desk, seconds=300, clock_ms=HOUR)
    desk.away(60)
    desk.clock.step_wall(-HOUR)
    desk.do(cm.Reopen("2", None), "tool")

    assert desk.bench.dark.stepped_ms == -HOUR
    desk.away(60)
    desk.do(cm.Reopen("2", None), "tool")
    assert desk.bench.dark.stepped_ms == -HOUR


# --- labels ----------------------------------------------------------------------


@pytest.mark.parametrize(("years", "kept"), [(-6, True), (0, True), (1, False)])
def test_a_clock_in_another_year_takes_nothing_off_the_bench(years, kept):
    desk = desk_at("fit")
    desk.must(cm.ScrapPart("EX-1", "cracked"))
    off(desk, clock_ms=years * 365 * DAY_MS)

    assert ("EX-1" in desk.bench.parts) is kept


def test_a_reading_of_the_lamp_is_as_old_as_it_can_be():
    desk = desk_at("coat-1")
    desk.must(cm.ReadLamp("LM-A", 100.0))
    off(desk, seconds=25 * 3600)
    assert limit(desk.bench, "lamp_reading_age_h") == 24
    ask = ask_for(desk.bench, desk.part())

    assert GATES["lamp-reading-age"].check(desk.bench, ask, desk.now).level != "pass"


def test_a_clock_that_begins_somewhere_begins_there():
    clock = SimulatedClock(datetime(2026, 5, 14, tzinfo=UTC), "here", -5)

    assert (clock.now().boot, clock.now().mono_ms) == ("here", -5)
