"""Memory at its peak: a forecast of 200 draws, and the bench of the demo at rest.

Each in a process of its own, beside one that only imports what is imported, or shows
a bare window. Linux tells the peak. Run with ``-m benchmark -s``.
"""

import os
import subprocess
import sys

import pytest

from benchassist.clock import RealClock
from benchassist.rehearsal import build_demo

pytestmark = pytest.mark.benchmark

DRAWS = 200
MOST_OVER_IMPORTS = 2.0
MOST_OVER_BARE = 2.5

# Not getrusage: a child's peak there begins with its parent's.
PEAK = """
from pathlib import Path
lines = Path("/proc/self/status").read_text().splitlines()
print(next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024)
"""

IMPORTS = """
import numpy, scipy.linalg
from benchassist.physics import coat, coat_uncertainty
"""

FORECAST = """
import sys
from benchassist.physics import spectra
from benchassist.physics.coat import COARSE, Exposure, NewCoat, simulate
from benchassist.physics.coat_rates import RateSet
from benchassist.physics.coat_resin import Film, Initiator, Resin
from benchassist.physics.coat_uncertainty import draw_sample
from benchassist.physics.spectra import Gaussian, Line
grid = spectra.wavelength_grid()
curve = spectra.gaussian_bands([Gaussian(500, 379, 14.5)], grid)
initiator = Initiator(curve, 0.7 * curve, 1.3 * curve, 0 * curve)
resin = Resin((initiator,), 0 * curve, RateSet(1800.0, 2e5))
lamp = spectra.gaussian_lines([Line(200, 400, 18)], grid)
box = spectra.gaussian_lines([Line(30, 385, 12)], grid)
tack = [NewCoat(25.0), Exposure(10.0, "air", lamp), Exposure(30.0)]
end = [Exposure(20.0, Film()), Exposure(300.0, Film(), box)]
sample = draw_sample(int(sys.argv[1]), initiators=1, seed=1)
shots = simulate(resin, [*tack, *tack, *end], sample=sample, resolution=COARSE)
assert shots[-1].conversion.shape[0] == int(sys.argv[1])
"""

BARE = """
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
window = QMainWindow()
window.resize(1366, 768)
window.show()
app.processEvents()
"""

BENCH = """
import sys
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
window = Window(session, clock, Settings(), Desk(folder, folder / "none.json", None))
window.resize(1366, 768)
window.show()
app.processEvents()
assert len(session.bench.in_flight) >= 6
session.close()
"""


def peak_mb(text, *argv):
    done = subprocess.run(
        [sys.executable, "-c", text + PEAK, *map(str, argv)],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        check=True,
        capture_output=True,
        text=True,
    )
    return float(done.stdout.split()[-1])


def test_two_hundred_draws_fit_beside_what_they_import():
    floor, whole = peak_mb(IMPORTS), peak_mb(FORECAST, DRAWS)
    print(f"{DRAWS} draws {whole:.0f} MB, imports alone {floor:.0f} MB")

    assert whole <= MOST_OVER_IMPORTS * floor


def test_the_bench_at_rest_is_a_few_bare_windows(tmp_path):
    build_demo(tmp_path / "store", RealClock().now())
    floor, whole = peak_mb(BARE), peak_mb(BENCH, tmp_path / "store")
    print(f"bench of the demo {whole:.0f} MB, bare window {floor:.0f} MB")

    assert whole <= MOST_OVER_BARE * floor
