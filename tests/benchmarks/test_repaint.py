"""Thirty countdowns at ten looks a second, against a bare table with a delegate.

Both are measured in one run, so that a slow machine slows both. The floor is what
Qt asks for the plainest table that shows the same: a code, a bar and a time.
"""

import time
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from PySide6.QtCore import QAbstractTableModel, QRect, QSize, Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication, QStyledItemDelegate, QTableView

from benchassist.clock import SimulatedClock
from benchassist.ui.bench import Bench
from benchassist.ui.theme import load_fonts, load_palette, theme_for
from benchassist.ui.ticker import LOOK_MS, Ticker
from benchassist.ui.view import Band, BenchView, Countdown, Row

PARTS = 30
SECONDS = 10  # [s] of bench time
LOOKS = SECONDS * 1000 // LOOK_MS
MOST_OF_THE_FLOOR = 1.5
IDLE_SHARE = 0.01  # of one core
SIZE = QSize(1920, 1080)

pytestmark = pytest.mark.benchmark


class BareModel(QAbstractTableModel):
    """Thirty rows of a code, a share and a time."""

    def __init__(self):
        super().__init__()
        self.left_ms = [60_000 + 7_000 * row for row in range(PARTS)]

    def rowCount(self, _parent=None):  # noqa: N802
        return PARTS

    def columnCount(self, _parent=None):  # noqa: N802
        return 3

    def data(self, index, role=Qt.ItemDataRole.DisplayRole):
        left_ms = self.left_ms[index.row()]
        if role == Qt.ItemDataRole.UserRole:
            return left_ms / 300_000
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if index.column() == 0:
            return f"EX-{index.row()}"
        return (
            f"{left_ms // 60_000}:{left_ms // 1000 % 60:02}" if index.column() else ""
        )

    def look(self, passed_ms):
        self.left_ms = [60_000 + 7_000 * row - passed_ms for row in range(PARTS)]
        self.dataChanged.emit(self.index(0, 1), self.index(PARTS - 1, 2))


class BareDelegate(QStyledItemDelegate):
    """A bar in the middle column."""

    def paint(self, painter, option, index):
        if index.column() != 1:
            super().paint(painter, option, index)
            return
        share = index.data(Qt.ItemDataRole.UserRole)
        rect = QRect(option.rect)
        rect.setWidth(round(rect.width() * share))
        painter.fillRect(rect, QColor("#808080"))


def bench_view(passed_ms):
    rows = []
    for number in range(PARTS):
        left_ms = 60_000 + 7_000 * number - passed_ms
        text = f"{left_ms // 60_000}:{left_ms // 1000 % 60:02}"
        rows.append(
            Row(f"EX-{number}", "crown", "wash 2", text, "WAIT", 1 - left_ms / 300_000)
        )
    left_ms = 60_000 - passed_ms
    big = f"{left_ms // 60_000}:{left_ms // 1000 % 60:02}"
    return BenchView(
        status=("Thu 14 May 10:37", "OP-1"),
        right_status="",
        mark="EXAMPLE",
        band=Band("WAIT", "EX-0", passed_ms / 60_000),
        headline="Wash 2: take out in",
        countdown=Countdown(big, fill=passed_ms / 60_000),
        rows=tuple(replace(row, focused=not n) for n, row in enumerate(rows)),
        next_line=f"EX-1 out of wash 2 in {big}",
        pedal_line="says how long EX-0 still has",
    )


def cpu_ms(look):
    """Return the processor time of one look and its repaint, in ms."""
    app = QApplication.instance()
    for number in range(5):
        look(number * LOOK_MS)
        app.processEvents()
    start = time.process_time()
    for number in range(5, LOOKS):
        look(number * LOOK_MS)
        app.processEvents()
    return (time.process_time() - start) * 1000 / (LOOKS - 5)


@pytest.fixture
def bench(qtbot):
    load_fonts()
    theme = theme_for(load_palette("dark"), mm_per_px=0.277, size=SIZE)
    clock = SimulatedClock(datetime(2026, 5, 14, 10, 37, tzinfo=UTC))
    made = Bench(theme, clock, Ticker(clock))
    qtbot.addWidget(made)
    made.resize(SIZE)
    made.show()
    return made


@pytest.fixture
def bare(qtbot):
    table = QTableView()
    qtbot.addWidget(table)
    table.setModel(BareModel())
    table.setItemDelegate(BareDelegate(table))
    table.resize(SIZE)
    table.show()
    return table


def test_thirty_countdowns_cost_no_more_than_half_again_a_bare_table(
    bench, bare, record_property
):
    floor_ms = min(cpu_ms(bare.model().look) for _ in range(3))

    def look(passed_ms):
        bench.show_view(bench_view(passed_ms))

    def only_made(passed_ms):
        bench_view(passed_ms)

    look_ms = min(cpu_ms(look) for _ in range(3)) - cpu_ms(only_made)
    record_property("floor_ms", floor_ms)
    record_property("look_ms", look_ms)
    print(f"bare table {floor_ms:.2f} ms, bench {look_ms:.2f} ms a look")

    assert look_ms <= MOST_OF_THE_FLOOR * floor_ms


def test_a_window_where_nothing_changes_costs_almost_nothing(bench, record_property):
    view = bench_view(0)

    look_ms = min(cpu_ms(lambda _passed_ms: bench.show_view(view)) for _ in range(3))
    record_property("idle_share", look_ms / LOOK_MS)
    print(f"idle look {look_ms:.3f} ms")

    assert look_ms / LOOK_MS < IDLE_SHARE
