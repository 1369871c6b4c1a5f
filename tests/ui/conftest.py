"""A screen, a clock that moves when told, and a bench to look at."""

from datetime import UTC, datetime

import pytest
from PySide6.QtCore import QSize

from benchassist.clock import SimulatedClock
from benchassist.ui.bench import Bench
from benchassist.ui.theme import load_fonts, load_palette, theme_for
from benchassist.ui.ticker import Ticker
from tests.ui import sample_views
from tests.ui.measures import texts

# Width and height in pixels, and mm a pixel: one, two, three and four columns.
SCREENS = {
    "narrow": ((1024, 768), 0.253),
    "small": ((1366, 768), 0.253),
    "large": ((1920, 1080), 0.277),
    "wide": ((2560, 1440), 0.233),
}


def pytest_generate_tests(metafunc):
    """Run a test that takes ``look`` once for every sample of a state."""
    if "look" in metafunc.fixturenames:
        metafunc.parametrize(
            "look", sample_views.ALL.values(), ids=sample_views.ALL.keys()
        )


@pytest.fixture
def samples():
    return sample_views


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
    """Show a bench on a screen and return it.

    It is kept until the test is over: collected while it is painted, it would crash.
    """
    kept = []

    def show(view, screen="small", palette="dark"):
        bench = Bench(themes(screen, palette), clock, ticker)
        qtbot.addWidget(bench)
        bench.resize(*SCREENS[screen][0])
        bench.show()
        bench.show_view(view)
        kept.append(bench)
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
    """Return what finds all text runs on the screen."""
    return texts
