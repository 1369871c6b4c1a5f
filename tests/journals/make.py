"""Make a journal of today's format for ``tests/journals``: run once a format.

``python tests/journals/make.py NAME`` writes the folder NAME beside this file: a
backup of a journal, and ``expected.jsonl``, what today's program reads from it. An
old folder's journal is never made again; its expectation changes only where an
upcast gives an old event today's shape.
"""

import sys
import tempfile
from pathlib import Path

from benchassist.clock import Instant
from benchassist.domain import events as ev
from benchassist.journal import Draft, Journal
from benchassist.journal.codec import canonical

START = Instant(1_772_438_400_000, 60, 5_000, "boot-1")  # 2026-03-02 09:00 local
COMMANDS = (
    (ev.StoreCreated("demo", "store-1", "EX-bench", "Europe/Berlin"),),
    (ev.OperatorClaimed("EX-OP1"),),
    (ev.LimitSet("undo_s", 10.0, "s", "our own choice", "too short for gloves ✓"),),
    (ev.LimitSet("dose_notice", 1.5, "", "common practice, no source"),),
    (ev.LampReadingTaken("EX-LM-A", 812.5), ev.PartChosen("EX-K-01")),
    (ev.StageStarted("wash-1", "wash", ("EX-K-01", "EX-K-02")),),
    (
        ev.StageEnded("EX-K-01", "wash-1", 180_000),
        ev.StageEnded("EX-K-02", "wash-1", 1),
    ),
    (ev.SpotTacked("EX-K-01", "coat-1", 0, "EX-LM-A", 10_000, START.plus(10_000)),),
    (ev.CommandRefused("StartRun", "box-occupied", "EX-K-02", (("left_s", 12.25),)),),
    (ev.PartHeld("EX-K-01", "wait for the prescriber"),),
    (ev.PartScrapped("EX-K-02", ""),),
)


def main(folder):
    with tempfile.TemporaryDirectory() as made, Journal.open(Path(made)) as journal:
        for n, events in enumerate(COMMANDS):
            at = START.plus(n * 1000)
            journal.append([Draft(at, "EX-OP1", "hand", event) for event in events])
        journal.backup(folder)
        lines = [f"{canonical(line_of(entry))}\n" for entry in journal.entries()]
    folder.joinpath("expected.jsonl").write_text("".join(lines), encoding="utf-8")


def line_of(entry):
    return {"kind": type(entry.event).__name__, "entry": entry}


if __name__ == "__main__":
    main(Path(__file__).parent / sys.argv[1])
