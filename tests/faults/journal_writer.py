"""Append commands to a journal until killed; print what was acknowledged.

Run as a script with the folder. Command n writes 1 to 4 events that say their own
place in it; a line ``first last hash`` follows only after ``append`` returned.
"""

import os
import sys
from itertools import count
from pathlib import Path

from benchassist.clock import RealClock
from benchassist.domain.events import StageEnded, StoreCreated
from benchassist.journal import Draft, Journal


def main(folder):
    clock = RealClock()
    journal = Journal.open(folder)
    if journal.head.seq == 0:
        store = StoreCreated("rehearsal", "store-1", "EX-bench", "Europe/Berlin")
        journal.append([Draft(clock.now(), "EX-OP1", "tool", store)])
    for n in count(journal.head.seq):
        size = n % 4 + 1
        events = [StageEnded(f"EX-{n}", f"{i} of {size}", n) for i in range(size)]
        now = clock.now()
        written = journal.append([Draft(now, "EX-OP1", "pedal", e) for e in events])
        journal.beat(now)
        line = f"{written[0].seq} {written[-1].seq} {journal.head.hash.hex()}\n"
        os.write(1, line.encode())


if __name__ == "__main__":
    main(Path(sys.argv[1]))
