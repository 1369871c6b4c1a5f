"""Rehearse the shipped day until killed; print what was acknowledged.

Run as a script. Each line of input is a folder and starts one more life: a child
that rehearses the day into it as fast as it goes. A line ``seq id`` follows each
entry only after the session told of it. The first line of each life is the child's
process id, the last is ``dead``.
"""

import os
import sys
from pathlib import Path

from benchassist.physics import light_check
from benchassist.rehearsal import load_script, run_script


def tell(outcome):
    for entry in outcome.entries:
        os.write(1, f"{entry.seq} {entry.id}\n".encode())


def main():
    script = load_script("day")
    light_check.wavelength_grid()  # numpy is here before the first life
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            run_script(script, folder=Path(line.strip()), listener=tell)
            os._exit(0)
        os.write(1, f"{child}\n".encode())
        os.waitpid(child, 0)
        os.write(1, b"dead\n")


if __name__ == "__main__":
    main()
