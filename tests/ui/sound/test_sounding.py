"""A whole window that is heard: a speaker that notes down what it would have played."""

from dataclasses import replace
from functools import partial

import pytest
from PySide6.QtCore import QObject, Signal

from benchassist import assets
from benchassist.clock import AcceleratedClock, SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.outcome import Refusal
from benchassist.domain.queue import need
from benchassist.rehearsal import Player, parse_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.session import Outcome
from benchassist.ui.actions import SetUp, TrySounds
from benchassist.ui.desk import Desk
from benchassist.ui.settings import Settings
from benchassist.ui.sound.sounding import CHECK, OFF, TRIAL, Sounding
from benchassist.ui.window import Window

WASHING = """
start 2026-03-02 09:00:00 +01:00
library practice.toml
operator OP-1
take-in EX-41 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-B box=EX-BX-1 \
vessel=EX-GV-01 variant.stain_passes=0
+5s press
"""
STOPPED = (
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


class FakeSpeaker(QObject):
    """Plays nothing and remembers everything."""

    asked = Signal()

    def __init__(self, *, on=True):
        super().__init__()
        self.on = on
        self.names = ("a fake", "a voice") if on else ("", "")
        self.played, self.said = [], []

    def look(self, now):
        pass

    def play(self, sound):
        self.played.append(sound)

    def say(self, line):
        self.said.append(line)


class Room:
    """A window on a bench with one clock for bench and hands, and its speaker."""

    def __init__(self, folder, qtbot, text, *, on=True, settings, fast=1.0):
        script = parse_script(
            text, name="test", beside=partial(assets.read_text, "demo_cases")
        )
        self.clock = SimulatedClock(script.start)
        self.player = Player(script, MemoryJournal, clock=self.clock)
        for _ in self.player.moments():
            pass
        self.session = self.player.session
        desk = Desk(folder, folder / "settings.json", lambda _action: str)
        if fast > 1:
            self.session._clock = AcceleratedClock(self.clock, fast)
        self.window = Window(self.session, self.clock, settings, desk)
        self.window.resize(1366, 768)
        qtbot.addWidget(self.window)
        self.window.show()
        self.speaker = FakeSpeaker(on=on)
        self.sounding = Sounding(self.window, self.session, self.speaker)

    def listen(self, seconds):
        for _ in range(round(seconds * 10)):
            self.clock.advance(100)
            self.window.ticker.look()

    def until_due(self):
        part = self.session.bench.parts["EX-41"]
        ms = need(self.session.bench, part, self.session.now()).due_ms
        self.clock.advance(ms - 1000)
        self.listen(1.2)

    def key(self, name):
        self.window.pedal.key_down.emit(name)
        self.window.pedal.key_up.emit(name)

    def status(self):
        return self.window.bench._view.alarms


@pytest.fixture
def room(tmp_path, qtbot, _fonts):
    def open_(text=WASHING, *, on=True, fast=1.0, **changes):
        settings = replace(Settings(mm_per_pixel=0.253), **changes)
        return Room(tmp_path, qtbot, text, on=on, settings=settings, fast=fast)

    return open_


def test_a_due_bath_is_played_said_and_shown(room):
    bench = room()
    bench.until_due()

    assert bench.speaker.played == ["due"]
    assert bench.speaker.said == ["E X 4 1. Wash over. Take out."]
    assert "EX-41: Wash over. Take out. (K: quiet)" in bench.status()


def test_k_makes_a_due_bath_quiet_and_the_line_goes(room):
    bench = room()
    bench.until_due()
    bench.key("K")
    bench.listen(31)

    assert bench.speaker.played == ["due"]
    assert not any("quiet" in item for item in bench.status())


def test_another_key_leaves_a_due_bath_as_it_is(room):
    bench = room()
    bench.until_due()
    bench.key("Z")
    bench.listen(15)

    assert bench.speaker.played == ["due", "due"]


def test_any_hand_key_ends_a_stop_and_the_foot_brings_it_back(room):
    bench = room(STOPPED)
    bench.listen(3)
    before = list(bench.speaker.played)
    bench.key("Z")
    bench.listen(3)
    ended = len(bench.speaker.played)
    bench.session.handle(cm.PressPedal(long=False), "pedal")
    bench.listen(2)

    assert before == ["stop"] * 3
    assert ended == 3
    assert bench.speaker.played[ended:] == ["stop", "stop"]


def test_a_record_that_cannot_be_written_is_a_stop(room):
    bench = room()
    bench.listen(1)
    bench.session._tell(Outcome(refusal=Refusal("journal", "The disk is full.")))
    bench.listen(3)

    assert bench.speaker.played == ["stop"] * 3
    assert bench.speaker.said[0] == "Stop. Nothing is recorded."
    assert any("Nothing is recorded" in item for item in bench.status())


@pytest.mark.parametrize("on", [True, False], ids=("switched off", "no device"))
def test_sound_off_stands_in_the_status_bar_as_long_as_it_is_off(room, on):
    bench = room(on=on, sound=not on)
    bench.listen(120)

    assert OFF in bench.status()


def test_nothing_is_said_of_sound_that_is_on(room):
    bench = room()
    bench.listen(1)

    assert OFF not in bench.status()


def test_switched_off_nothing_is_played_and_the_eye_is_told(room):
    bench = room(sound=False)
    bench.until_due()

    assert bench.speaker.played == []
    assert bench.speaker.said == []
    assert any("Take out" in item for item in bench.status())


def test_without_voice_the_sounds_stay(room):
    bench = room(voice=False)
    bench.until_due()

    assert bench.speaker.played == ["due"]
    assert bench.speaker.said == []


def test_a_fast_bench_plays_nothing(room):
    bench = room(fast=60.0)
    bench.listen(60)

    assert bench.speaker.played == []
    assert bench.speaker.said == []


def test_the_volume_is_heard_once_at_opening(room):
    bench = room()
    bench.listen(0.2)
    bench.speaker.asked.emit()
    bench.listen(0.3)
    told = bench.status()
    bench.listen(10)
    bench.speaker.asked.emit()

    assert bench.speaker.played == ["due"]
    assert CHECK in told
    assert CHECK not in bench.status()


def test_a_trial_plays_everything_once_and_says_a_line(room):
    bench = room()
    bench.window.bench.chosen.emit(TrySounds())
    bench.listen(10)

    assert bench.speaker.played == list(TRIAL)
    assert bench.speaker.said == ["E X 1. This is a trial."]


def test_the_set_up_page_switches_sound_voice_and_motion_and_keeps_them(room, tmp_path):
    bench = room()
    pages = bench.window.pages
    bench.window.bench.chosen.emit(SetUp("sound", value=False))
    bench.window.bench.chosen.emit(SetUp("voice", value=False))
    bench.window.bench.chosen.emit(SetUp("reduced_motion", value=True))

    kept = (tmp_path / "settings.json").read_text()
    assert (pages.settings.sound, pages.settings.voice) == (False, False)
    assert pages.settings.reduced_motion
    assert '"sound": false' in kept


def test_reduced_motion_moves_bars_in_quarters(room):
    bench = room(reduced_motion=True)
    fills = set()
    for _ in range(60):
        bench.listen(2)
        fills.add(bench.window.bench._view.band.fill)

    assert fills <= {0.0, 0.25, 0.5, 0.75, 1.0}
    assert len(fills) > 2
