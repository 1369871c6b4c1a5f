"""The plug is pulled at random moments: what was acknowledged is there, whole."""

import logging
import random
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from benchassist.journal.writing import Journal
from tests.faults.disk import CALLS, Disk
from tests.faults.test_journal_killed import assert_no_half_command

pytestmark = pytest.mark.faults

LOG = logging.getLogger(__name__)
WRITER = Path(__file__).with_name("journal_writer.py")
LIVES, COMMANDS = 3, 25  # each life is killed after so many acknowledged commands
CUTS = 200
STRACE = shutil.which("strace")


def traced(folder, log):
    """Let a writer live a few times in ``folder``; return the trace's lines."""
    command = [STRACE, "-f", "-xx", "-s", "1000000", "-e", f"trace={CALLS}", "-o", log]
    with subprocess.Popen(
        [*command, sys.executable, "-u", WRITER, folder],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        for _ in range(LIVES):
            process.stdin.write("live\n")
            process.stdin.flush()
            child, heard = None, 0
            while child is None or heard < COMMANDS:
                line = process.stdout.readline()
                if " " in line:
                    heard += 1
                else:
                    child = int(line)
            subprocess.run(["kill", "-9", str(child)], check=True)
            while process.stdout.readline() != "dead\n":
                pass
        process.stdin.close()
    return log.read_text(encoding="ascii").splitlines()


def assert_nothing_acknowledged_is_lost(folder, said):
    with Journal.open(folder) as journal:
        assert journal.opening.damage == ()
        head = journal.head.seq
        entries = list(journal.entries())
        hashes = dict(journal._db.execute("SELECT seq, hash FROM events").fetchall())
        assert [entry.seq for entry in entries] == list(range(1, head + 1))
        for line in said:
            _, last, digest = line.split()
            assert hashes[int(last)].hex() == digest
        assert journal.walk(1, head).faults == ()
        assert_no_half_command(entries)
        return journal.opening.witness


def test_no_acknowledged_event_is_lost_when_the_power_fails(tmp_path):
    """Two hundred cuts, each with another choice of the sectors that arrived."""
    cut_off(tmp_path, CUTS)


def cut_off(tmp_path, most):
    """Cut the power so often; what was acknowledged stays."""
    chance = random.Random(20260302)
    folder = tmp_path / "bench"
    folder.mkdir()
    lines = traced(folder, tmp_path / "trace")
    disk = Disk(folder)
    moments = [number for number, line in enumerate(lines) if disk.play(line)]
    disk = Disk(folder)
    cuts = set(chance.sample(moments, min(most, len(moments))))
    found, pending = Counter(), 0
    for number, line in enumerate(lines):
        disk.play(line)
        if number not in cuts:
            continue
        pending += any(file.pending for file in disk.files.values())
        after = tmp_path / f"cut-{number}"
        after.mkdir()
        for name, content in disk.after_a_cut(chance).items():
            after.joinpath(name).write_bytes(content)
        said = [each for each in disk.said if " " in each]
        found[assert_nothing_acknowledged_is_lost(after, said)] += 1
        shutil.rmtree(after)

    # Most cuts fell where something was on its way and could be lost.
    assert pending > most / 2
    assert found["replaced"] == 0
    LOG.info("%d cuts, witness %s", most, dict(found))


def test_the_disk_of_these_tests_loses_what_was_not_synced():
    disk = Disk("/x")
    disk.play(f'7 openat(AT_FDCWD, "{hexed("/x/f")}", O_RDWR|O_CREAT, 0644) = 3')
    disk.play(f'7 pwrite64(3, "{hexed("kept")}", 4, 0) = 4')
    disk.play("7 fsync(3) = 0")
    disk.play(f'7 pwrite64(3, "{hexed("new")}", 3, 4) = 3')
    founds = [disk.after_a_cut(random.Random(n)) for n in range(40)]

    assert {found.get("f") for found in founds} == {None, b"kept", b"keptnew"}


def hexed(text):
    return "".join(f"\\x{each:02x}" for each in text.encode())
