"""How soon a slider of the coat forecast is answered: run with -m benchmark --log-cli-level=INFO.

One step of the thickness slider, two coats of the demo practice. While the accurate
draws are under way the answer takes longer, for they share the interpreter.
"""

import logging
from statistics import median
from time import process_time
from timeit import default_timer
from types import SimpleNamespace

import pytest
from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication

from benchassist.ui.bench import Bench
from benchassist.ui.places import make
from benchassist.ui.present.look import look
from benchassist.ui.present.physics.forecast import preview

pytestmark = pytest.mark.benchmark

COMPUTED_S = 0.033  # [s] of the processor for one preview: two frames of sixty
ANSWER_RATIO = 2.5  # from key to paint, over the preview computed alone in this run
MOVES = 30


def pump():
    flags = QEventLoop.ProcessEventsFlag
    QApplication.processEvents(flags.AllEvents | flags.WaitForMoreEvents)


@pytest.fixture
def opened(qtbot, themes, clock, ticker, desk):
    bench = Bench(themes(), clock, ticker)
    qtbot.addWidget(bench)
    bench.resize(1366, 768)
    bench.show()
    bench.show_view(look(desk.bench, desk.now))
    page = make("forecast", SimpleNamespace(look=themes(), hands=bench.hands))
    page.fill(desk.bench, desk.now)
    bench.open_page(page)
    qtbot.waitUntil(lambda: page.asker.idle, timeout=120_000)
    return page, bench


def test_a_slider_is_answered_within_a_frame_or_two(qtbot, opened, desk):
    page, _ = opened
    answered = []
    shown = page._show
    page._show = lambda found: (answered.append(1), shown(found))

    def move(key):
        answered.clear()
        start = default_timer()
        page.key(key)
        while not answered:
            pump()
        QApplication.processEvents()
        return default_timer() - start

    def alone():
        start, spent = default_timer(), process_time()
        preview(page._coating, page._setting, "glycerine")
        return default_timer() - start, process_time() - spent

    timed = [alone() for _ in range(MOVES)]
    floor = median(seconds for seconds, _ in timed)
    # The least: what others do on this machine only ever adds.
    processor = min(spent for _, spent in timed)
    painted = median(move("Right" if n % 2 else "Left") for n in range(MOVES))
    for _ in range(3):
        page.pass_time(desk.bench, desk.now)
    beside = move("Right")

    told = f"{1e3 * processor:.0f}, {1e3 * floor:.0f}, {1e3 * painted:.0f}"
    logging.getLogger(__name__).info(
        "preview by processor and clock, key to paint: %s ms; beside the accurate"
        " run %.0f ms",
        told,
        1e3 * beside,
    )
    page._sure.drop()
    qtbot.waitUntil(lambda: page.asker.idle and page._sure.idle, timeout=120_000)
    assert processor <= COMPUTED_S, told
    assert painted <= ANSWER_RATIO * floor, told
