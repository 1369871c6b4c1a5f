"""The schedule of what is heard: real benches, looked at ten times a second."""

from functools import partial
from itertools import pairwise

import pytest

from benchassist import assets
from benchassist.clock import SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.limits import limit
from benchassist.domain.queue import need
from benchassist.domain.state import Paused, Walking
from benchassist.rehearsal import Player, load_script, parse_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.present import heard
from benchassist.ui.present.heard import Memory, hear, hush, stop_call, wake

WASHING = """
start 2026-03-02 09:00:00 +01:00
library practice.toml
operator OP-1
take-in EX-41 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp={lamp} box=EX-BX-1 \
vessel=EX-GV-01 variant.stain_passes=0
+5s press
"""
TO_THE_COAT = (
    WASHING
    + """
+120s press
+10s press
+120s press
wait EX-41
+2s press
confirm-load EX-41 EX-BX-1 2200
+3s press
wait EX-41
tell-run-end R-1 completed
+2s press long
+2s press long
+2s press long
+2s press long
wait EX-41
+2s press
+2s press long
"""
)
WALKING = TO_THE_COAT + "open-lamp-session EX-LM-A\n+2s press\n+15s press\n"
LOOK_MS = 100
# Written down in the rules of this bench, and so in its tests a second time.
DUE_S, LATE_S, STOP_S = 15, 5, 1


class Ear:
    """Listens to a bench; what it heard are (seconds, sound or line)."""

    def __init__(self, text):
        script = parse_script(
            text, name="test", beside=partial(assets.read_text, "demo_cases")
        )
        self._clock = SimulatedClock(script.start)
        self.player = Player(script, MemoryJournal, clock=self._clock)
        for _ in self.player.moments():
            pass
        self.memory = Memory()
        self.sounds, self.lines = [], []
        self.last = None
        self.s = 0.0

    @property
    def bench(self):
        return self.player.session.bench

    @property
    def now(self):
        return self._clock.now()

    @property
    def part(self):
        return self.bench.parts["EX-41"]

    def look(self):
        stop = stop_call(self.bench, self.now)
        self.memory, self.last = hear(self.memory, self.bench, self.now, stop)
        if self.last.sound is not None:
            self.sounds.append((round(self.s, 1), self.last.sound))
        self.lines += self.last.lines

    def listen(self, seconds):
        for _ in range(round(seconds * 10)):
            self._clock.advance(LOOK_MS)
            self.s += LOOK_MS / 1000
            self.player.session.tick()
            self.look()

    def until(self, ms):
        """Listen until just before something that is ``ms`` ahead."""
        self.listen(ms / 1000 - 0.1)

    def do(self, command, channel="hand"):
        outcome = self.player.session.handle(command, channel)
        assert outcome.refusal is None, outcome.refusal
        return outcome

    def hush(self):
        self.memory = hush(self.memory, self.last.loud, self.now)

    def at(self, sound):
        return [s for s, heard_ in self.sounds if heard_ == sound]


@pytest.fixture
def washing():
    return Ear(WASHING.format(lamp="EX-LM-A"))


@pytest.fixture
def walking():
    return Ear(WALKING.format(lamp="EX-LM-A"))


@pytest.fixture
def stopped():
    return Ear(TO_THE_COAT.format(lamp="EX-LM-B"))


def gaps(times):
    return [round(b - a, 1) for a, b in pairwise(times)]


# --- a bath -----------------------------------------------------------------------


def test_a_bath_is_silent_until_it_is_due_and_then_heard_every_15_s(washing):
    washing.until(need(washing.bench, washing.part, washing.now).due_ms)
    early = list(washing.sounds)
    washing.listen(40)

    assert early == []
    assert washing.at("due")[0] == pytest.approx(washing.s - 40, abs=0.2)
    assert gaps(washing.at("due")) == [DUE_S, DUE_S]


def test_a_line_is_said_and_said_once_more_code_first(washing):
    washing.until(need(washing.bench, washing.part, washing.now).due_ms)
    washing.listen(60)

    assert washing.lines == ["E X 4 1. Wash over. Take out."] * 2


def test_a_quieted_bath_stays_quiet_until_it_is_late(washing):
    washing.until(need(washing.bench, washing.part, washing.now).due_ms)
    washing.listen(1)
    washing.hush()
    washing.listen(60)
    quiet = list(washing.sounds)
    hands_ms = limit(washing.bench, "hands_ready_s") * 1000
    washing.until(need(washing.bench, washing.part, washing.now).harm_ms - hands_ms)
    before = washing.at("late")
    washing.listen(20)

    assert [sound for _, sound in quiet] == ["due"]
    assert before == []
    assert gaps(washing.at("late")) == [LATE_S] * 3
    assert washing.lines[-1] == "E X 4 1. Late. Take out now."


def test_what_is_late_can_be_rested_for_two_minutes_and_no_longer(washing):
    washing.listen(need(washing.bench, washing.part, washing.now).harm_ms / 1000)
    washing.hush()
    rested = washing.s
    washing.listen(130)

    after = [s for s in washing.at("late") if s > rested + 1]
    assert after[0] == pytest.approx(rested + 120, abs=0.2)


def test_a_bath_that_is_emptied_is_heard_no_more(washing):
    washing.listen(need(washing.bench, washing.part, washing.now).due_ms / 1000 + 1)
    washing.do(cm.TakeOut("EX-41"))
    heard_ = len(washing.sounds)
    washing.listen(30)

    assert len(washing.sounds) == heard_


def test_a_bath_that_a_foot_quiets_is_silent_for_a_while_and_then_heard_again(washing):
    washing.until(need(washing.bench, washing.part, washing.now).due_ms)
    washing.listen(1)
    washing.do(cm.PressPedal(long=True), "pedal")
    rested = washing.s
    washing.listen(limit(washing.bench, "quiet_s") - 0.5)
    loud_while_quiet = washing.last.loud
    in_between = [s for s in washing.at("due") if s > rested]
    washing.listen(20)

    assert (in_between, loud_while_quiet) == ([], ())
    first = next(s for s in washing.at("due") if s > rested)
    assert first == pytest.approx(rested + limit(washing.bench, "quiet_s"), abs=0.2)


def test_what_a_foot_quieted_is_heard_all_the_same_once_it_is_late(washing):
    hands_ms = limit(washing.bench, "hands_ready_s") * 1000
    late_ms = need(washing.bench, washing.part, washing.now).harm_ms - hands_ms
    washing.until(late_ms - 5000)
    washing.do(cm.PressPedal(long=True), "pedal")
    quieted = washing.s
    washing.listen(10)

    assert [s for s in washing.at("due") if s > quieted] == []
    assert washing.at("late")[0] == pytest.approx(quieted + 5, abs=0.3)


def test_a_box_that_ended_can_be_quieted_and_nothing_is_credited():
    ear = Ear(TO_THE_COAT.partition("tell-run-end")[0].format(lamp="EX-LM-A"))
    ear.listen(1)
    before = ear.part.exposures
    ear.do(cm.PressPedal(long=True), "pedal")
    heard_ = len(ear.sounds)
    ear.listen(60)

    assert len(ear.sounds) == heard_
    assert ear.part.exposures == before == ()


def test_a_hand_over_is_said_once_and_after_it_the_bench_sounds_as_ever(washing):
    washing.listen(1)
    washing.do(cm.HandOver("OP-2"))
    washing.listen(5)
    spoken = list(washing.lines)
    washing.do(cm.ReadHandOver())
    washing.listen(5)

    assert spoken == ["E X 4 1. Wash. 4 minutes."]
    assert washing.lines == spoken
    washing.do(cm.HandOver("OP-1"))
    washing.listen(1)
    assert len(washing.lines) == 2


def test_what_dries_is_told_twice_because_waiting_harms_nobody():
    ear = Ear(WASHING.format(lamp="EX-LM-A") + "+120s press\n+10s press\n+120s press\n")
    ear.until(need(ear.bench, ear.part, ear.now).due_ms)
    ear.listen(120)

    assert gaps(ear.at("due")) == [DUE_S]
    assert ear.last.loud == ()


# --- a box ------------------------------------------------------------------------


def test_a_box_that_ended_is_due_and_never_late():
    text = TO_THE_COAT.partition("tell-run-end")[0]
    ear = Ear(text.format(lamp="EX-LM-A"))
    ear.listen(limit(ear.bench, "late_box_s") + 60)

    assert ear.at("late") == []
    assert set(gaps(ear.at("due"))) == {DUE_S}
    assert ear.lines[0] == "E X 4 1. Box run over. Look."


# --- a walk -----------------------------------------------------------------------


def test_a_walk_ticks_each_second_higher_for_the_last_three_then_next(walking):
    phase = walking.part.phase
    whole_s = phase.light_ms // 1000
    spots = phase.last - phase.first
    walking.look()
    walking.listen((phase.light_ms + phase.move_ms) / 1000 * spots + 1)

    beats = [sound for _, sound in walking.sounds]
    one = ["tick"] * (whole_s - 3) + ["last-tick"] * 3 + ["next"]
    assert isinstance(phase, Walking)
    assert beats == one * spots
    within = walking.sounds[:whole_s]
    assert gaps([s for s, _ in within]) == [1.0] * (whole_s - 1)


def test_the_end_of_a_segment_is_said(walking):
    phase = walking.part.phase
    spots = phase.last - phase.first
    walking.listen((phase.light_ms + phase.move_ms) / 1000 * spots + 1)

    assert walking.lines == ["E X 4 1. Segment done."]


def test_a_walk_that_the_foot_pauses_falls_silent_without_next(walking):
    walking.listen(4)
    walking.do(cm.BreakSpot("EX-41"), "pedal")
    heard_ = len(walking.sounds)
    walking.listen(3)

    assert isinstance(walking.part.phase, Paused)
    assert len(walking.sounds) == heard_
    assert walking.at("next") == []


def test_a_wet_coat_past_its_limit_is_late_every_5_s(walking):
    walking.listen(4)
    walking.do(cm.BreakSpot("EX-41"), "pedal")
    walking.listen(need(walking.bench, walking.part, walking.now).harm_ms / 1000 + 16)

    assert gaps(walking.at("late")) == [LATE_S] * 3
    assert walking.lines[0] == "E X 4 1. Wet limit. Look now."


# --- a stop -----------------------------------------------------------------------


def test_a_stop_sounds_each_second_until_a_hand_acts(stopped):
    stopped.listen(10)
    stopped.hush()
    heard_ = len(stopped.sounds)
    stopped.listen(10)

    assert set(gaps(stopped.at("stop"))) == {STOP_S}
    assert stopped.lines == ["E X 4 1. Stop. Do not brush."] * 2
    assert len(stopped.sounds) == heard_


def test_a_foot_that_tries_again_is_stopped_aloud_again(stopped):
    stopped.listen(2)
    stopped.hush()
    stopped.listen(2)
    before = len(stopped.sounds)
    stopped.memory = wake(stopped.memory, stop_call(stopped.bench, stopped.now))
    stopped.listen(2)

    assert len(stopped.sounds) == before + 2


def test_another_lamp_ends_the_stop(stopped):
    stopped.listen(2)
    stopped.do(cm.ChooseEquipment("EX-41", "lamp", "EX-LM-A"))
    heard_ = len(stopped.sounds)
    stopped.listen(5)

    assert len(stopped.sounds) == heard_


def test_a_gate_that_opens_by_itself_stops_nobody_aloud():
    text = WASHING.format(lamp="EX-LM-A") + "+120s press\n+10s press\n+120s press\n"
    ear = Ear(text)
    ear.listen(60)

    assert ear.at("stop") == []


# --- several ----------------------------------------------------------------------


def test_no_two_alarms_begin_within_a_second_and_the_gravest_goes_first():
    late = heard.Call("late", "EX-1", "wash", 0, "Late. Take out now.")
    due = heard.Call("due", "EX-2", "wash", 0, "Wash over. Take out.")
    memory = Memory()

    first = heard._due_kind(memory, (due, late), 10_000)
    memory = Memory(told={late: 1}, last_ms={"late": 10_000})

    assert first == "late"
    assert heard._due_kind(memory, (due, late), 10_900) is None
    assert heard._due_kind(memory, (due, late), 11_000) == "due"


def test_the_eye_is_told_the_gravest_and_how_many_more():
    late = heard.Call("late", "EX-1", "wash", 0, "Late. Take out now.")
    due = heard.Call("due", "EX-2", "wash", 0, "Wash over. Take out.")

    assert heard.notice(()) == ""
    assert heard.notice((due,)) == "EX-2: Wash over. Take out."
    assert heard.notice((due, late)) == "EX-1 and 1 more: Late. Take out now."


# --- words ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("K-12", "K 1 2. Dry. Go on."),
        ("ex_41", "E X 4 1. Dry. Go on."),
        ("EX-RC-1005", "C 1 0 0 5. Dry. Go on."),
        ("'; rm", "R M. Dry. Go on."),
        ("", "Dry. Go on."),
    ],
)
def test_a_code_is_spelt_and_nothing_typed_is_said_as_a_word(code, said):
    assert heard.line(code, "Dry. Go on.") == said


@pytest.mark.parametrize("name", shipped_scripts())
def test_no_line_of_any_rehearsal_is_longer_than_eight_words_or_names_anybody(name):
    player = Player(load_script(name), partial(_same, MemoryJournal()))
    memory, lines = Memory(), set()
    for _ in player.moments():
        session = player.session
        memory, told = hear(memory, session.bench, session.now())
        lines.update(told.lines)
        codes = {part.code for part in session.bench.parts.values()}
        assert all(call.part in codes for call in told.loud)

    for said in lines:
        assert len(said.split()) <= heard.MOST_WORDS
        assert not any(word in said.lower() for word in ("safe", "cured", "certified"))


def _same(book):
    return book
