"""SIGKILL at random moments: what was acknowledged is there, whole, in order."""

import logging
import os
import random
import signal
import subprocess
import sys
from collections import Counter
from contextlib import contextmanager
from pathlib import Path

import pytest

from benchassist.clock import wait_ms
from benchassist.journal.files import WITNESS
from benchassist.journal.slots import read_slots
from benchassist.journal.writing import Journal

WRITER = Path(__file__).with_name("journal_writer.py")
LOG = logging.getLogger(__name__)
KILLS = 200
MOST_COMMANDS = 6  # acknowledged before the kill
COMMIT_MS = 10.0  # [ms] then the kill falls within a commit or two
OPENING_MS = 80.0  # [ms] or within the opening


@contextmanager
def writer(folder):
    with subprocess.Popen(
        [sys.executable, "-u", WRITER, folder],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        yield process
        process.stdin.close()


def live_and_die(process, chance):
    """Start one life and kill it; return what it acknowledged.

    One life in four dies at some moment from its start, so often while opening;
    the others at some moment after their first few commands.
    """
    process.stdin.write("live\n")
    process.stdin.flush()
    after = 0 if chance.random() < 0.25 else chance.randrange(1, MOST_COMMANDS)
    lines, child = [], None
    while child is None or len(lines) < after:
        line = process.stdout.readline()
        # The child may be quicker than its parent's word of it.
        if " " in line:
            lines.append(line)
        else:
            child = int(line)
    wait_ms(chance.uniform(0, COMMIT_MS if after else OPENING_MS))
    os.kill(child, signal.SIGKILL)
    while (line := process.stdout.readline()) != "dead\n":
        lines.append(line)
    return [line.split() for line in lines]


def assert_no_half_command(entries):
    commands = Counter(
        (entry.event.part, int(entry.event.stage.split(" of ")[1]))
        for entry in entries
        if entry.seq > 1
    )
    assert all(count == size for (_, size), count in commands.items())


@pytest.mark.faults
def test_no_acknowledged_event_is_lost_in_200_kills(tmp_path):
    killed(tmp_path, KILLS)


def killed(tmp_path, kills):
    """Kill so many lives in a folder; what was acknowledged stays."""
    chance = random.Random(20260302)
    head, acknowledged, found = 0, 0, Counter()
    with writer(tmp_path) as process:
        for _ in range(kills):
            lines = live_and_die(process, chance)
            witness = read_slots(tmp_path / WITNESS)
            with Journal.open(tmp_path) as journal:
                entries = list(journal.entries(after=head))
                hashes = dict(
                    journal._db.execute(
                        "SELECT seq, hash FROM events WHERE seq > ?", (head,)
                    ).fetchall()
                )
                found[journal.opening.witness] += 1
                before, head = head, journal.head.seq

            seqs = [entry.seq for entry in entries]
            assert seqs == list(range(before + 1, head + 1))
            for first, last, digest in lines:
                assert {int(first), int(last)} <= set(seqs)
                assert hashes[int(last)].hex() == digest
            assert (witness["seq"] if witness else 0) <= head
            assert_no_half_command(entries)
            acknowledged += len(lines)

    with Journal.open(tmp_path) as journal:
        assert journal.walk(1, head).faults == ()
        assert journal.walk_index(1, head).faults == ()
    assert acknowledged > kills
    assert found["replaced"] == 0
    LOG.info("%d kills, %d commands, witness %s", kills, acknowledged, dict(found))
