"""SIGKILL at random moments: what was acknowledged is there, whole, in order."""

import random
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from benchassist.journal import Journal
from benchassist.journal.files import WITNESS
from benchassist.journal.slots import read_slots

WRITER = Path(__file__).with_name("journal_writer.py")
KILLS = 200
AT_ONCE = 2
WORKING_S = 0.04  # [s] the kill falls this long after the first acknowledgement
STARTING_S = 0.4  # [s] or, one time in four, this long after the start


def start(folder):
    return subprocess.Popen(
        [sys.executable, WRITER, folder], stdout=subprocess.PIPE, text=True
    )


def kill(writer, chance):
    """Kill a writer at a random moment; return the lines that it acknowledged."""
    first, delay_s = "", chance.uniform(0, STARTING_S)
    if chance.random() < 0.75:
        first, delay_s = writer.stdout.readline(), chance.uniform(0, WORKING_S)
    with pytest.raises(subprocess.TimeoutExpired):
        writer.wait(delay_s)
    writer.kill()
    rest, _ = writer.communicate()
    return [
        line.split()
        for line in (first + rest).splitlines(keepends=True)
        if "\n" in line
    ]


@pytest.mark.faults
def test_no_acknowledged_event_is_lost_in_200_kills(tmp_path):
    chance = random.Random(20260302)  # noqa: S311 - repeatable, no secret
    folders = [tmp_path / str(n) for n in range(AT_ONCE)]
    heads = dict.fromkeys(folders, 0)
    acknowledged, found = 0, Counter()
    for _ in range(KILLS // AT_ONCE):
        writers = {folder: start(folder) for folder in folders}
        for folder, writer in writers.items():
            lines = kill(writer, chance)
            witness = read_slots(folder / WITNESS)
            with Journal.open(folder) as journal:
                entries = list(journal.entries(after=heads[folder]))
                hashes = dict(
                    journal._db.execute(
                        "SELECT seq, hash FROM events WHERE seq > ?", (heads[folder],)
                    ).fetchall()
                )
                found[journal.opening.witness] += 1
                head = journal.head.seq

            seqs = [entry.seq for entry in entries]
            assert seqs == list(range(heads[folder] + 1, head + 1))
            for first, last, digest in lines:
                assert {int(first), int(last)} <= set(seqs)
                assert hashes[int(last)].hex() == digest
            assert (witness["seq"] if witness else 0) <= head
            assert_no_half_command(entries)
            acknowledged += len(lines)
            heads[folder] = head

    for folder in folders:
        with Journal.open(folder) as journal:
            assert journal.walk(1, heads[folder]).faults == ()
            assert journal.walk_index(1, heads[folder]).faults == ()
    assert acknowledged > KILLS / 2
    assert found["replaced"] == 0
    print(f"{KILLS} kills, {acknowledged} acknowledged commands, witness {dict(found)}")


def assert_no_half_command(entries):
    commands = Counter()
    for entry in entries:
        if entry.event.__class__.__name__ == "StageEnded":
            commands[entry.event.part, int(entry.event.stage.split(" of ")[1])] += 1
    assert all(count == size for (_, size), count in commands.items())
