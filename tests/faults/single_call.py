"""Open a store and claim its station three times; print what was acknowledged.

Run as a script with a folder. ``ack SEQ ID`` for each entry, else the sentence said.
"""

import sys
from pathlib import Path

from benchassist.clock import RealClock
from benchassist.domain import commands as cm
from benchassist.journal.errors import JournalError
from benchassist.journal.writing import Journal
from benchassist.session import Session


def main(folder):
    try:
        session = Session(Journal.open(folder), RealClock())
    except JournalError as error:
        print(error)  # noqa: T201
        return 2
    session.subscribe(said)
    for n in range(3):
        session.handle(cm.ClaimStation(f"EX-OP{n}"))
    session.tick()
    session.journal.close()
    return 0


def said(outcome):
    for entry in outcome.entries:
        if type(entry.event).__name__ == "OperatorClaimed":
            print("ack", entry.seq, entry.id)  # noqa: T201
    if outcome.refusal is not None:
        print(outcome.refusal.message)  # noqa: T201


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
