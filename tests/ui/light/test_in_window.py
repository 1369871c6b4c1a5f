"""The light pages in the whole window: opened by one key, left by Esc, heard."""

from functools import partial

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from benchassist import assets
from benchassist.app import application
from benchassist.clock import RealClock
from benchassist.journal.writing import Journal
from benchassist.rehearsal import Player, parse_script
from benchassist.ui.desk import Desk
from benchassist.ui.settings import Settings
from benchassist.ui.window import Window

pytestmark = pytest.mark.usefixtures("_few_draws")

ONE_CROWN = """
start 2026-03-02 09:00:00 +01:00
library practice.toml
operator OP-1
take-in EX-41 "EX-RC-C r1" EX-LT-C1 coat_lot=EX-LT-C2 lamp=EX-LM-A box=EX-BX-1 \
vessel=EX-GV-01 variant.stain_passes=0
"""


class Ahead:
    """Real hands on a clock that the test moves."""

    def __init__(self):
        self._base = RealClock().now()
        self.ms = 0

    def now(self):
        return self._base.plus(self.ms)


@pytest.fixture
def window(tmp_path, qtbot, _fonts):
    script = parse_script(
        ONE_CROWN, name="test", beside=partial(assets.read_text, "demo_cases")
    )
    player = Player(script, partial(Journal.open, tmp_path / "store"))
    for _ in player.moments():
        pass
    desk = Desk(
        tmp_path,
        tmp_path / "settings.json",
        lambda _action: lambda: "",
        lambda _session: None,
    )
    application()
    real = Ahead()
    window = Window(player.session, real, Settings(mm_per_pixel=0.253), desk)
    window.resize(1366, 768)
    qtbot.addWidget(window)
    window.show()
    app = QApplication.instance()
    window.pedal.install(app)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.bench.set_front(True)
    window.player, window.real = player, real
    yield window
    window.pedal.remove(app)
    window.close()
    player.close()


def press(window, key, text="", held_ms=120):
    for _ in range(20):
        window.real.ms += 100
        window.ticker.look()
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        event = QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier, text)
        event.setTimestamp(window.real.now().mono_ms)
        QApplication.sendEvent(window.windowHandle(), event)
        for _ in range(max(1, held_ms // 100)):
            window.real.ms += 100
            window.ticker.look()
    window.ticker.look()


def open_page(window):
    return window.bench._page


def settled(window, qtbot):
    def idle():
        window.ticker.look()
        return getattr(open_page(window), "idle", True)

    qtbot.waitUntil(idle, timeout=120_000)


def test_one_key_opens_the_light_pages_one_more_each_of_them_and_esc_leaves(
    window, qtbot
):
    press(window, Qt.Key.Key_Q, "q")
    assert len(open_page(window).buttons()) == 9
    press(window, Qt.Key.Key_5, "5")
    assert open_page(window).name == "spots"
    settled(window, qtbot)
    press(window, Qt.Key.Key_Escape)
    assert len(open_page(window).buttons()) == 9
    press(window, Qt.Key.Key_Escape)
    assert open_page(window) is None

    press(window, Qt.Key.Key_Q, "q")
    press(window, Qt.Key.Key_9, "9")
    assert open_page(window).name == "advisors"
    settled(window, qtbot)


def test_what_a_page_hands_on_is_decided_and_written_down(window, qtbot):
    press(window, Qt.Key.Key_Q, "q")
    settled(window, qtbot)
    press(window, Qt.Key.Key_8, "8")
    settled(window, qtbot)
    press(window, Qt.Key.Key_1, "1")

    assert "EX-LT-C1" in window.player.session.bench.dishes
    settled(window, qtbot)
    assert open_page(window)._grid.view.rows[0][0].text == "EX-LT-C1"
    press(window, Qt.Key.Key_3, "3")
    assert window.player.session.bench.dishes["EX-LT-C1"].since is None


def test_glasses_are_entered_by_holding_two_seconds(window, qtbot):
    press(window, Qt.Key.Key_Q, "q")
    settled(window, qtbot)
    press(window, Qt.Key.Key_7, "7")
    settled(window, qtbot)
    press(window, Qt.Key.Key_1, "1")
    fields = open_page(window)._fields
    for name, text in (("low_nm", "390"), ("high_nm", "525"), ("percent", "0.1")):
        fields._inputs[name].setText(text)
    press(window, Qt.Key.Key_Return)
    assert not window.player.session.bench.glasses

    press(window, Qt.Key.Key_1, "1", held_ms=200)
    assert not window.player.session.bench.glasses
    press(window, Qt.Key.Key_1, "1", held_ms=2400)

    shown = window.player.session.bench.glasses["OP-1"]
    assert (shown.low_nm, shown.high_nm, shown.transmittance) == (390, 525, 0.001)


def test_the_foot_still_works_under_a_light_page(window, qtbot):
    press(window, Qt.Key.Key_Q, "q")
    press(window, Qt.Key.Key_1, "1")
    settled(window, qtbot)
    before = window.player.session.bench.parts["EX-41"].phase
    press(window, Qt.Key.Key_Space, " ")

    assert window.player.session.bench.parts["EX-41"].phase != before
    assert open_page(window).name == "pairing"


def test_a_coupons_seconds_are_asked_in_the_window(window, qtbot):
    press(window, Qt.Key.Key_Q, "q")
    settled(window, qtbot)
    press(window, Qt.Key.Key_3, "3")
    settled(window, qtbot)
    press(window, Qt.Key.Key_1, "1")
    window.bench._parts.entry._field.setText("10")
    press(window, Qt.Key.Key_Return)

    (trial,) = window.player.session.bench.trials["EX-LM-A", "EX-RS-C"]
    assert (trial.tack_s, trial.passed) == (10.0, True)
    settled(window, qtbot)
