"""The whole window, driven by keys: foot and hand act, and only as the table says."""

from functools import partial

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QWidget

from benchassist import assets
from benchassist.app import application
from benchassist.clock import RealClock
from benchassist.domain.commands import ChoosePart
from benchassist.domain.events import CommandRefused
from benchassist.domain.pedal import situation
from benchassist.domain.state import Walking
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player, parse_script
from benchassist.ui.desk import Desk
from benchassist.ui.jobs import Exporter
from benchassist.ui.reading import maximized
from benchassist.ui.settings import Settings
from benchassist.ui.window import Window

UP_TO_THE_COAT = """
start 2026-03-02 09:00:00 +01:00
library practice.toml
operator OP-1
take-in EX-41 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp={lamp} box=EX-BX-1 \
vessel=EX-GV-01 variant.stain_passes=0
+5s press
+120s press
+10s press
+120s press
wait EX-41
+2s press
confirm-load EX-41 EX-BX-1 2200
+3s press
wait EX-41
tell-run-end R-1 completed
+2s press long
+2s press long
+2s press long
+2s press long
wait EX-41
+2s press
+2s press long
"""


class Ahead:
    """Real hands on a clock that the test moves: the guards' time."""

    def __init__(self):
        self._base = RealClock().now()
        self.ms = 0

    def now(self):
        return self._base.plus(self.ms)


@pytest.fixture
def opened(tmp_path, qtbot):
    """Return a function that rehearses a text and shows its bench in a window."""
    made = []

    def open_(text):
        script = parse_script(
            text,
            name="test",
            beside=partial(assets.read_text, "demo_cases"),
        )
        player = Player(script, partial(Journal.open, tmp_path / "store"))
        for _ in player.moments():
            pass
        real = Ahead()
        desk = Desk(
            tmp_path,
            tmp_path / "settings.json",
            Exporter(tmp_path / "store").job,
            lambda _session: None,
        )
        application()
        window = Window(player.session, real, Settings(mm_per_pixel=0.253), desk)
        window.resize(1366, 768)
        qtbot.addWidget(window)
        window.show()
        app = QApplication.instance()
        window.pedal.install(app)
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        window.bench.set_front(True)
        made.append((app, window, player))
        return window, player, real

    yield open_
    for app, window, player in made:
        window.pedal.remove(app)
        window.close()
        player.close()


def edge(window, kind, key, stamp, text=""):
    event = QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier, text)
    event.setTimestamp(stamp)
    QApplication.sendEvent(window.windowHandle(), event)


def press(window, real, key=Qt.Key.Key_Space, held_ms=120, text=" "):
    """Press and lift a key as a foot would, two seconds after the last time."""
    real.ms += 2000
    edge(window, QEvent.Type.KeyPress, key, real.now().mono_ms, text)
    steps = max(1, held_ms // 100)
    for _ in range(steps):
        real.ms += held_ms // steps
        window.ticker.look()
    edge(window, QEvent.Type.KeyRelease, key, real.now().mono_ms, text)
    for _ in range(3):
        real.ms += 100
        window.ticker.look()


def hold(window, real, key, text=""):
    """Hold a hand key for longer than two seconds."""
    press(window, real, key, held_ms=2400, text=text)


def refusals(player, code):
    return sum(
        isinstance(entry.event, CommandRefused) and entry.event.code == code
        for entry in player.session.journal.entries()
    )


def test_ten_presses_do_not_pass_a_failed_light_check(opened):
    window, player, real = opened(UP_TO_THE_COAT.format(lamp="EX-LM-B"))
    before = player.session.bench.parts["EX-41"]

    for _ in range(10):
        press(window, real)

    assert player.session.bench.parts["EX-41"] == before
    assert refusals(player, "light-check") == 10
    assert situation(player.session.bench, player.session.now()) == "shut"


def test_a_lamp_without_spectrum_stops_the_brush_as_well(opened):
    window, player, real = opened(UP_TO_THE_COAT.format(lamp="EX-LM-D"))

    press(window, real)

    assert refusals(player, "light-check") == 1
    assert player.session.bench.parts["EX-41"].work == {}


def test_a_held_key_picks_the_offered_lamp_and_a_tap_of_it_does_not(opened):
    window, player, real = opened(UP_TO_THE_COAT.format(lamp="EX-LM-B"))

    press(window, real, Qt.Key.Key_1, text="1")
    tapped = player.session.bench.parts["EX-41"].lamp
    hold(window, real, Qt.Key.Key_1, text="1")

    assert tapped == "EX-LM-B"
    assert player.session.bench.parts["EX-41"].lamp == "EX-LM-A"


def test_the_foot_wets_the_brush_and_starts_the_walk_after_a_held_card(opened):
    window, player, real = opened(UP_TO_THE_COAT.format(lamp="EX-LM-A"))

    press(window, real)  # the lamp session is not open: nothing begins
    nothing = player.session.bench.parts["EX-41"].work
    hold(window, real, Qt.Key.Key_Return)
    press(window, real)
    press(window, real)

    assert nothing == {}
    assert isinstance(player.session.bench.parts["EX-41"].phase, Walking)


def test_a_space_typed_into_a_field_starts_nothing(opened, qtbot):
    window, player, real = opened(UP_TO_THE_COAT.format(lamp="EX-LM-A"))
    press(window, real, Qt.Key.Key_N, text="n")
    press(window, real, Qt.Key.Key_Return)
    field = window.focusWidget()
    seq = player.session.bench.seq

    press(window, real)

    assert field is not None
    assert " " in getattr(field, "text", lambda: "")()
    assert player.session.bench.seq == seq


def test_a_page_is_left_by_escape_and_the_bench_is_there_again(opened):
    window, _player, real = opened(UP_TO_THE_COAT.format(lamp="EX-LM-A"))

    press(window, real, Qt.Key.Key_Q, text="q")
    away = window.bench.childAt(QPoint(100, 400))
    press(window, real, Qt.Key.Key_Escape)

    assert away is not window.bench.childAt(QPoint(100, 400))


def test_choosing_a_part_that_is_not_there_is_said_and_changes_nothing(opened):
    window, player, _real = opened(UP_TO_THE_COAT.format(lamp="EX-LM-A"))

    outcome = player.session.handle(ChoosePart("EX-99"))
    window.show_now()

    assert outcome.refusal.code == "no-such-part"
    assert player.session.bench.focus == "EX-41"


def test_a_window_fills_the_screen_where_nobody_manages_windows(qtbot):
    window = QWidget()
    qtbot.addWidget(window)
    maximized(window)

    # What it has by itself, whatever a manager of windows makes of it.
    assert window.normalGeometry().size() == window.screen().availableSize()
