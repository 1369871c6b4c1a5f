"""The training bench: parts not begun, a station nobody has claimed, no release."""

from datetime import datetime, timedelta, timezone
from functools import partial

import pytest

from benchassist.clock import SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.standing import front
from benchassist.domain.state import Closed, Paused, Ready
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player, parse_script
from benchassist.rehearsal.demo import build_training, make
from benchassist.session import Session
from benchassist.stores import paced

MORNING = datetime(2027, 3, 1, 8, 0, tzinfo=timezone(timedelta(hours=1)))
CROWN = """
start 2027-03-01 08:10:00 +01:00
operator OP-9
choose-part {part}
+5s press
+150s press
+10s press
+150s press
wait {part}
+2s press
confirm-load {part} EX-BX-1 2200
+3s press
wait {part}
tell-run-end R-1 completed
+60s press long
+60s press long
+60s press long
+60s press long
wait {part}
+2s press
+30s press long
open-lamp-session EX-LM-A
+5s press
+15s press
wait {part}
+5s press
+15s press
wait {part}
confirm-submerged {part} EX-BX-1 EX-GV-01 2200
+5s press
wait {part}
tell-run-end R-2 completed
+70s press
wait {part}
+1s press
wait {part}
+1s press
record-check {part} "tack-free after rinsing"
record-check {part} inspection
record-check {part} "fit and contacts"
record-check {part} occlusion
record-check {part} shade
record-check {part} label
expect part {part} stage=checks
operator OP-1
release-part {part} OP-1
expect refused training-store acceptable=no
"""


@pytest.fixture
def trained(quick_folder):
    clock = SimulatedClock(MORNING)
    build_training(quick_folder, clock, zone="Europe/Berlin")
    return quick_folder, clock


def opened(folder, clock):
    return Session.open(
        Journal.open(folder), clock, kind="training", station="x", zone="x"
    )


def test_it_is_a_training_store_with_the_invented_practice_on_file(trained):
    session = opened(*trained)
    bench = session.bench
    session.close()

    assert bench.store.kind == "training"
    assert bench.store.zone == "Europe/Berlin"
    assert {"EX-RC-C r1", "EX-RC-S r1"} <= set(bench.recipes)
    assert {"EX-LM-A", "EX-LM-B"} <= set(bench.lamps)
    assert all(code.startswith("EX-") for code in (*bench.parts, *bench.lots))


def test_no_part_is_begun_and_the_station_waits_for_somebody(trained):
    folder, clock = trained
    session = opened(folder, clock)
    bench, now = session.bench, session.now()

    assert bench.operator == ""
    assert len(bench.in_flight) >= 3
    assert all(part.at == 0 for part in bench.in_flight)
    assert all(isinstance(part.phase, Ready) for part in bench.in_flight)
    assert all(part.due.since(now) > 0 for part in bench.in_flight)
    assert front(bench, now) == ""
    assert session.handle(cm.ClaimStation("OP-9")).refusal is None
    session.close()


def test_a_crown_can_be_done_from_its_wash_to_its_checks_but_not_released(trained):
    folder, _ = trained
    text = CROWN.format(part="EX-T1")
    script = parse_script(text, name="crown", beside=lambda name: name)
    player = Player(script, partial(Journal.open, folder), kind="training")
    for _ in player.moments():
        pass
    part = player.session.bench.parts["EX-T1"]
    player.close()

    assert not isinstance(part.phase, Closed)
    assert part.stage.key == "checks"
    assert all(part.checks.values())


@pytest.mark.parametrize(("speed", "phase"), [(10.0, Ready), (1.0, Paused)])
def test_a_late_look_of_the_fast_window_breaks_no_walk(quick_folder, speed, phase):
    # Looks 0.25 s apart are 2.5 s at ten times; a stall is 2 s of the hands' time.
    clock = SimulatedClock(MORNING)
    build_training(quick_folder, clock, zone="Europe/Berlin")
    text = CROWN.format(part="EX-T1")
    to_the_walk = text[: text.index("+15s press") + len("+15s press")]
    script = parse_script(to_the_walk, name="crown", beside=lambda name: name)
    player = Player(script, partial(Journal.open, quick_folder), kind="training")
    for _ in player.moments():
        pass
    session = player.session
    session.handle(paced(session.bench, speed), "tool")

    for _ in range(30):
        player._clock.advance(2500)
        session.tick()

    part = session.bench.parts["EX-T1"]
    player.close()
    assert isinstance(part.phase, phase)
    assert part.work["coat-1"].spots == ("done",) * 5 or phase is Paused


def test_only_examples_are_made_and_a_real_store_never(quick_folder):
    clock = SimulatedClock(MORNING)
    for kind in ("training", "demo"):
        make(quick_folder / kind, kind, clock)
        with Journal.open(quick_folder / kind) as journal:
            assert journal.store.kind == kind
            seq = journal.head.seq
        make(quick_folder / kind, kind, clock)  # it is there already
        with Journal.open(quick_folder / kind) as journal:
            assert journal.head.seq == seq

    make(quick_folder / "real", "real", clock)

    assert not (quick_folder / "real").exists()
