"""The foot and the keys, read before any widget sees them.

Every key press passes through one filter of the application: the pedal's go to the
guard, hand keys become signals, and what is typed into a field is left alone. So no
press can click a button, open a list or answer for somebody.
"""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QWindow
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QTextEdit,
    QWidget,
)

from benchassist.clock import Clock, Instant
from benchassist.domain.burst import SEPARATOR, Burst, Out, Scanned, Stroke
from benchassist.domain.pedal_guard import (
    LONG_MS,
    QUIET_MS,
    Answer,
    Blocked,
    Edge,
    PedalGuard,
    Press,
    Situation,
)
from benchassist.ui.ticker import Gap, Ticker
from benchassist.value import replace

Focus = Literal["none", "control", "field", "text"]

_KEY_EVENTS = (
    QEvent.Type.ShortcutOverride,
    QEvent.Type.KeyPress,
    QEvent.Type.KeyRelease,
)
_MODIFIERS = {
    Qt.Key.Key_Shift,
    Qt.Key.Key_Control,
    Qt.Key.Key_Alt,
    Qt.Key.Key_AltGr,
    Qt.Key.Key_Meta,
    Qt.Key.Key_CapsLock,
    Qt.Key.Key_NumLock,
    Qt.Key.Key_ScrollLock,
}
_CHORD = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)
FILL_MS = 300  # [ms] down before it is shown: a short press is over by then; a choice
_FIRST_UNPRINTABLE = 0x01000000  # Qt.Key: from here on keys that type nothing
_ANYWHERE = ("H", "W", "Esc", "Enter")  # hand keys that a form's controls leave alone


class Pedal(QObject):
    """The application's key filter.

    Signals: ``pressed(Press)`` and ``refused(Refused)`` for the foot,
    ``key_down(str)`` and ``key_up(str)`` for hands, once each however long a key is
    held; ``scanned(str)`` what a scanner typed outside a field; ``learned(int)`` the
    key that was taught; ``typing_changed(bool)``; ``front_changed(bool)``;
    ``held(float)`` how much of a long press is over, 0 when the foot is up, and
    ``let_go()`` that it was lifted before.
    """

    pressed = Signal(object)
    refused = Signal(object)
    key_down = Signal(str)
    key_up = Signal(str)
    scanned = Signal(str)
    learned = Signal(int)
    typing_changed = Signal(bool)
    front_changed = Signal(bool)
    held = Signal(float)
    let_go = Signal()

    def __init__(
        self, clock: Clock, ticker: Ticker, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._clock = clock
        self._ticker = ticker
        self._guard = PedalGuard()
        self._situation = Situation()
        self._keys: frozenset[int] = frozenset({Qt.Key.Key_Space})
        self._held: dict[str, Edge | None] = {}
        self._learning = False
        self._typing = False
        self._share = 0.0
        self._burst = Burst()
        self._seen = 0  # keys of the burst that lay there at the look before
        self._gap = Gap(self)
        self._gap.over.connect(self._settle)
        ticker.ticked.connect(self._look)

    def install(self, app: QApplication) -> None:
        """Read all keys of ``app`` from now on."""
        app.installEventFilter(self)
        app.focusChanged.connect(self._focus_changed)
        app.applicationStateChanged.connect(self._front_changed)

    def remove(self, app: QApplication) -> None:
        """Read no more keys."""
        app.removeEventFilter(self)
        app.focusChanged.disconnect(self._focus_changed)
        app.applicationStateChanged.disconnect(self._front_changed)

    @property
    def guard(self) -> PedalGuard:
        """The guard, with its counts of refused presses."""
        return self._guard

    def use_key(self, key: int) -> None:
        """Let ``key`` be the pedal beside the space bar."""
        self._keys = frozenset({Qt.Key.Key_Space, key})

    def learn(self) -> None:
        """Take the next key that is pressed for the pedal; Esc calls it off."""
        self._learning = True

    def set_state(self, *, long_press: bool, two_due: bool, about: str = "") -> None:
        """Say what a press may mean in the present state, and about what."""
        self._situation = replace(
            self._situation, long_press=long_press, two_due=two_due
        )
        self._guard, answers = self._guard.turn(about)
        self._tell(answers)

    def note_change(self) -> None:
        """Say that the program has just changed screen or part of its own accord."""
        now_ms = self._clock.now().mono_ms
        self._situation = replace(self._situation, changed_ms=now_ms)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Take the keys that are ours, leave the others to whoever has the focus."""
        if event.type() not in _KEY_EVENTS or not isinstance(event, QKeyEvent):
            return False
        kind = self._kind(event)
        if event.type() == QEvent.Type.ShortcutOverride:
            if kind != "pass":
                event.accept()
            return kind != "pass"
        if not isinstance(watched, QWindow):
            return kind != "pass"
        if kind == "pass" and event.key() in self._keys:
            self._take_pedal(self._edge(event), "typing")
            return False
        if kind != "pass" and self._learning:
            self._take_hand(self._stroke(event, kind))
        elif kind != "pass" or _in_a_control(event):
            self._watch(self._stroke(event, kind))
        return kind != "pass"

    def _watch(self, stroke: Stroke) -> None:
        """Look whether a machine types, and act on what is a hand's."""
        if stroke.name in self._held and not self._burst.strokes:
            self._take_hand(stroke)  # a key that is held repeats itself
            return
        self._burst, out = self._burst.takes(stroke)
        if self._burst.strokes:
            self._gap.start(self._burst.wait_ms)
        else:
            self._gap.stop()
        self._hear(out)

    def _hear(self, out: tuple[Out, ...]) -> None:
        """Act on keys that are a hand's or the foot's, or on a scan."""
        for each in out:
            if isinstance(each, Scanned):
                self.scanned.emit(each.text)
            elif each.pedal:
                self._take_foot(each.edge)
            else:
                self._take_hand(each)

    def _settle(self) -> None:
        self._gap.stop()
        self._burst, out = self._burst.settled()
        self._hear(out)

    def _kind(self, event: QKeyEvent) -> Literal["pedal", "hand", "pass"]:
        """Say whose key this is."""
        key = event.key()
        of_a_scan = bool(self._burst.strokes) and event.text() == SEPARATOR
        if not of_a_scan and (key in _MODIFIERS or event.modifiers() & _CHORD):
            return "pass"
        if of_a_scan or self._learning or key_name(event) in self._held:
            return "hand"
        focus = focus_kind()
        if key in self._keys:
            # Space is the foot, and never in a field of any kind.
            typed = key < _FIRST_UNPRINTABLE and in_a_field()
            return "pass" if typed else "pedal"
        if _popup_open():
            return "pass"
        if _is_tray(event):
            return "hand"
        allowed = {
            "none": True,
            "control": key_name(event) in _ANYWHERE,
            "field": key_name(event) in ("Esc", "Enter"),
            "text": key_name(event) == "Esc",
        }
        return "hand" if allowed[focus] else "pass"

    def _take_foot(self, edge: Edge) -> None:
        blocked: Blocked | None = "popup open" if _popup_open() else None
        if not _in_front():
            blocked = "not in front"
        self._take_pedal(edge, blocked)

    def _take_pedal(self, edge: Edge, blocked: Blocked | None) -> None:
        situation = replace(self._situation, blocked=blocked)
        self._guard, answers = self._guard.edge(edge, situation)
        self._tell(answers)

    def _take_hand(self, stroke: Stroke) -> None:
        name, edge = stroke.name, stroke.edge
        if not edge.down:
            if name in self._held and not edge.repeat:
                self._held[name] = edge
            return
        if self._learning:
            self._learning = False
            if name != "Esc":
                self.use_key(stroke.key)
                self.learned.emit(stroke.key)
            return
        if name in self._held:
            lifted = self._held[name]
            if edge.repeat or lifted is None or edge.since(lifted) < QUIET_MS:
                self._held[name] = None
                return
            self.key_up.emit(name)
        self._held[name] = None
        self.key_down.emit(name)

    def _stroke(self, event: QKeyEvent, kind: str = "hand") -> Stroke:
        return Stroke(
            name=key_name(event),
            text=event.text(),
            edge=self._edge(event),
            key=event.key(),
            pedal=kind == "pedal",
            passed=kind == "pass",
        )

    def _edge(self, event: QKeyEvent) -> Edge:
        now_ms = self._clock.now().mono_ms
        return Edge(
            down=event.type() == QEvent.Type.KeyPress,
            stamp_ms=event.timestamp(),
            arrival_ms=now_ms,
            made_ms=self._ticker.earliest_ms(now_ms),
            repeat=event.isAutoRepeat(),
        )

    def _tell(self, answers: tuple[Answer, ...]) -> None:
        for answer in answers:
            if self._share and answer == Press("short"):
                self.let_go.emit()
            if isinstance(answer, Press):
                self.pressed.emit(answer)
            else:
                self.refused.emit(answer)

    def _look(self, now: Instant) -> None:
        # After a stall a release may lie unread: the next look decides.
        if self._ticker.late:
            return
        self._guard, answers = self._guard.look(now.mono_ms)
        self._tell(answers)
        self._show_held(now.mono_ms)
        # Two looks with nothing between them leave nothing unread.
        there = len(self._burst.strokes)
        if there and there == self._seen:
            self._settle()
        self._seen = len(self._burst.strokes)
        for name, lifted in tuple(self._held.items()):
            if lifted is not None and now.mono_ms - lifted.arrival_ms >= QUIET_MS:
                del self._held[name]
                self.key_up.emit(name)

    def _show_held(self, now_ms: int) -> None:
        """Tell how long a foot that may mean a long press has been down."""
        down, share = self._guard.waiting, 0.0
        if down is not None and now_ms - down.arrival_ms >= FILL_MS:
            share = min(1.0, (now_ms - down.arrival_ms) / LONG_MS)
        if share != self._share:
            self._share = share
            self.held.emit(share)

    def _focus_changed(self, _old: QWidget | None, _new: QWidget | None) -> None:
        typing = in_a_field()
        if typing != self._typing:
            self._typing = typing
            self.typing_changed.emit(typing)

    def _front_changed(self, state: Qt.ApplicationState) -> None:
        front = state == Qt.ApplicationState.ApplicationActive
        if not front:
            self._settle()
            self._guard = self._guard.forget_pressed()
            for name in tuple(self._held):
                del self._held[name]
                self.key_up.emit(name)
        self.front_changed.emit(front)


def key_name(event: QKeyEvent) -> str:
    """Return the key as options spell it: "A", "1", "Tab", "Enter", "Shift+F2"."""
    if event.key() == Qt.Key.Key_Return:
        return "Enter"
    if _is_tray(event) and event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
        return f"Shift+F{event.key() - Qt.Key.Key_F1 + 1}"
    return QKeySequence(event.key()).toString(QKeySequence.SequenceFormat.PortableText)


def _is_tray(event: QKeyEvent) -> bool:
    """Say whether a key is that of a tray, which types nothing into any field."""
    return Qt.Key.Key_F1 <= event.key() <= Qt.Key.Key_F12


def focus_kind() -> Focus:
    """Return what has the focus: a line or text to type in, a control, or nothing."""
    widget = QApplication.focusWidget()
    if isinstance(widget, QLineEdit | QAbstractSpinBox):
        return "control" if widget.isReadOnly() else "field"
    if isinstance(widget, QComboBox):
        return "field" if widget.isEditable() else "control"
    if isinstance(widget, QTextEdit | QPlainTextEdit):
        return "control" if widget.isReadOnly() else "text"
    if widget is None or not widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
        return "none"
    return "control"


def in_a_field() -> bool:
    """Return whether something is filled in: typed, or chosen from a list."""
    chosen = isinstance(QApplication.focusWidget(), QComboBox)
    return chosen or focus_kind() in ("field", "text")


def _in_a_control(event: QKeyEvent) -> bool:
    """Say whether a key goes to a list or button, where a scan is watched for."""
    plain = not (event.key() in _MODIFIERS or event.modifiers() & _CHORD)
    return plain and focus_kind() == "control" and not _popup_open()


def _popup_open() -> bool:
    return bool(QApplication.activePopupWidget() or QApplication.activeModalWidget())


def _in_front() -> bool:
    state = QGuiApplication.applicationState()
    return state == Qt.ApplicationState.ApplicationActive
