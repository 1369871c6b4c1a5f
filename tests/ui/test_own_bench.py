"""An empty store by keys alone: what the bench shall be, each step, the shelf."""

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from benchassist.app import application
from benchassist.clock import RealClock
from benchassist.journal.writing import Journal
from benchassist.session import Session
from benchassist.ui.desk import Desk
from benchassist.ui.form import ScanLine
from benchassist.ui.jobs import Exporter
from benchassist.ui.present.forms import GS_SHOWN
from benchassist.ui.settings import Settings
from benchassist.ui.window import Window


class Ahead:
    """Real hands on a clock that the test moves: the guards' time."""

    def __init__(self):
        self._base, self.ms = RealClock().now(), 0

    def now(self):
        return self._base.plus(self.ms)


@pytest.fixture
def real():
    return Ahead()


@pytest.fixture
def window(tmp_path, qtbot, real):
    session = Session.open(
        Journal.open(tmp_path / "store"), real, kind="real", station="x", zone="UTC"
    )
    desk = Desk(
        tmp_path,
        tmp_path / "settings.json",
        Exporter(tmp_path / "store").job,
        lambda _session: None,
    )
    application()
    made = Window(session, real, Settings(mm_per_pixel=0.253), desk)
    made.resize(1366, 768)
    qtbot.addWidget(made)
    made.show()
    made.pedal.install(QApplication.instance())
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    made.bench.set_front(True)
    made.pages.offer_start()
    yield made
    made.pedal.remove(QApplication.instance())
    session.close()


@pytest.fixture
def keys(window, qtbot, real):
    """Return a function that types words, and presses keys named in brackets.

    Each is pressed two seconds after the last, past the guard of a turned page.
    """

    def edge(kind, key, text):
        event = QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier, text)
        event.setTimestamp(real.now().mono_ms)
        QApplication.sendEvent(window.windowHandle(), event)

    def stroke(key, text):
        real.ms += 2000
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            edge(kind, key, text)
            real.ms += 60
        window.ticker.look()

    def press(*words):
        for word in words:
            if word.startswith("["):
                stroke(getattr(Qt.Key, f"Key_{word.strip('[]')}"), "")
                continue
            for letter in word:
                stroke(Qt.Key(ord(letter.upper())), letter)

    return press


def page(window):
    return window.pages._name


def test_an_empty_store_asks_what_the_bench_shall_be(window, keys):
    assert page(window) == "first-start"
    keys("1")
    assert page(window) == "own-bench"


def test_the_path_by_keys(window, keys):
    bench = lambda: window._session.bench  # noqa: E731 - the state of the moment
    keys("1", "[Return]", "KR1", "[Return]")
    assert bench().operator == "KR1"
    tab = "[Tab]"
    keys("[Return]", "box1", tab, tab, "2200", tab, "275", tab, tab, tab, tab, "120")
    keys("[Return]")
    assert bench().boxes["box1"].rate_hz == 8.0
    keys("[Return]", "lamp1", tab, tab, "1000", tab, "810", "[Return]")
    assert bench().readings["lamp1"].value == 810.0
    keys("[Return]", tab, "rs1", tab, tab, tab, "A4711", "[Return]")
    assert bench().lots["A4711"].material == "rs1"
    keys("[Return]", "crown1", tab, tab, tab, "2025-11", tab, tab, tab, "120-300")
    keys(tab, tab, "15", tab, "4400", tab, tab, tab, tab, "10", "[Return]")
    assert "crown1 r1" in bench().recipes
    keys("[Return]", "gv1", tab, "60", tab, "G12", "[Return]")
    assert bench().fills["gv1"].lot == "G12"
    assert page(window) == "own-bench"


def test_an_error_keeps_what_was_typed_and_says_what_to_write(window, keys):
    keys("1", "[Return]", "Maria Muster", "[Return]")
    assert page(window) == "own-who"
    assert window.pages._form.values() == {"who": "Maria Muster"}
    assert window._session.bench.operator == ""
    assert "code" in window.pages._form._error.text()


def test_a_scan_field_keeps_the_separator(qtbot):
    field = ScanLine()
    qtbot.addWidget(field)
    qtbot.keyClicks(field, "10LOT-A42")
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        control = Qt.KeyboardModifier.ControlModifier
        event = QKeyEvent(kind, Qt.Key.Key_BracketRight, control, "\x1d")
        QApplication.sendEvent(field, event)
    qtbot.keyClicks(field, "21SN0007")
    assert field.text() == f"10LOT-A42{GS_SHOWN}21SN0007"


def test_space_in_a_field_is_a_space(window, keys):
    keys("1", "[Return]", "A B")
    assert window.pages._form.values() == {"who": "A B"}


def test_an_error_puts_the_cursor_into_its_field(window, keys):
    keys("1", "[Return]", "KR1", "[Return]", "4", "box1", "[Tab]", "[Tab]", "many")
    keys("[Tab]", "275", "[Return]")
    form = window.pages._form
    assert "One full run shows" in form._error.text()
    assert QApplication.focusWidget() is form._inputs["counts"]


def test_esc_in_a_form_is_one_step_back(window, keys):
    keys("1", "[Return]", "KR1", "[Return]", "5", "lamp1", "[Escape]")
    assert page(window) == "own-bench"
    keys("5")
    assert window.pages._form.values()["code"] == "lamp1"


def test_a_step_is_its_row_and_no_button_besides(window, keys):
    keys("1")
    drawn = [each.option.key for each in window.pages._table.buttons()]
    assert drawn == ["Enter"]
    table = window.pages._table
    table._tapped(table._model.index(3, 1))
    assert page(window) == "own-box"
