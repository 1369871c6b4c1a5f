"""SIGKILL at random moments of a rehearsed day: the program says where it was."""

import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchassist.clock import SimulatedClock, wait_ms
from benchassist.domain.evolve import fold
from benchassist.domain.pedal import meaning
from benchassist.domain.runs import left_ms
from benchassist.domain.state import Bench, Brushing, InRun, Paused, Soaking, Walking
from benchassist.journal.writing import Journal
from benchassist.session import Session

pytestmark = pytest.mark.faults

WRITER = Path(__file__).with_name("rehearsal_writer.py")
FEW, ALL = 12, 200  # kills; all of them with ``-m faults``
ENTRIES = 860  # of the day, about
AWAY_MS = 7000
MEMORY = Path("/dev/shm")  # noqa: S108 - a kill does not reach what the disk holds


@contextmanager
def writer():
    with subprocess.Popen(
        [sys.executable, "-u", WRITER],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        yield process
        process.stdin.close()


@contextmanager
def folders():
    memory = MEMORY if MEMORY.is_dir() else None
    root = Path(tempfile.mkdtemp(prefix="benchassist-", dir=memory))
    yield root
    shutil.rmtree(root)


def live_and_die(process, folder, *, entries, then_ms):
    """Rehearse until so many entries are acknowledged, kill; return them all."""
    process.stdin.write(f"{folder}\n")
    process.stdin.flush()
    acknowledged = []
    child = None
    while (line := process.stdout.readline()) != "dead\n":
        if " " in line:
            acknowledged.append(line.split())
        else:
            child = int(line)
        if child and len(acknowledged) >= entries:
            wait_ms(then_ms)
            os.kill(child, signal.SIGKILL)
            entries = ENTRIES * 10
    return acknowledged


def assert_says_where_it_was(before, after, now):
    """Check that waits go on, and that runs and walks are asked about."""
    assert after.focus == before.focus
    assert after.parts.keys() <= before.parts.keys()
    for code, part in after.parts.items():
        was = before.parts[code]
        assert part.stage == was.stage
        match was.phase:
            case Walking():
                assert isinstance(part.phase, Paused)
                assert part.phase.spot == was.phase.spot
                assert not part.phase.looked
            case Brushing():
                assert isinstance(part.phase, Paused)
            case InRun(run=run):
                found = after.runs[run]
                over = left_ms(found, after.boxes[found.box], now) <= 0
                assert found.interrupted is not None or over
            case Soaking():
                assert part.phase == was.phase
            case _:
                assert part.phase == was.phase
    assert meaning(after, now).line


def assert_reopens(folder, acknowledged):
    with Journal.open(folder) as journal:
        assert journal.opening.witness in ("new", "agrees", "one behind")
        entries = list(journal.entries())
        held = {str(entry.seq): entry.id for entry in entries}

        assert all(held[seq] == name for seq, name in acknowledged)

        if not entries:
            return
        beat = journal.last_beat()
        last = max(
            (at for at in (entries[-1].at, beat) if at), key=lambda at: at.mono_ms
        )
        clock = SimulatedClock(
            datetime.fromtimestamp(last.wall_ms / 1000, UTC), boot=last.boot
        )
        clock.advance(last.mono_ms - clock.now().mono_ms + AWAY_MS)
        before = fold(Bench(), entries)
        session = Session.open(
            journal, clock, kind="rehearsal", station="EX-BENCH", zone="UTC+1"
        )

        assert session.bench.seq > before.seq
        assert_says_where_it_was(before, session.bench, clock.now())


def test_no_acknowledged_event_of_a_day_is_lost_and_it_goes_on_where_it_was(request):
    kills = ALL if "faults" in request.config.getoption("-m") else FEW
    lengths = killed(kills)

    # They died all over the day, not all of them before it began or after its end.
    assert min(lengths) < ENTRIES / 4
    assert max(lengths) > ENTRIES * 3 / 4
    assert len(set(lengths)) > kills / 2


def killed(kills):
    """Kill so many days; return how many entries each had."""
    with writer() as process, folders() as root:
        return _killed(kills, process, root)


def _killed(kills, writer, folders):
    chance = random.Random(20260302)
    lengths = []
    for n in range(kills):
        folder = folders / str(n)
        acknowledged = live_and_die(
            writer,
            folder,
            entries=chance.randrange(ENTRIES),
            then_ms=chance.uniform(0, 4),
        )
        assert_reopens(folder, acknowledged)
        shutil.rmtree(folder)
        lengths.append(len(acknowledged))
    return lengths
