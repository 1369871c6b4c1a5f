"""A screen, a clock that moves when told, and a bench to look at."""

import importlib.util
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from benchassist.clock import SimulatedClock
from benchassist.ui.bench import Bench
from benchassist.ui.theme import load_fonts, load_palette, theme_for
from benchassist.ui.ticker import Ticker

# Width and height in pixels, and mm a pixel: a 15.6 inch and a 24 inch screen.
SCREENS = {"small": ((1366, 768), 0.253), "large": ((1920, 1080), 0.277)}


def _load_samples():
    path = Path(__file__).with_name("sample_views.py")
    spec = importlib.util.spec_from_file_location("sample_views", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


SAMPLES = _load_samples()


def pytest_generate_tests(metafunc):
    """Run a test that takes ``look`` once for every sample of a state."""
    if "look" in metafunc.fixturenames:
        metafunc.parametrize("look", SAMPLES.ALL.values(), ids=SAMPLES.ALL.keys())


@pytest.fixture
def samples():
    return SAMPLES


@pytest.fixture(scope="session")
def _fonts(qapp):
    load_fonts()


@pytest.fixture
def clock():
    return SimulatedClock(datetime(2026, 5, 14, 10, 37, tzinfo=UTC))


@pytest.fixture
def ticker(clock, qapp):
    return Ticker(clock)


@pytest.fixture
def themes(_fonts):
    """Return the theme of a screen and a palette."""

    def make(screen="small", palette="dark"):
        size, mm_per_px = SCREENS[screen]
        loaded = load_palette(palette)
        return theme_for(loaded, mm_per_px=mm_per_px, size=QSize(*size))

    return make


@pytest.fixture
def show_bench(qtbot, themes, clock, ticker):
    """Show a bench on a screen and return it."""

    def show(view, screen="small", palette="dark"):
        bench = Bench(themes(screen, palette), clock, ticker)
        qtbot.addWidget(bench)
        bench.resize(*SCREENS[screen][0])
        bench.show()
        bench.show_view(view)
        return bench

    return show


@pytest.fixture
def pass_time(clock, ticker):
    """Let time pass, with a look every 100 ms."""

    def wait(ms):
        for _ in range(ms // 100):
            clock.advance(100)
            ticker.look()

    return wait


@pytest.fixture
def shown():
    """Return all text runs on the screen with their boxes in the bench's pixels."""

    def collect(bench):
        found = []
        for widget in bench.findChildren(QWidget):
            if not widget.isVisible() or not callable(getattr(widget, "runs", None)):
                continue
            inner = widget.viewport() if hasattr(widget, "viewport") else widget
            offset = inner.mapTo(bench, inner.rect().topLeft())
            found += [
                (widget, run, run.rect.translated(offset)) for run in widget.runs()
            ]
        return found

    return collect
