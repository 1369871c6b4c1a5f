"""Rehearsals: scripts of timed commands run through the real engine.

The demonstration day, tests and practice all take this one path.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchassist.clock import SimulatedClock, wait_ms
from benchassist.journal.files import DATABASE
from benchassist.journal.writing import Journal
from benchassist.rehearsal.demo import build_demo
from benchassist.rehearsal.player import Player
from benchassist.rehearsal.record import record_of
from benchassist.rehearsal.script import (
    Script,
    ScriptError,
    load_script,
    parse_script,
    shipped_scripts,
)
from benchassist.session import Listener

__all__ = [
    "Player",
    "Rehearsal",
    "Script",
    "ScriptError",
    "build_demo",
    "fresh",
    "load_script",
    "parse_script",
    "record_of",
    "rehearse",
    "rehearse_in",
    "run_script",
    "shipped_scripts",
]


@dataclass(frozen=True)
class Rehearsal:
    """A script that was run: its journal's folder and the record."""

    folder: Path
    record: dict[str, Any]


def run_script(
    script: Script | str | Path,
    *,
    folder: Path,
    speed: float | None = None,
    clock: SimulatedClock | None = None,
    listener: Listener | None = None,
) -> Rehearsal:
    """Run a script to its end and close its journal.

    Parameters
    ----------
    script
        A script, a file, or the name of a shipped one.
    folder
        Where the journal is made.
    speed
        Times real time; None is as fast as it goes.
    clock
        The bench clock; by default one that starts when the script says.
    listener
        Told of every outcome that was not silent, after it is on disk.

    Raises
    ------
    ScriptError
        If the script cannot be read or does not go as it says.
    """
    asked = script if isinstance(script, Script) else load_script(script)
    player = Player(asked, lambda: Journal.open(folder), clock=clock, listener=listener)
    try:
        for ms in player.moments():
            if speed is not None:
                wait_ms(ms / speed)
        return Rehearsal(folder, player.record())
    finally:
        player.close()


def rehearse(script: str | Path, *, speed: float | None = None) -> dict[str, Any]:
    """Run a script in a folder that is gone afterwards; return its record.

    Raises
    ------
    ScriptError
        If the script cannot be read or does not go as it says.
    """
    with tempfile.TemporaryDirectory(prefix="benchassist-") as folder:
        return run_script(script, folder=Path(folder), speed=speed).record


def rehearse_in(
    folder: Path, script: str | Path, *, speed: float | None = None
) -> dict[str, Any]:
    """Run a script into a folder, which then holds a store of kind rehearsal.

    Raises
    ------
    ScriptError
        If the script cannot be read or does not go as it says, or the folder holds
        a journal already: a rehearsal never goes on with one.
    JournalError
        If the folder cannot be written to.
    """
    fresh(folder)
    return run_script(script, folder=folder, speed=speed).record


def fresh(folder: Path) -> None:
    """Raise ScriptError where a folder holds a journal already."""
    if folder.joinpath(DATABASE).exists():
        told = "holds a journal already; a rehearsal needs an empty folder."
        raise ScriptError(str(folder), 0, told)
