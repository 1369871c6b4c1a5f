"""One foot, one meaning: nothing lost, nothing doubled, every refusal with a reason.

The logs imitate a worn switch: 0 to 3 bounces of 1 to 15 ms at both ends. Published
switch tests show bounce of 1.6 ms on average and 6.2 ms at most in one set, more in
others (J. Ganssle, "A guide to debouncing", from memory); the rest is common
practice, no source.
"""

import random
from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain.pedal_guard import (
    APART_MS,
    LONG_MS,
    QUIET_MS,
    SENTENCES,
    SETTLE_MS,
    Edge,
    PedalGuard,
    Press,
    Refused,
    Situation,
)

PLAIN = Situation()
WITH_LONG = Situation(long_press=True)
LOOK_MS = 100  # [ms] between two looks of the program
REPEAT_AFTER_MS, REPEAT_EVERY_MS = 660, 41  # [ms] as seen from an X server


def pressed_at(stamp_ms, arrival_ms, **more):
    return Edge(down=True, stamp_ms=stamp_ms, arrival_ms=arrival_ms, **more)


def released_at(stamp_ms, arrival_ms):
    return Edge(down=False, stamp_ms=stamp_ms, arrival_ms=arrival_ms)


def recorded(presses: int, *, hold_ms: tuple[int, int], pause_ms, seed: int):
    """Return the stamped edges of bouncing presses and the moment of each press."""
    dice = random.Random(seed)
    now, edges, pressed = 10_000, [], []

    def contact(*, down):
        nonlocal now
        edges.append((now, down))
        for _ in range(dice.randint(0, 3)):
            now += dice.randint(1, 15)
            edges.append((now, not down))
            now += dice.randint(1, 15)
            edges.append((now, down))

    for _ in range(presses):
        pressed.append(now)
        contact(down=True)
        until = now + dice.randint(*hold_ms)
        repeat = pressed[-1] + REPEAT_AFTER_MS
        while repeat < until - QUIET_MS:
            # A held key: release and press in one instant, flagged or not.
            edges += [(repeat, False), (repeat, True)]
            repeat += REPEAT_EVERY_MS
        now = until
        contact(down=False)
        now += dice.randint(*pause_ms)
    return edges, pressed


def replay(edges, situation=PLAIN, *, stalls=(), start=None):
    """Replay stamped edges through a program that looks every 100 ms.

    During a stall nothing is read; afterwards the edges come all at once, and the
    first look is not one that may decide.
    """
    guard, answers = start or PedalGuard(), []
    looked = 0
    for stamp, down in edges:
        arrival = next((end for begin, end in stalls if begin <= stamp < end), stamp)
        while looked + LOOK_MS <= arrival:
            looked += LOOK_MS
            if any(begin <= looked <= end + LOOK_MS for begin, end in stalls):
                continue
            guard, new = guard.look(looked)
            answers += new
        guard, new = guard.edge(
            Edge(down=down, stamp_ms=stamp, arrival_ms=arrival + 1), situation
        )
        answers += new
    guard, new = guard.look(edges[-1][0] + 10 * LONG_MS)
    return guard, answers + list(new)


def presses(answers):
    return [answer.kind for answer in answers if isinstance(answer, Press)]


def test_a_thousand_bouncing_presses_are_a_thousand_presses():
    edges, _ = recorded(1000, hold_ms=(70, 220), pause_ms=(700, 900), seed=1)

    guard, answers = replay(edges)

    assert presses(answers) == ["short"] * 1000
    assert len(edges) > 4000
    assert set(guard.counts) == {"bounce"}


def test_a_thousand_bouncing_presses_survive_stalls_of_the_program():
    edges, pressed = recorded(1000, hold_ms=(70, 220), pause_ms=(700, 900), seed=2)
    stalls = [(at - 30, at + 970) for at in pressed[::3]]

    guard, answers = replay(edges, WITH_LONG, stalls=stalls)

    assert presses(answers) == ["short"] * 1000
    assert set(guard.counts) == {"bounce"}


def test_held_presses_with_repeats_are_long_once_each():
    edges, _ = recorded(300, hold_ms=(1700, 2600), pause_ms=(700, 900), seed=3)

    guard, answers = replay(edges, WITH_LONG)

    assert presses(answers) == ["long"] * 300
    assert guard.counts["bounce"] > 300 * 20


def test_held_presses_act_once_and_at_once_where_long_means_nothing():
    edges, pressed = recorded(300, hold_ms=(900, 1700), pause_ms=(700, 900), seed=4)
    guard, acted = PedalGuard(), []
    for stamp, down in edges:
        guard, answers = guard.edge(
            Edge(down=down, stamp_ms=stamp, arrival_ms=stamp), PLAIN
        )
        acted += [(stamp, kind) for kind in presses(answers)]

    assert acted == [(at, "short") for at in pressed]


def test_short_and_long_presses_mixed_keep_their_order_under_stalls():
    dice = random.Random(5)
    edges, meant, at = [], [], 10_000
    for _ in range(1000):
        long = dice.random() < 0.3
        held, _ = recorded(
            1,
            hold_ms=(1700, 2100) if long else (80, 900),
            pause_ms=(0, 0),
            seed=dice.randrange(10**9),
        )
        edges += [(at + stamp - 10_000, down) for stamp, down in held]
        meant.append("long" if long else "short")
        at = edges[-1][0] + dice.randint(700, 900)
    stalls = [(begin, begin + 1000) for begin in range(12_000, at, 7000)]

    _, answers = replay(edges, WITH_LONG, stalls=stalls)

    assert presses(answers) == meant


@pytest.mark.parametrize(
    ("gap_ms", "counts"), [(APART_MS - 1, False), (APART_MS, True)]
)
def test_the_next_press_counts_after_seven_tenths_of_a_second(gap_ms, counts):
    guard, _ = PedalGuard().edge(pressed_at(1000, 1000), PLAIN)
    guard, _ = guard.edge(released_at(1100, 1100), PLAIN)

    _, answers = guard.edge(pressed_at(1000 + gap_ms, 1000 + gap_ms), PLAIN)

    assert answers == ((Press("short"),) if counts else (Refused("too soon"),))


@pytest.mark.parametrize(
    ("quiet_ms", "counts"), [(QUIET_MS - 1, False), (QUIET_MS, True)]
)
def test_a_press_needs_a_quiet_switch_before_it(quiet_ms, counts):
    guard, _ = PedalGuard().edge(released_at(5000, 5000), PLAIN)

    _, answers = guard.edge(pressed_at(5000 + quiet_ms, 5000 + quiet_ms), PLAIN)

    assert answers == ((Press("short"),) if counts else (Refused("bounce"),))


def test_stamps_decide_even_when_all_edges_arrive_at_once():
    guard = PedalGuard()
    kinds = []
    for stamp, down in ((1000, True), (1090, False), (1800, True), (1890, False)):
        guard, answers = guard.edge(
            Edge(down=down, stamp_ms=stamp, arrival_ms=4000), PLAIN
        )
        kinds += presses(answers)

    assert kinds == ["short", "short"]


@pytest.mark.parametrize("stamp", [0, 900], ids=["no stamp", "stamp runs back"])
def test_arrival_decides_where_the_stamp_cannot(stamp):
    guard, _ = PedalGuard().edge(pressed_at(1000, 50_000), PLAIN)
    guard, _ = guard.edge(released_at(stamp, 50_100), PLAIN)

    _, soon = guard.edge(pressed_at(stamp, 50_120), PLAIN)
    _, later = guard.edge(pressed_at(0, 50_800), PLAIN)

    assert soon == (Refused("bounce"),)
    assert later == (Press("short"),)


def test_a_long_press_acts_at_one_and_a_half_seconds_not_at_its_release():
    guard, _ = PedalGuard().edge(pressed_at(1000, 1000), WITH_LONG)

    guard, early = guard.look(1000 + LONG_MS - 1)
    guard, due = guard.look(1000 + LONG_MS)
    guard, released = guard.edge(released_at(3000, 3000), WITH_LONG)
    _, after = guard.look(5000)

    assert (early, due, released, after) == ((), (Press("long"),), (), ())


def test_a_release_is_believed_after_sixty_quiet_milliseconds():
    guard, _ = PedalGuard().edge(pressed_at(1000, 1000), WITH_LONG)
    guard, _ = guard.edge(released_at(1300, 1300), WITH_LONG)

    guard, early = guard.look(1300 + QUIET_MS - 1)
    _, due = guard.look(1300 + QUIET_MS)

    assert (early, due) == ((), (Press("short"),))


def test_a_release_read_after_a_stall_is_judged_by_its_stamp():
    guard, _ = PedalGuard().edge(pressed_at(1000, 1000), WITH_LONG)
    guard, _ = guard.edge(released_at(1200, 4000), WITH_LONG)

    _, answers = guard.look(4000 + QUIET_MS)

    assert answers == (Press("short"),)


def test_a_flagged_repeat_never_counts_however_late_it_comes():
    guard, _ = PedalGuard().edge(pressed_at(1000, 1000), PLAIN)

    _, answers = guard.edge(pressed_at(2000, 2000, repeat=True), PLAIN)

    assert answers == (Refused("held"),)


@pytest.mark.parametrize(
    ("situation", "reason"),
    [
        (Situation(changed_ms=2000 - SETTLE_MS + 1), "screen changed"),
        (Situation(changed_ms=2500), "screen changed"),
        (Situation(two_due=True), "two due"),
        (Situation(blocked="typing"), "typing"),
        (Situation(blocked="popup open"), "popup open"),
        (Situation(blocked="not in front"), "not in front"),
    ],
)
def test_what_the_state_forbids_is_refused_said_and_counted(situation, reason):
    guard, answers = PedalGuard().edge(pressed_at(2000, 2000), situation)

    assert answers == (Refused(reason),)
    assert answers[0].said
    assert answers[0].sentence == SENTENCES[reason]
    assert guard.counts == {reason: 1}
    assert guard.accepted is None


def test_a_press_counts_once_the_screen_has_stood_long_enough():
    _, answers = PedalGuard().edge(
        pressed_at(2000, 2000), Situation(changed_ms=2000 - SETTLE_MS)
    )

    assert answers == (Press("short"),)


def test_a_press_made_before_the_screen_changed_is_not_taken_for_the_new_screen():
    late = pressed_at(1000, 3000, made_ms=900)

    _, answers = PedalGuard().edge(late, Situation(changed_ms=1000))

    assert answers == (Refused("screen changed"),)


def test_a_press_that_waits_for_its_release_is_not_taken_for_another_screen():
    guard, answers = PedalGuard().edge(pressed_at(5000, 5000), WITH_LONG)
    assert answers == ()
    turned = replace(WITH_LONG, changed_ms=5080)  # a hand chose another part
    guard, answers = guard.edge(released_at(5120, 5120), turned)

    assert answers == (Refused("screen changed"),)
    assert guard.look(5200)[1] == ()
    assert guard.counts == {"screen changed": 1}
    _, answers = guard.edge(pressed_at(6400, 6400), replace(PLAIN, changed_ms=5080))
    assert answers == (Press("short"),)


def test_a_screen_that_changed_before_the_press_does_not_refuse_its_release():
    stood = replace(WITH_LONG, changed_ms=3000)
    guard, _ = PedalGuard().edge(pressed_at(5000, 5000), stood)
    guard, _ = guard.edge(released_at(5120, 5120), stood)

    assert guard.look(5200)[1] == (Press("short"),)


def test_bounces_and_repeats_are_counted_but_not_said():
    assert not Refused("bounce").said
    assert not Refused("held").said


def test_a_press_in_hand_is_forgotten_when_its_release_goes_elsewhere():
    guard, _ = PedalGuard().edge(pressed_at(1000, 1000), WITH_LONG)

    _, answers = guard.forget_pressed().look(9000)

    assert answers == ()


@given(
    st.lists(st.tuples(st.booleans(), st.integers(0, 2500)), max_size=60),
    st.booleans(),
)
def test_whatever_the_switch_does_presses_stay_apart_and_every_down_is_answered(
    steps, long_press
):
    guard, answers, now = PedalGuard(), [], 1000
    taken = []
    for down, wait in steps:
        now += wait
        guard, new = guard.edge(
            Edge(down=down, stamp_ms=now, arrival_ms=now),
            Situation(long_press=long_press),
        )
        answers += new
        if guard.accepted is not None and guard.accepted not in taken:
            taken.append(guard.accepted)
    guard, new = guard.look(now + 10 * LONG_MS)
    answers += new

    tally = Counter(type(answer) for answer in answers)
    downs = sum(down for down, _ in steps)
    assert tally[Press] + tally[Refused] == downs
    assert tally[Refused] == sum(guard.counts.values())
    gaps = [b.stamp_ms - a.stamp_ms for a, b in pairwise(taken)]
    assert all(gap >= APART_MS for gap in gaps)


@pytest.mark.parametrize(
    ("reason", "said", "kept"),
    [
        ("bounce", False, False),
        ("held", False, False),
        ("typing", True, False),
        ("too soon", True, True),
        ("screen changed", True, True),
        ("two due", True, True),
    ],
)
def test_a_foot_that_meant_the_bench_goes_on_record(reason, said, kept):
    refused = Refused(reason)

    assert (refused.said, refused.kept) == (said, kept)


def test_the_guard_is_a_value():
    guard = PedalGuard()
    after, _ = guard.edge(pressed_at(1000, 1000), PLAIN)

    assert guard == PedalGuard()
    assert replace(after, last=None, accepted=None) == guard


def test_a_press_that_is_overtaken_by_what_it_meant_counts_for_neither():
    guard, _ = PedalGuard().turn("spot 22")
    guard, _ = guard.edge(Edge(down=True, stamp_ms=1000, arrival_ms=1000), WITH_LONG)
    guard, told = guard.turn("spot 23")
    guard, later = guard.edge(
        Edge(down=False, stamp_ms=1300, arrival_ms=1300), WITH_LONG
    )
    _, last = guard.look(1000 + 2 * LONG_MS)

    assert told == (Refused("screen changed"),)
    assert later == last == ()
    assert guard.counts == {"screen changed": 1}


def test_a_press_about_what_stays_is_not_disturbed():
    guard, _ = PedalGuard().turn("spot 22")
    guard, _ = guard.edge(Edge(down=True, stamp_ms=1000, arrival_ms=1000), WITH_LONG)
    guard, told = guard.turn("spot 22")
    guard, _ = guard.edge(Edge(down=False, stamp_ms=1300, arrival_ms=1300), WITH_LONG)

    assert told == ()
    assert presses(guard.look(1400)[1]) == ["short"]
