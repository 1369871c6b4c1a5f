"""From process start to the first paint, against a bare window in the same run.

The goal we set ourselves is 3.5 times a bare window: 3.1 to 3.6 measured on a quiet
machine. What is asserted leaves room for a busy one; the figure is logged by ``-s``.
"""

import os
import statistics
import subprocess
import sys

import pytest

from benchassist.clock import RealClock
from benchassist.rehearsal import build_demo

pytestmark = pytest.mark.benchmark

GOAL = 3.5
REACHED = 5.0
RUNS = 7

BARE = """
import time
t = time.perf_counter()
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
window = QMainWindow()
window.show()
app.processEvents()
print(time.perf_counter() - t)
"""

OURS = """
import sys, time
t = time.perf_counter()
from pathlib import Path
from benchassist.app import application
from benchassist.clock import RealClock
from benchassist.journal.writing import Journal
from benchassist.session import Session
from benchassist.ui.desk import Desk
from benchassist.ui.settings import Settings
from benchassist.ui.window import Window
folder = Path(sys.argv[1])
app = application()
clock = RealClock()
session = Session(Journal.open(folder), clock)
desk = Desk(folder, folder / "none.json", None)
window = Window(session, clock, Settings(), desk)
window.resize(1366, 768)
window.show()
app.processEvents()
took = time.perf_counter() - t
print(took, *sorted({"numpy", "scipy", "pyqtgraph", "pydantic"} & set(sys.modules)))
assert len(session.bench.in_flight) >= 6
session.close()
"""


@pytest.fixture(scope="module")
def started(tmp_path_factory):
    """Return the seconds of bare and own starts, taken in turn, and own imports."""
    folder = tmp_path_factory.mktemp("demo") / "store"
    build_demo(folder, RealClock().now())
    env = {key: text for key, text in os.environ.items() if "PYTHONDONT" not in key}
    env["PYTHONPYCACHEPREFIX"] = str(tmp_path_factory.mktemp("bytecode"))
    bare, ours, heavy = [], [], set()

    def run(text):
        done = subprocess.run(
            [sys.executable, "-c", text, str(folder)],
            env=env,
            check=True,
            capture_output=True,
            text=True,
        )
        return done.stdout.split()

    run(OURS)  # the first start compiles; it is not counted
    for _ in range(RUNS):
        bare.append(float(run(BARE)[0]))
        took, *modules = run(OURS)
        ours.append(float(took))
        heavy.update(modules)
    return statistics.median(bare), statistics.median(ours), heavy


def test_the_first_paint_comes_within_a_few_bare_windows(started):
    bare_s, ours_s, _ = started
    ratio = ours_s / bare_s
    print(f"{ours_s:.3f} s / {bare_s:.3f} s = {ratio:.2f} (goal {GOAL})")

    assert ratio <= REACHED


def test_nothing_heavy_is_imported_before_the_first_paint(started):
    assert started[2] == set()
