"""A press, decided, on disk and repainted, against a bare window with one raw commit.

Thirty parts are in flight. The floor commits the same number of bytes in the same
SQLite mode from the slot of a bare window and repaints one label.
"""

import itertools
import json
import sqlite3
import statistics
import time
from functools import partial

import pytest
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow

from benchassist import assets
from benchassist.clock import RealClock
from benchassist.domain import commands as cm
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player, parse_script
from benchassist.ui.desk import Desk
from benchassist.ui.jobs import Exporter
from benchassist.ui.settings import Settings
from benchassist.ui.window import Window

pytestmark = pytest.mark.benchmark

PARTS = 30
PRESSES = 200
GOAL = 5.0  # times the floor
REACHED = 7.0  # 4.7 to 5.2 measured on a quiet machine whose floor is 0.9 ms
P99_GOAL_MS = 16.0  # one frame; 6 to 8 measured on a quiet machine
P99_REACHED_MS = 30.0
P99_FLOORS = 8.0  # 6.2 measured while other work kept both cores busy


@pytest.fixture
def bench(tmp_path, qtbot):
    """Show thirty parts in flight in a window."""
    lines = [
        "start 2026-03-02 09:00:00 +01:00",
        "library practice.toml",
        "operator OP-1",
    ]
    lines += [
        f'take-in EX-{n} "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-A '
        f"box=EX-BX-1 vessel=EX-GV-01 variant.stain_passes=0"
        for n in range(100, 100 + PARTS)
    ]
    script = parse_script(
        "\n".join(lines), name="thirty", beside=partial(assets.read_text, "demo_cases")
    )
    player = Player(script, partial(Journal.open, tmp_path / "store"))
    for _ in player.moments():
        pass
    desk = Desk(tmp_path, tmp_path / "none.json", Exporter(tmp_path).job, print)
    window = Window(player.session, RealClock(), Settings(mm_per_pixel=0.277), desk)
    window.resize(1920, 1080)
    qtbot.addWidget(window)
    window.show()
    qtbot.waitExposed(window)
    yield window, player.session
    player.close()


def test_a_press_is_decided_on_disk_and_shown_within_a_few_floors(
    bench, tmp_path, qtbot
):
    window, session = bench
    size = _bytes_of_a_press(session)
    floor_ms = statistics.median(_bare_presses(tmp_path, qtbot, size))
    took = sorted(_presses(window, session))
    median, p99 = statistics.median(took), took[int(len(took) * 0.99)]
    print(
        f"press {median:.2f} ms, p99 {p99:.2f} ms, floor {floor_ms:.2f} ms "
        f"= {median / floor_ms:.1f} (goals {GOAL} and p99 {P99_GOAL_MS})"
    )

    assert median <= REACHED * floor_ms
    # On a busy machine the floor is slow as well, and so is its worst press.
    assert p99 < max(P99_REACHED_MS, P99_FLOORS * floor_ms)


def _presses(window, session):
    """Yield the ms of presses that each write one event and change the screen."""
    codes = itertools.cycle(session.bench.parts)
    app = QApplication.instance()
    for _ in range(PRESSES):
        code = next(codes)
        start = time.perf_counter()
        session.handle(cm.ChoosePart(code), "hand")
        app.processEvents()
        yield (time.perf_counter() - start) * 1000


def _bytes_of_a_press(session):
    last = list(session.journal.entries(after=session.bench.seq - 1))[-1]
    return len(json.dumps(repr(last)))


def _bare_presses(tmp_path, qtbot, size):
    db = sqlite3.connect(tmp_path / "bare.sqlite", isolation_level=None)
    db.execute("PRAGMA journal_mode=TRUNCATE")
    db.execute("PRAGMA synchronous=EXTRA")
    db.execute("CREATE TABLE log (seq INTEGER PRIMARY KEY, payload TEXT)")
    window = QMainWindow()
    qtbot.addWidget(window)
    label = QLabel("0", window)
    window.setCentralWidget(label)
    window.resize(1920, 1080)
    window.show()
    qtbot.waitExposed(window)
    app = QApplication.instance()
    for n in range(PRESSES):
        start = time.perf_counter()
        db.execute("BEGIN IMMEDIATE")
        db.execute("INSERT INTO log (payload) VALUES (?)", ("x" * size,))
        db.execute("COMMIT")
        label.setText(str(n))
        app.processEvents()
        yield (time.perf_counter() - start) * 1000
    db.close()
