"""A row of the table of faults, and the store that the faults are tried on."""

import random
import re
import tempfile
from collections import Counter
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from subprocess import DEVNULL, run

from benchassist.clock import RealClock
from benchassist.journal.writing import Journal
from benchassist.rehearsal import run_script
from benchassist.session import Session

SCRIPT = "o4_phone_call"
SEED = 20260302
# Nothing is to be said where nothing was changed, or what was asked was simply done.
QUIET = ("unchanged", "done")


@dataclass
class Row:
    """What came of one fault, injected so often."""

    name: str
    times: int = 0
    outcomes: Counter = field(default_factory=Counter)
    sentence: str = ""
    lost: int = 0  # acknowledged entries that are gone or changed without a word
    credited: int = 0  # flashes or seconds in a ledger that the original has not
    altered: int = 0  # changed rows that were exported as proven

    @property
    def bad(self):
        """Return whether the fault did harm, or nobody said it."""
        silent = self.outcomes["SILENT"]
        return bool(silent or self.lost or self.credited or self.altered)


@dataclass
class Found:
    """How one injection came out, and what was said of it."""

    how: str
    sentence: str = ""
    lost: int = 0
    credited: int = 0
    altered: int = 0


Once = Callable[[random.Random, Path], Found]


def injected(name, once: Once, times):
    """Inject a fault so often, each time into a folder of its own; return its row."""
    row = Row(name, times)
    for n in range(times):
        with tempfile.TemporaryDirectory() as made:
            found = once(random.Random(f"{SEED} {name} {n}"), Path(made))
        said = found.sentence or found.how in QUIET
        row.outcomes[found.how if said else "SILENT"] += 1
        row.sentence = row.sentence or found.sentence
        row.lost += found.lost
        row.credited += found.credited
        row.altered += found.altered
    return row


@cache
def original():
    """Make the store that the faults are tried on; return its folder."""
    folder = Path(tempfile.mkdtemp(prefix="benchassist-faults-")) / "store"
    run_script(SCRIPT, folder=folder)
    session = Session(Journal.open(folder), RealClock())
    session.journal.beat(session.journal.last_at)
    session.close()
    return folder


def cut_before(script, upto):
    """Return the lines of a script before one, with what the last is refused by."""
    follows = script.lines[upto : upto + 1]
    refused = any(line.words[:1] == ("refused",) for line in follows)
    return script.lines[: upto + refused]


@contextmanager
def small_disk(folder, megabytes=2):
    """Give a file system of its own in ``folder``, or None where none is mounted."""
    folder.mkdir()
    size = f"size={megabytes}m"
    mount = ["mount", "-t", "tmpfs", "-o", size, "tmpfs", str(folder)]
    try:
        mounted = run(mount, check=False, stderr=DEVNULL).returncode == 0
    except OSError:
        mounted = False
    try:
        yield folder if mounted else None
    finally:
        if mounted:
            pull_out(folder)


def pull_out(folder):
    """Take a file system away, whoever still uses it."""
    run(["umount", "-l", str(folder)], check=False, stderr=DEVNULL)


@cache
def can_mount():
    """Return whether this process may mount; in a container it seldom may."""
    with tempfile.TemporaryDirectory() as made, small_disk(Path(made) / "disk") as disk:
        return disk is not None


def plain(sentence):
    """Return a sentence without the folder that only this run had."""
    return re.sub(r"/\S+/(copy|store)\b", "FOLDER", sentence)


def printed(rows):
    """Return the table as text."""
    lines = [
        "fault | times | came out | lost | credited | exported as proven | sentence"
    ]
    for row in rows:
        outs = ", ".join(
            f"{how} {count}" for how, count in sorted(row.outcomes.items())
        )
        lines.append(
            f"{row.name} | {row.times} | {outs} | {row.lost} | {row.credited} |"
            f" {row.altered} | {plain(row.sentence)[:130]}"
        )
    return "\n".join(lines)
