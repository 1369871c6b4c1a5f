"""Kills and power cuts by the hundred: what was acknowledged is there, whole."""

import tempfile
from collections import Counter
from pathlib import Path

from tests.faults import test_journal_killed, test_kill_rehearsal
from tests.faults.conftest import can_trace
from tests.faults.row import Row

KILLS, DAYS, CUTS = 500, 100, 200


def killed(times):
    """Kill a process that commits without end; every loss raises."""
    with tempfile.TemporaryDirectory() as made:
        test_journal_killed.killed(Path(made), times)
    return Row("a process that commits, killed", times, Counter({"all there": times}))


def killed_at_work(times):
    """Kill a rehearsed day at some moment; it says where it was."""
    test_kill_rehearsal.killed(times)
    return Row("a rehearsed day, killed", times, Counter({"all there": times}))


def cut_off(times):
    """Pull the plug: some sectors arrived and some did not."""
    from tests.faults import test_power_cut  # noqa: PLC0415 - where processes are traced

    with tempfile.TemporaryDirectory() as made:
        test_power_cut.cut_off(Path(made), times)
    return Row("the plug pulled while it commits", times, Counter({"all there": times}))


ROWS = {
    "a process that commits, killed": (killed, KILLS),
    "a rehearsed day, killed": (killed_at_work, DAYS),
    **({"the plug pulled": (cut_off, CUTS)} if can_trace() else {}),
}
