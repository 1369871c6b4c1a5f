"""The demonstration is the shipped day, moved so that it ends now."""

from datetime import datetime, timedelta, timezone

import pytest

from benchassist.clock import SimulatedClock
from benchassist.domain.events import ProgramOpened, RunInterrupted, StoreCreated
from benchassist.domain.queue import need
from benchassist.domain.state import Closed, OnHold, Ready, Soaking
from benchassist.journal.writing import Journal
from benchassist.rehearsal import build_demo, load_script
from benchassist.session import Session

EVENING = datetime(2027, 3, 1, 0, 20, tzinfo=timezone(timedelta(hours=-3, minutes=-30)))


@pytest.fixture(scope="module")
def demo(new_quick_folder):
    folder = new_quick_folder()
    clock = SimulatedClock(EVENING, boot="another boot")
    build_demo(folder, clock.now(), zone="America/St_Johns")
    journal = Journal.open(folder)
    session = Session.open(journal, clock, kind="demo", station="x", zone="x")
    yield session
    session.close()


def test_the_day_ends_now_and_begins_as_long_ago_as_its_script_says(demo):
    script = load_script("day")
    length_ms = script.lines[-1].at_ms - script.midnight_ms
    entries = list(demo.journal.entries())
    last = [entry for entry in entries if not isinstance(entry.event, ProgramOpened)]

    assert isinstance(entries[0].event, StoreCreated)
    assert entries[0].event.kind == "demo"
    assert entries[0].event.zone == "America/St_Johns"
    assert entries[0].at.wall_ms == demo.now().wall_ms - length_ms
    assert 0 <= demo.now().wall_ms - last[-1].at.wall_ms < 60_000
    assert {entry.at.offset_min for entry in entries} == {-210}


def test_opening_it_finds_everything_where_it_was_and_nothing_interrupted(demo):
    events = [entry.event for entry in demo.journal.entries()]

    assert isinstance(events[-1], ProgramOpened)
    assert not any(isinstance(event, RunInterrupted) for event in events)


def test_its_thirteen_parts_stand_at_many_stages(demo):
    bench, now = demo.bench, demo.now()
    phases = {code: part.phase for code, part in bench.parts.items()}
    waiting = [code for code, phase in phases.items() if isinstance(phase, Soaking)]
    released = [
        code
        for code, phase in phases.items()
        if isinstance(phase, Closed) and phase.how == "released"
    ]

    # The day may begin before midnight: what was closed then is no longer in flight.
    assert len(bench.in_flight) == 6
    assert len(released) <= 7
    assert len(waiting) == 2
    assert all(need(bench, bench.parts[code], now).due_ms > 0 for code in waiting)
    assert isinstance(phases["EX-08"], Ready)
    assert bench.parts["EX-08"].stage.key == "rinse"
    assert isinstance(phases["EX-10"], OnHold)
    assert isinstance(phases["EX-12"], Ready)
    assert bench.parts["EX-12"].stage.key == "coat-2"
    assert bench.focus == "EX-13"
    assert len(bench.open_deviations("EX-07")) == 1
    assert bench.fills["EX-GV-01"].lot == "EX-GL-2"


def test_every_part_and_material_of_it_is_marked_as_an_example(demo):
    bench = demo.bench

    assert all(recipe.example for recipe in bench.recipes.values())
    assert all(material.example for material in bench.materials.values())
    assert all(code.startswith("EX-") for code in (*bench.parts, *bench.lots))


def test_it_is_written_in_one_piece(demo):
    # Broken off, it would leave an empty folder and not half a day.
    (store,) = (e for e in demo.journal.entries() if isinstance(e.event, StoreCreated))

    assert demo.journal.walk(1, demo.journal.head.seq).faults == ()
    assert store.seq == 1
