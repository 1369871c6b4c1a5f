"""Every key passes one filter: the foot presses nothing that it did not mean."""

import random

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QStringListModel, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QLineEdit,
    QListView,
    QPlainTextEdit,
    QPushButton,
    QSlider,
    QSpinBox,
    QTabBar,
    QWidget,
)

from benchassist.domain.pedal_guard import Press, Refused
from benchassist.ui.pedal import Pedal, focus_kind

SPACE, F13 = Qt.Key.Key_Space, Qt.Key.Key_F13
DOWN, UP = QEvent.Type.KeyPress, QEvent.Type.KeyRelease


class Desk:
    """A window with one widget of each kind, and the foot above it."""

    def __init__(self, clock, ticker, qapp, qtbot):
        self.clock, self.ticker, self.qapp = clock, ticker, qapp
        self.window = QWidget()
        qtbot.addWidget(self.window)
        self.parts = {}
        self.window.resize(600, 600)
        for part in (QPushButton, QCheckBox, QComboBox, QLineEdit, QSlider, QTabBar):
            self.add(part(self.window))
        self.add(QPlainTextEdit(self.window))
        self.add(QSpinBox(self.window))
        self.add(QListView(self.window))
        self.parts["QComboBox"].addItems(["one", "two"])
        self.parts["QTabBar"].addTab("one")
        self.parts["QListView"].setModel(QStringListModel(["a", "b"], self.window))
        read_only = QLineEdit("read", self.window)
        read_only.setReadOnly(True)
        self.parts["read only"] = read_only
        read_only.move(0, 560)
        self.pedal = Pedal(clock, ticker)
        self.answers, self.keys, self.typing = [], [], []
        self.pedal.pressed.connect(self.answers.append)
        self.pedal.refused.connect(self.answers.append)
        self.pedal.key_down.connect(self.went_down)
        self.pedal.key_up.connect(self.went_up)
        self.pedal.typing_changed.connect(self.typing.append)
        self.window.show()
        self.window.activateWindow()
        qtbot.waitUntil(self.window.isActiveWindow)
        self.pedal.install(qapp)
        self.window.setFocus()

    def add(self, part):
        part.setGeometry(0, 60 * len(self.parts), 300, 50)
        self.parts[type(part).__name__] = part

    def went_down(self, key):
        self.keys.append(f"{key} down")

    def went_up(self, key):
        self.keys.append(f"{key} up")

    def focus(self, name):
        self.parts[name].setFocus()

    def send(self, kind, key, text="", *, stamp=0, repeat=False, modifiers=None):
        """Send an event where the system does: to the window, before any widget."""
        none = Qt.KeyboardModifier.NoModifier
        event = QKeyEvent(kind, key, modifiers or none, text, repeat)
        event.setTimestamp(stamp)
        handle = self.window.windowHandle()
        popup = self.qapp.activePopupWidget()
        QCoreApplication.sendEvent(popup.windowHandle() if popup else handle, event)

    def tap(self, key, text="", *, hold_ms=120, **more):
        self.send(DOWN, key, text, **more)
        self.wait(hold_ms)
        self.send(UP, key, text, **more)
        self.wait(1000)

    def wait(self, ms):
        for _ in range(max(1, ms // 100)):
            self.clock.advance(100)
            self.ticker.look()


@pytest.fixture
def desk(clock, ticker, qapp, qtbot):
    made = Desk(clock, ticker, qapp, qtbot)
    yield made
    made.pedal.remove(qapp)
    popup = qapp.activePopupWidget()
    if popup is not None:
        popup.close()


@pytest.mark.parametrize(
    "name",
    [
        "QPushButton",
        "QCheckBox",
        "QSlider",
        "QTabBar",
        "QListView",
        "read only",
    ],
)
def test_the_pedal_acts_and_never_works_the_control_that_has_the_focus(desk, name):
    clicked = []
    desk.parts["QPushButton"].clicked.connect(lambda: clicked.append(1))
    desk.focus(name)

    desk.tap(SPACE, " ")

    assert desk.answers == [Press("short")]
    assert clicked == []
    assert not desk.parts["QCheckBox"].isChecked()
    assert desk.qapp.activePopupWidget() is None


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_a_space_on_a_list_to_choose_from_presses_nothing(desk):
    """It started another part's wash."""
    desk.focus("QComboBox")

    desk.tap(SPACE, " ")

    assert desk.answers == [Refused("typing")]


@pytest.mark.parametrize("name", ["QLineEdit", "QPlainTextEdit"])
def test_a_space_in_a_text_types_a_space_and_presses_nothing(desk, name):
    desk.focus(name)

    desk.tap(SPACE, " ")

    part = desk.parts[name]
    assert (part.text() if name == "QLineEdit" else part.toPlainText()) == " "
    assert desk.answers == [Refused("typing")]
    assert desk.pedal.guard.counts == {"typing": 1}


@pytest.mark.parametrize("name", ["QLineEdit", "QPlainTextEdit", "QSpinBox"])
def test_a_pedal_that_types_nothing_works_while_somebody_types(desk, name):
    desk.pedal.use_key(F13)
    desk.focus(name)

    desk.tap(F13)

    assert desk.answers == [Press("short")]


def test_typing_is_told_when_a_field_gets_and_loses_the_focus(desk):
    desk.focus("QLineEdit")
    desk.focus("QPushButton")

    assert desk.typing == [True, False]


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_an_open_list_is_neither_answered_nor_pressed_through(desk):
    combo = desk.parts["QComboBox"]
    desk.focus("QComboBox")
    combo.showPopup()

    desk.tap(SPACE, " ")

    assert desk.answers == [Refused("popup open")]
    assert desk.qapp.activePopupWidget() is not None
    combo.hidePopup()


def test_a_shortcut_on_the_pedals_key_is_never_triggered(desk):
    action = QAction("wrong", desk.window)
    action.setShortcut(QKeySequence(SPACE))
    desk.window.addAction(action)
    done = []
    action.triggered.connect(lambda: done.append(1))

    event = QKeyEvent(
        QEvent.Type.ShortcutOverride, SPACE, Qt.KeyboardModifier.NoModifier, " "
    )
    event.ignore()
    QCoreApplication.sendEvent(desk.window, event)
    desk.tap(SPACE, " ")

    assert event.isAccepted()
    assert done == []
    assert desk.answers == [Press("short")]


def test_another_key_is_learned_by_pressing_it(desk):
    learned = []
    desk.pedal.learned.connect(learned.append)
    desk.pedal.learn()

    desk.tap(F13)
    desk.tap(F13)
    desk.tap(SPACE, " ")

    assert learned == [F13]
    assert desk.answers == [Press("short"), Press("short")]
    assert desk.keys == []


def test_esc_calls_the_learning_off(desk):
    learned = []
    desk.pedal.learned.connect(learned.append)
    desk.pedal.learn()

    desk.tap(Qt.Key.Key_Escape)
    desk.tap(F13)

    assert learned == []
    assert desk.answers == []


def test_a_long_press_where_it_has_a_meaning(desk):
    desk.pedal.set_state(long_press=True, two_due=False)

    desk.tap(SPACE, " ", hold_ms=2000)
    desk.tap(SPACE, " ", hold_ms=300)

    assert desk.answers == [Press("long"), Press("short")]


def test_a_press_just_after_the_screen_changed_is_refused_and_said(desk):
    desk.wait(2000)
    desk.pedal.note_change()
    desk.wait(1100)

    desk.tap(SPACE, " ")
    desk.tap(SPACE, " ")

    assert desk.answers == [Refused("screen changed"), Press("short")]
    assert desk.answers[0].said


def test_a_press_read_late_is_not_taken_for_the_screen_it_never_saw(desk):
    desk.wait(1000)
    desk.pedal.note_change()
    desk.clock.advance(5000)

    desk.send(DOWN, SPACE, " ")

    assert desk.answers == [Refused("screen changed")]


def test_two_things_due_at_once_stop_the_foot(desk):
    desk.pedal.set_state(long_press=False, two_due=True)

    desk.tap(SPACE, " ")

    assert desk.answers == [Refused("two due")]


def test_hand_keys_are_told_once_however_long_they_are_held(desk):
    desk.send(DOWN, Qt.Key.Key_A, "a", stamp=1000)
    for stamp in range(1660, 3300, 41):
        # An X server repeats with a release and a press of one stamp, unflagged.
        desk.send(UP, Qt.Key.Key_A, "a", stamp=stamp)
        desk.send(DOWN, Qt.Key.Key_A, "a", stamp=stamp)
        desk.clock.advance(41)
        desk.ticker.look()
    held = list(desk.keys)
    desk.send(UP, Qt.Key.Key_A, "a", stamp=3400)
    desk.wait(200)

    assert held == ["A down"]
    assert desk.keys == ["A down", "A up"]


def test_flagged_repeats_are_no_presses_either(desk):
    desk.send(DOWN, Qt.Key.Key_A, "a", stamp=1000)
    for stamp in range(1500, 3000, 33):
        desk.send(DOWN, Qt.Key.Key_A, "a", stamp=stamp, repeat=True)
        desk.wait(100)
    desk.send(UP, Qt.Key.Key_A, "a", stamp=3000)
    desk.wait(200)

    assert desk.keys == ["A down", "A up"]


def test_two_taps_of_a_key_are_two(desk):
    for stamp in (1000, 1400):
        desk.send(DOWN, Qt.Key.Key_A, "a", stamp=stamp)
        desk.send(UP, Qt.Key.Key_A, "a", stamp=stamp + 90)
    desk.wait(200)

    assert desk.keys == ["A down", "A up", "A down", "A up"]


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("QPushButton", ["H", "W", "Esc", "Enter"]),
        ("QComboBox", ["H", "W", "Esc", "Enter"]),
        ("QLineEdit", ["Esc", "Enter"]),
        ("QPlainTextEdit", ["Esc"]),
    ],
)
def test_a_field_keeps_its_letters_and_a_control_its_arrows(desk, name, told):
    desk.focus(name)

    for key, text in (
        (Qt.Key.Key_H, "h"),
        (Qt.Key.Key_W, "w"),
        (Qt.Key.Key_Down, ""),
        (Qt.Key.Key_Escape, ""),
        (Qt.Key.Key_Return, "\r"),
    ):
        desk.tap(key, text)

    assert [key.split()[0] for key in desk.keys if key.endswith("down")] == told


def test_tab_goes_to_the_list_of_parts_unless_a_form_needs_it(desk, qtbot):
    desk.tap(Qt.Key.Key_Tab, "\t")
    told = list(desk.keys)
    desk.focus("QLineEdit")
    desk.tap(Qt.Key.Key_Tab, "\t")

    assert told == ["Tab down", "Tab up"]
    assert desk.keys == told


def test_chords_are_left_to_the_system(desk):
    desk.tap(Qt.Key.Key_A, "a", modifiers=Qt.KeyboardModifier.ControlModifier)

    assert desk.keys == []


def test_a_window_that_goes_to_the_back_lets_everything_go(desk):
    told = []
    desk.pedal.front_changed.connect(told.append)
    desk.pedal.set_state(long_press=True, two_due=False)
    desk.send(DOWN, Qt.Key.Key_A, "a")
    desk.send(DOWN, SPACE, " ")

    desk.qapp.applicationStateChanged.emit(Qt.ApplicationState.ApplicationInactive)
    desk.wait(3000)

    assert told == [False]
    assert desk.keys == ["A down", "A up"]
    assert desk.answers == []


def test_a_thousand_bouncing_presses_pass_the_filter_with_stalls_and_focus_changes(
    desk,
):
    """None lost, none doubled: the logs imitate a worn switch (no source)."""
    dice = random.Random(7)
    stamp = desk.clock.now().mono_ms
    names = list(desk.parts)
    for number in range(1000):
        name = names[number % len(names)]
        desk.pedal.use_key(F13)
        desk.focus(name)
        stalled = number % 5 == 0
        for kind in (DOWN, UP):
            desk.send(kind, F13, stamp=stamp)
            for _ in range(dice.randint(0, 3)):
                stamp += dice.randint(1, 15)
                desk.send(UP if kind is DOWN else DOWN, F13, stamp=stamp)
                stamp += dice.randint(1, 15)
                desk.send(kind, F13, stamp=stamp)
            stamp += dice.randint(70, 220)
            if not stalled:
                desk.wait(100)
        stamp += dice.randint(700, 900)
        if stalled:
            desk.clock.advance(1500)
        desk.wait(800)

    assert desk.answers.count(Press("short")) == 1000
    assert set(desk.pedal.guard.counts) == {"bounce"}


def test_without_any_focus_nothing_is_typed_into(desk):
    desk.window.setFocus()

    assert focus_kind() == "none"
