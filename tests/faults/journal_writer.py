"""Append commands to a journal until killed; print what was acknowledged.

Run as a script with a folder. Each line of input starts one more life: a child
that opens the journal and appends without end. Command n writes 1 to 4 events that
say their own place in it; a line ``first last hash`` follows only after ``append``
returned. The first line of each life is the child's process id.
"""

import os
import sys
from itertools import count
from pathlib import Path

from benchassist.clock import RealClock
from benchassist.domain.events import StageEnded, StoreCreated
from benchassist.journal.codec import CODEC
from benchassist.journal.drafts import Draft
from benchassist.journal.writing import Journal


def live(folder):
    clock = RealClock()
    journal = Journal.open(folder)
    if journal.head.seq == 0:
        store = StoreCreated("rehearsal", "store-1", "EX-bench", "Europe/Berlin")
        journal.append([Draft(clock.now(), "EX-OP1", "tool", store)])
    for n in count(journal.head.seq):
        size = n % 4 + 1
        events = [StageEnded(f"EX-{n}", f"{i} of {size}", n, n) for i in range(size)]
        now = clock.now()
        written = journal.append([Draft(now, "EX-OP1", "pedal", e) for e in events])
        journal.beat(now)
        line = f"{written[0].seq} {written[-1].seq} {journal.head.hash.hex()}\n"
        os.write(1, line.encode())


def main(folder):
    CODEC.encode(StageEnded("EX-0", "warm up", 0, 0))
    for _ in sys.stdin:
        child = os.fork()
        if child == 0:
            live(folder)
        os.write(1, f"{child}\n".encode())
        os.waitpid(child, 0)
        os.write(1, b"dead\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
