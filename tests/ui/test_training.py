"""The window of a training bench: marked, fast, and never another store's."""

import pytest
from PySide6.QtWidgets import QApplication

from benchassist import app as program
from benchassist.clock import AcceleratedClock, RealClock, SimulatedClock, wait_ms
from benchassist.domain import commands as cm
from benchassist.domain.events import ProgramOpened
from benchassist.domain.limits import LIMITS
from benchassist.domain.state import WET
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.rehearsal.script import load_script
from benchassist.session import Session
from benchassist.ui.window import Window


@pytest.fixture
def while_open(monkeypatch):
    """Return what opens a store in a window and looks at it before it is closed."""

    def run(folder, look, **how):
        seen = []

        def instead_of_waiting(*_self):
            (window,) = (
                each
                for each in QApplication.topLevelWidgets()
                if isinstance(each, Window) and each.isVisible()
            )
            seen.append(look(window))
            window.close()
            window.deleteLater()
            return 0

        monkeypatch.setattr(QApplication, "exec", instead_of_waiting)
        code = program.run(folder, **how)
        return code, *seen

    return run


def shown(window):
    window.ticker.look()
    view = window.bench._view
    return window.windowTitle(), view.mark, view.message, window._session.bench


def test_it_opens_marked_with_its_speed_and_waits_to_be_claimed(while_open, tmp_path):
    code, (title, mark, said, bench) = while_open(
        tmp_path, shown, kind="training", speed=10.0
    )

    assert code == 0
    assert title.startswith("TRAINING ×10, Bench Assist")
    assert mark.startswith("TRAINING")
    assert said.endswith("a coat in real time. Nothing is released here.")
    assert bench.operator == ""
    assert bench.limits["undo_s"] == 10 * LIMITS["undo_s"].default


def test_its_bench_is_fast_and_its_hands_are_not(while_open, tmp_path):
    def clocks(window):
        real, bench = RealClock(), window._session
        before = real.now(), bench.now()
        wait_ms(50)
        fast = bench.now().since(before[1])
        slow = window._real.now().since(before[0])
        return fast, slow, window.pedal._clock is window._real

    _, (fast, slow, by_hand) = while_open(tmp_path, clocks, kind="training", speed=20.0)

    assert 50 <= slow < 1000
    assert fast >= 15 * slow
    assert by_hand


def test_on_a_wet_coat_its_bench_goes_no_faster_than_hands():
    script = load_script("o1_plain_crown")
    player = Player(script, MemoryJournal, kind="rehearsal")
    real = SimulatedClock(script.start)
    clock = AcceleratedClock(real, 10.0)
    program.keep_pace(player.session, clock, 10.0)
    paces = {"wet": set(), "not": set()}

    for _ in player.moments():
        before = clock.now()
        real.advance(100)
        wet = any(
            isinstance(part.phase, WET) for part in player.session.bench.in_flight
        )
        paces["wet" if wet else "not"].add(clock.now().since(before))
    player.close()

    assert paces == {"wet": {100}, "not": {1000}}


def test_opened_again_it_goes_on_after_its_last_moment(while_open, tmp_path):
    def hours_ahead(window):
        window._session.handle(cm.ClaimStation("OP-9"))
        window._session._journal.beat(window._session.now().plus(9 * 3_600_000))

    while_open(tmp_path, hours_ahead, kind="training", speed=10.0)
    with ReadOnlyJournal.open(tmp_path) as journal:
        beat = journal.last_beat()

    _, now = while_open(
        tmp_path, lambda window: window._session.now(), kind="training", speed=2.0
    )

    assert 0 <= now.since(beat) < 600_000
    with ReadOnlyJournal.open(tmp_path) as journal:
        entries = list(journal.entries())
    walls = [entry.at.wall_ms for entry in entries]
    assert walls == sorted(walls)
    opened = next(
        each for each in entries[::-1] if isinstance(each.event, ProgramOpened)
    )
    assert opened.at.since(beat) >= 0


@pytest.mark.parametrize(
    ("is_", "wanted"), [("training", "real"), ("real", "training")]
)
def test_a_store_of_another_kind_is_refused_in_one_sentence(
    tmp_path, capsys, is_, wanted
):
    Session.open(
        Journal.open(tmp_path), RealClock(), kind=is_, station="x", zone="UTC"
    ).close()

    code = program.run(tmp_path, kind=wanted)

    told = capsys.readouterr().err
    assert code == 2
    assert told.count("\n") == 1
    assert f"{is_} store" in told
    assert not [each for each in QApplication.topLevelWidgets() if each.isVisible()]


@pytest.mark.parametrize("kind", ["demo", "training"])
def test_a_folder_that_refuses_an_example_is_said(tmp_path, capsys, kind):
    (tmp_path / "file").write_text("in the way")

    code = program.run(tmp_path / "file" / "store", kind=kind)

    told = capsys.readouterr().err
    assert code == 2
    assert told.count("\n") == 1
