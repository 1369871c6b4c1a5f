"""Every fault, injected many times, and what came of it: one row a fault.

``python -m tests.faults.table [TIMES [FLIPS]]`` prints the table: how often a fault was
injected, how it came out, what was lost, credited unseen or exported altered as proven,
and one of the sentences that were said. Exit code 1 where a row is bad.

A row is a function that injects its fault so often: ``at_rest`` has those of files while
nobody works, ``at_work`` those of disk and folder, ``machine`` those of clocks and power,
``calls`` single system calls, ``outside`` what comes from outside and goes there,
``screen`` what needs a window, ``deaths`` kills and power cuts by the hundred.
"""

import sys
from collections.abc import Callable

from tests.faults import at_rest, at_work, calls, deaths, machine, outside, screen
from tests.faults.row import Row, printed

FLIP = "a bit of the journal flipped"
ROWS: dict[str, Callable[[int], Row]] = {
    **at_rest.ROWS,
    **at_work.ROWS,
    **machine.ROWS,
    **calls.ROWS,
    **outside.ROWS,
    **screen.ROWS,
}
# So many kills and cuts at least in the whole table; a few of each in the tests.
MANY: dict[str, tuple[Callable[[int], Row], int]] = deaths.ROWS


def whole(times, flips):
    """Yield every row of the whole table, one after another."""
    for name, row in ROWS.items():
        yield row(flips if name == FLIP else times)
    for row, least in MANY.values():
        yield row(least)


def main(times=20, flips=300):
    rows = []
    for row in whole(times, flips):
        rows.append(row)
        print(printed([row]).splitlines()[-1], flush=True)  # noqa: T201
    return int(any(row.bad for row in rows))


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
