"""The real program on a real (virtual) screen, its foot a real key of the X server."""

import importlib.util
import random
from functools import partial
from pathlib import Path

import pytest

from benchassist import assets
from benchassist.domain import events as ev
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player, parse_script

_SPEC = importlib.util.spec_from_file_location(
    "live", Path(__file__).with_name("live.py")
)
live = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(live)

pytestmark = pytest.mark.window

PRESSES = 100
TRIES = 10  # until the bench is up
AT_THE_LIGHT_CHECK = Path(__file__).with_name("at_the_light_check.txt")


@pytest.fixture
def stopped_bench(tmp_path):
    """Make a journal whose part stands before a lamp that will not do."""
    script = parse_script(
        AT_THE_LIGHT_CHECK.read_text(encoding="utf-8"),
        name="live",
        beside=partial(assets.read_text, "demo_cases"),
    )
    player = Player(script, partial(Journal.open, tmp_path / "store"))
    for _ in player.moments():
        pass
    player.close()
    return tmp_path / "store"


def bouncing_press(chance):
    """Return xdotool words of one press with 0 to 3 bounces at both ends.

    Bounces of 1 to 15 ms, held 70 to 220 ms: common practice, no source.
    """
    words = []
    for last in ("keydown", "keyup"):
        first = "keyup" if last == "keydown" else "keydown"
        for _ in range(chance.randint(0, 3)):
            words += [last, "space", "sleep", f"0.0{chance.randint(1, 15):02d}"]
            words += [first, "space", "sleep", f"0.0{chance.randint(1, 15):02d}"]
        words += [last, "space"]
        if last == "keydown":
            words += ["sleep", f"0.{chance.randint(70, 220):03d}"]
    return words


@pytest.mark.slow
def test_a_hundred_bouncing_presses_are_a_hundred_presses(stopped_bench, tmp_path):
    chance = random.Random(20261125)
    before = _attempts(stopped_bench)

    with live.Screen() as screen:
        program = screen.start("--data", str(stopped_bench), config=tmp_path)
        screen.do("sleep", "2")
        for _ in range(PRESSES):
            screen.do(*bouncing_press(chance), "sleep", f"0.{chance.randint(750, 900)}")
        screen.do("sleep", "0.5", "key", "alt+F4")
        told = program.communicate(timeout=120)[1]

    assert _attempts(stopped_bench) - before == PRESSES
    assert _starts(stopped_bench) == 0
    assert "Traceback" not in told


def test_a_killed_program_reopens_where_it_was(stopped_bench, tmp_path):
    with live.Screen() as screen:
        program = screen.start("--data", str(stopped_bench), config=tmp_path)
        screen.do("sleep", "2", "key", "space", "sleep", "1")
        program.kill()
        program.communicate(timeout=120)
        again = screen.start("--data", str(stopped_bench), config=tmp_path)
        screen.do("sleep", "2", "key", "space", "sleep", "1", "key", "alt+F4")
        told = again.communicate(timeout=120)[1]

    assert _attempts(stopped_bench) == 2
    assert "Traceback" not in told


def test_a_field_is_typed_in_where_nobody_manages_windows(stopped_bench, tmp_path):
    with live.Screen(managed=False) as screen:
        program = screen.start("--data", str(stopped_bench), config=tmp_path)
        for _ in range(TRIES):
            screen.do("sleep", "1", "key", "Escape", "sleep", "1", "key", "o")
            screen.do("sleep", "1", "type", "--delay", "60", "OP-7")
            screen.do("sleep", "1", "key", "Return", "sleep", "1")
            if "OP-7" in _operators(stopped_bench):
                break
        program.terminate()
        told = program.communicate(timeout=120)[1]

    assert "OP-7" in _operators(stopped_bench)
    assert "Traceback" not in told


def _operators(store):
    with ReadOnlyJournal.open(store) as journal:
        return {
            entry.event.who
            for entry in journal.entries()
            if isinstance(entry.event, ev.OperatorClaimed)
        }


def _attempts(store):
    with ReadOnlyJournal.open(store) as journal:
        return sum(
            isinstance(entry.event, ev.CommandRefused)
            and entry.event.code == "light-check"
            for entry in journal.entries()
        )


def _starts(store):
    with ReadOnlyJournal.open(store) as journal:
        return sum(
            isinstance(entry.event, ev.BrushWetted) for entry in journal.entries()
        )
