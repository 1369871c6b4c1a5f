"""One system call of a commit fails, by a tracer: disk full, input/output error.

A child opens the store and claims the station a few times; the tracer lets the n-th call
of one kind fail that touches a file of the store. What the child printed as acknowledged
is there afterwards, and what it was refused was said in a sentence.
"""

import re
import shutil
import subprocess
import sys
from collections import Counter
from functools import cache, partial
from pathlib import Path

from benchassist.journal.files import DATABASE, HEARTBEAT, LOCK, ROLLBACK, WITNESS
from benchassist.journal.writing import Journal
from tests.faults.conftest import can_trace
from tests.faults.row import Found, injected, original

STRACE = shutil.which("strace")
CHILD = Path(__file__).with_name("single_call.py")
FAULTS = {  # kind of call: errors it can meet
    "pwrite64": ("ENOSPC", "EIO"),
    "write": ("ENOSPC", "EIO"),
    "fsync": ("EIO",),
    "fdatasync": ("EIO",),
    "ftruncate": ("EIO",),
    "pread64": ("EIO",),
    "openat": ("EIO", "ENOSPC"),
    "unlink": ("EIO",),
    "rename": ("EIO",),
}


def traced(folder, *inject):
    """Run the child under the tracer; return its words and the trace."""
    log = folder.parent / "trace"
    names = (DATABASE, ROLLBACK, WITNESS, HEARTBEAT, LOCK)
    paths = [word for name in names for word in ("-P", str(folder / name))]
    command = [STRACE, "-f", *paths, "-e", f"trace={','.join(FAULTS)}", "-o", str(log)]
    child = [sys.executable, "-u", str(CHILD), str(folder)]
    done = subprocess.run(
        [*command, *inject, *child], check=False, capture_output=True, text=True
    )
    return done, log.read_text(encoding="utf-8", errors="replace")


@cache
def counted(made):
    """Return how often the child makes each call, without a fault."""
    folder = shutil.copytree(original(), Path(made) / "store")
    _, trace = traced(folder)
    return Counter(re.findall(r"^\d+ +(\w+)\(", trace, re.MULTILINE))


def once(call, error, chance, made, calls=None):
    """Let one call fail, chosen among those that the child makes."""
    there = counted(str(calls or made / "count"))[call]
    if not there:
        return Found("done", "")
    folder = shutil.copytree(original(), made / "store")
    nth = chance.randrange(1, there + 1)
    done, _ = traced(folder, "-e", f"inject={call}:error={error}:when={nth}")
    told = done.stdout.splitlines()
    acknowledged = [line.split() for line in told if line.startswith("ack ")]
    with Journal.open(folder) as journal:
        held = {str(entry.seq): entry.id for entry in journal.entries()}
        lost = sum(held.get(seq) != name for _, seq, name in acknowledged)
        lost += bool(journal.walk(1, journal.head.seq).faults)
    said = next((line for line in told if not line.startswith("ack ")), "")
    if "Traceback" in done.stderr or done.returncode not in (0, 2):
        return Found("SILENT", "", lost=1)
    if said:
        return Found("said at once", said, lost=lost)
    # It met a call that nothing hangs on: everything was written all the same.
    return Found("done" if len(acknowledged) == 3 else "SILENT", lost=lost)


ROWS = (
    {
        f"{error} on one {call} of opening and three entries": partial(
            injected,
            f"{error} on one {call} of opening and three entries",
            partial(once, call, error),
        )
        for call, errors in FAULTS.items()
        for error in errors
    }
    if can_trace()
    else {}
)
