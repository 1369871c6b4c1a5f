"""The invented practice's day, rehearsed so that it ends now."""

from __future__ import annotations

from pathlib import Path

from benchassist.clock import Instant, SimulatedClock
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.rehearsal.player import Player
from benchassist.rehearsal.script import load_script
from benchassist.session import Session

DAY = "day"


def build_demo(folder: Path, now: Instant, *, zone: str = "") -> None:
    """Make the demonstration's journal in an empty folder; its day ends at ``now``.

    Parameters
    ----------
    folder
        Where the journal is made.
    now
        When the day ends.
    zone
        The station's IANA zone.

    Raises
    ------
    ScriptError
        If the day does not go as its script says.
    JournalError
        If the folder cannot be written to.
    """
    script = load_script(DAY)
    last = script.lines[-1]
    if last.at_ms is None:
        raise script.error(last.number, "the day has to end at a time of day.")
    length_ms = last.at_ms - script.midnight_ms
    start = now.plus(-length_ms)
    clock = SimulatedClock(start.local())
    book = MemoryJournal()
    player = Player(
        script,
        lambda: book,
        clock=clock,
        kind="demo",
        zone=zone,
    )
    for _ in player.moments():
        pass
    journal = book.write(folder)
    journal.beat(now)
    Session(journal, clock).close()  # keeps the state, so that opening is quick
