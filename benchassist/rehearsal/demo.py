"""Stores of the invented practice: the day that ends now, and a bench to train on."""

from __future__ import annotations

import uuid
from functools import partial
from pathlib import Path

from benchassist import assets
from benchassist.clock import HOUR_MS, Clock, Instant, SimulatedClock, zone_name
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.events import StoreKind
from benchassist.domain.evolve import fold
from benchassist.domain.library import Variant
from benchassist.domain.state import Bench
from benchassist.journal.drafts import Draft
from benchassist.journal.files import DATABASE
from benchassist.library_file import parse_library
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.rehearsal.player import Player
from benchassist.rehearsal.script import ScriptError, load_script
from benchassist.session import Session
from benchassist.value import replace

DAY = "day"
PRACTICE = "practice.toml"
STATION = "EX-TRAINING"

PLAIN = Variant(stain_passes=0)
# part, recipe, print and coat lot, vessel, hours until it is due, variant
TO_DO: tuple[tuple[str, str, str, str, str, int, Variant | None], ...] = (
    ("EX-T1", "EX-RC-C r1", "EX-LT-C1", "EX-LT-C2", "EX-GV-01", 3, PLAIN),
    ("EX-T2", "EX-RC-C r1", "EX-LT-C1", "EX-LT-C2", "EX-GV-03", 4, None),
    ("EX-T3", "EX-RC-V r2", "EX-LT-C1", "EX-LT-C2", "EX-GV-03", 5, None),
    ("EX-T4", "EX-RC-S r1", "EX-LT-S1", "EX-LT-S1", "EX-GV-02", 7, None),
)


def make(folder: Path, kind: StoreKind, clock: Clock) -> None:
    """Make an example store in a folder that has none; a real one begins empty.

    Raises
    ------
    ScriptError
        If the practice that comes with the program does not do what it should.
    JournalError
        If the folder cannot be written to.
    """
    if (folder / DATABASE).exists():
        return
    if kind == "demo":
        build_demo(folder, clock.now())
    elif kind == "training":
        build_training(folder, clock, zone=zone_name())


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
    # Of the very boot that it ends in: a simulated day handed to the real clock
    # would lie in the dark.
    clock = SimulatedClock(start.local(), start.boot, start.mono_ms)
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


def build_training(folder: Path, clock: Clock, *, zone: str) -> None:
    """Make a trainee's bench in an empty folder: parts not begun, nobody at it.

    Parameters
    ----------
    folder
        Where the journal is made.
    clock
        The bench's clock.
    zone
        The station's IANA zone.

    Raises
    ------
    ScriptError
        If the practice that comes with the program cannot be filed.
    JournalError
        If the folder cannot be written to.
    """
    now, bench, book = clock.now(), Bench(), MemoryJournal()
    shipped = partial(assets.read_text, "demo_cases")
    commands = (
        cm.CreateStore("training", uuid.uuid4().hex, STATION, zone),
        parse_library(shipped(PRACTICE), name=PRACTICE, beside=shipped),
        *_parts(now),
        cm.ChoosePart(TO_DO[0][0]),
    )
    for command in commands:
        # The tool lays the parts out by itself: the station is free for a trainee.
        events = decide(replace(bench, operator=STATION), command, now)
        if not isinstance(events, tuple):
            raise ScriptError(PRACTICE, 0, events.message)
        drafts = [Draft(now, "", "tool", event) for event in events]
        bench = fold(bench, book.append(drafts))
    Session(book.write(folder), clock).close()


def _parts(now: Instant) -> tuple[cm.TakeIn, ...]:
    """Return the intake of the parts that wait for a trainee."""
    return tuple(
        cm.TakeIn(
            part=code,
            recipe=recipe,
            print_lot=print_lot,
            coat_lot=coat_lot,
            stain_lot="" if variant == PLAIN else "EX-LT-M1",
            lamp="EX-LM-A",
            box="EX-BX-1",
            vessel=vessel,
            peg=code.removeprefix("EX-"),
            due=now.plus(hours * HOUR_MS),
            variant=variant,
        )
        for code, recipe, print_lot, coat_lot, vessel, hours, variant in TO_DO
    )
