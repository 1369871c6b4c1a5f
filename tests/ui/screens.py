"""Screens of the real window, each reached by a rehearsed day and by real keys.

A ``Moment`` is a shipped script up to a line, and what follows; ``Stage`` shows it in
a window of any size and theme.
"""

import posixpath
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from benchassist import assets
from benchassist.app import application
from benchassist.clock import RealClock, SimulatedClock
from benchassist.rehearsal import Player, parse_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.desk import Desk
from benchassist.ui.settings import Settings
from benchassist.ui.window import Window

LOOKS_TO_FRONT = 100  # times that Qt is let bring a window to the front


@dataclass(frozen=True)
class Moment:
    """A script, the line before which it ends, what follows, and the keys after it."""

    script: str
    until: str = ""
    more: str = ""
    keys: tuple[str, ...] = ()
    kind: str = "rehearsal"

    def text(self):
        """Return the text of the whole script."""
        whole = assets.read_text("demo_cases", "scripts", f"{self.script}.txt")
        before, found, _ = whole.partition(self.until or "\0")
        assert found or not self.until, f"{self.script} has no line {self.until}"
        return before + self.more


MOMENTS = {
    "wait": Moment("day", "08:23:40 press", "08:22:40 end"),
    "do": Moment("day", "08:40:10 press"),
    "do four panels": Moment("o9_touched_dropped", "confirm-submerged EX-29"),
    "do late": Moment("day", "08:37:40 press", "08:37:35 end"),
    "do by hand": Moment("day", "09:03:32 press long"),
    "hold": Moment("day", "11:21:30 choose-part", "11:21:20 choose-part EX-10\n"),
    "hold paused": Moment("o4_phone_call", "+95s press", "+9s come-back\n"),
    "hold look": Moment("o4_phone_call", "+95s press", "+95s come-back\n"),
    "stop": Moment("o3_wrong_lamp", "# No hand can accept"),
    "stop slow lamp": Moment("o3_wrong_lamp", "# An old reading counts"),
    "stop gate": Moment(
        "o9_touched_dropped", "accept-gate coats-max", "expect refused coats-max\n"
    ),
    "stop four panels": Moment(
        "o4_arch_and_call",
        "expect refused dry-before-coat",
        "expect refused dry-before-coat\n",
    ),
    "ask": Moment("day", "08:45:44 tell-run-end", "08:45:42 choose-part EX-01\n"),
    "ask after power": Moment("o5_power_loss_seen", "+60s tell-run-end"),
    "ask load": Moment("day", "08:40:51 confirm-load", "08:40:45 end"),
    "ask session": Moment("day", "09:12:33 open-lamp-session", "09:12:30 end"),
    "ask checks": Moment(
        "day", "10:41:12 record-check", "10:41:05 choose-part EX-04\n"
    ),
    "ask how long off": Moment("clock_set_while_down", "+2s press"),
    "ask how long off, in alcohol": Moment("power_cut_in_wash", "# The clock was"),
    "queue": Moment(
        "day",
        "09:06:47 choose-part",
        '09:06:30 take-in EX-13 "EX-RC-S r1" EX-LT-S1 coat_lot=EX-LT-S1 lamp=EX-LM-A '
        "box=EX-BX-1 vessel=EX-GV-02 peg=13 due=12:15\n09:06:34 choose-part EX-04\n",
    ),
    "resume card": Moment("o4_arch_and_call", "# Whatever the foot", "+40s end"),
    "brush": Moment("o4_phone_call", "# Segment 3"),
    "walk light": Moment(
        "o4_phone_call", "# Segment 3", "+5s press\n+15s press\n+17s end"
    ),
    "walk move": Moment(
        "o4_phone_call", "# Segment 3", "+5s press\n+15s press\n+11700ms end"
    ),
    "walk crown": Moment("o9_touched_dropped", "+15s press", "+15s press\n+17s end"),
    "what now": Moment("o9_touched_dropped", "# A glove", keys=("W",)),
    "what now question": Moment("o9_touched_dropped", "# A glove", keys=("W", "1")),
    "branch": Moment("o9_touched_dropped", "# A glove", keys=("W", "1", "1")),
    "branch wet": Moment(
        "o4_phone_call",
        "# Segment 3",
        "+5s press\n+15s press\n+17s end",
        keys=("W", "1"),
    ),
    "advice": Moment("o9_touched_dropped", "+40s press long", keys=("W", "0")),
    "change": Moment(
        "change_over", 'change-part EX-41 "thin', keys=("C", "Right", "4", "Right")
    ),
    "change more": Moment("change_over", 'change-part EX-41 "thin', keys=("C", "0")),
    "new parts how": Moment(
        "day", "09:06:47 choose-part", keys=("N", "0", "Return", "Right")
    ),
    "new parts where": Moment(
        "day", "09:06:47 choose-part", keys=("N", "0", "Return", "Return")
    ),
    "glycerine limit": Moment(
        "day", "09:06:47 choose-part", keys=("E", "0", "1", "Right")
    ),
    "parts": Moment("day", "09:06:47 choose-part", keys=("N",)),
    "equipment": Moment("day", "09:06:47 choose-part", keys=("E",)),
    "what you own": Moment("day", "09:06:47 choose-part", keys=("R",)),
    "what you own, lamps": Moment("day", "09:06:47 choose-part", keys=("R", "3")),
    "what you own, a recipe": Moment(
        "day", "09:06:47 choose-part", keys=("R", "2", "1")
    ),
    "what you own, a new meter": Moment(
        "day", "09:06:47 choose-part", keys=("R", "6", "8")
    ),
    "bottles": Moment("day", "09:06:47 choose-part", keys=("L",)),
    "facts": Moment("day", "09:06:47 choose-part", keys=("C", "9", "4")),
    "box places": Moment("day", "09:06:47 choose-part", keys=("E", "0", "5")),
    "a vessel": Moment("day", "09:06:47 choose-part", keys=("E", "0", "4")),
    "export": Moment("day", "09:06:47 choose-part", keys=("X",)),
    "a bottle": Moment("day", "09:06:47 choose-part", keys=("L", "1")),
    "a mix": Moment("day", "09:06:47 choose-part", keys=("L", "5")),
    "upkeep": Moment("day", "09:06:47 choose-part", keys=("E", "8")),
    "look at glycerine": Moment("day", "09:06:47 choose-part", keys=("E", "8", "7")),
    "how a box ages": Moment(
        "day",
        "09:06:47 choose-part",
        "".join(
            f"09:06:4{n} read-box EX-BX-2 light {value}\n"
            for n, value in enumerate((100, 99, 97, 96, 94), start=1)
        ),
        keys=("E", "8", "5", "6"),
    ),
    "read a box": Moment("day", "09:06:47 choose-part", keys=("E", "8", "8")),
    "day": Moment("day", "09:12:33 open-lamp-session", keys=("D",)),
    "light": Moment("day", "09:12:33 open-lamp-session", keys=("Q",)),
    "light pairing": Moment("day", "09:12:33 open-lamp-session", keys=("Q", "1")),
    "menu": Moment("day", "09:12:33 open-lamp-session", keys=("M",)),
    "deviations": Moment("day", "09:12:33 open-lamp-session", keys=("V",)),
    "fix": Moment("day", "09:12:33 open-lamp-session", keys=("Z",)),
    "fix, what will change": Moment(
        "told_wrong_turn", "+20s put-right", keys=("Z", "1", "1", "1")
    ),
    "done away": Moment("late_from_paper", "11:56:00 enter-late", keys=("J",)),
    "find": Moment("day", "09:12:33 open-lamp-session", keys=("F",)),
    "open, close": Moment("day", "09:12:33 open-lamp-session", keys=("Y",)),
    "opening": Moment("day", "09:12:33 open-lamp-session", keys=("Y", "1")),
    "closing": Moment("day", "09:12:33 open-lamp-session", keys=("Y", "2")),
    "story": Moment("recall_mix", "# A second crown", keys=("P",)),
    "story, every entry": Moment(
        "o9_touched_dropped", "+40s press long", keys=("P", "2")
    ),
    "close the day": Moment("closed_day", "+1s do-routine wiped", keys=("Y", "2", "1")),
    "people": Moment("day", "09:12:33 open-lamp-session", keys=("G",)),
    "set-up": Moment("day", "09:06:47 choose-part", keys=("S",)),
    "training": Moment("day", "08:40:51 confirm-load", "08:40:45 end", kind="training"),
    "how well": Moment("known_coupon", "# Another lot", keys=("T",)),
    "coupon light": Moment("known_coupon", "+13s judge-tab", "+5s end\n"),
    "coupon judge": Moment("known_coupon", "judge-tab no"),
    "coupon before a part": Moment(
        "known_coupon",
        "judge-tab no",
        'take-in EX-51 "EX-RC-L r1" EX-LT-L1 coat_lot=EX-LT-L1 lamp=EX-LM-L '
        "box=EX-BX-M vessel=EX-GV-L\n+2s bring-coupon\n",
    ),
    "coupon choose": Moment("known_coupon", "+5s go-on-with-b"),
    "coupon box": Moment("known_coupon", "+60s box-coupon"),
    "sign": Moment("o1_plain_crown", "+5s release-part"),
    "exercise over": Moment(
        "o1_plain_crown",
        "release-part EX-21 OP-1\nexpect",
        "+10s record-check EX-21 label\n",
        kind="training",
    ),
    "locked": Moment("o4_phone_call", "operator OP-1", ""),
}


class Hands:
    """The clock of real hands, which the test moves."""

    def __init__(self):
        self._base = RealClock().now()
        self.ms = 0

    def now(self):
        """Return the real time."""
        return self._base.plus(self.ms)


class Stage:
    """The window of a moment; closed by ``close``."""

    def __init__(self, moment, folder):
        script = parse_script(moment.text(), name=moment.script, beside=_shipped)
        book = MemoryJournal()
        self.clock = SimulatedClock(script.start)
        self.player = Player(script, lambda: book, clock=self.clock, kind=moment.kind)
        for _ in self.player.moments():
            pass
        self._show(self.player.session, folder)
        for key in moment.keys:
            self.press(key)

    def _show(self, session, folder):
        """Open a window on a session, in front of all others."""
        self.hands = Hands()
        desk = Desk(folder, folder / "settings.json", _exports_nothing, _stands_still)
        self.app = application()
        self.window = Window(session, self.hands, Settings(mm_per_pixel=0.253), desk)
        self.bench = self.window.bench
        self.window.show()
        self.window.activateWindow()
        for _ in range(LOOKS_TO_FRONT):
            if self.app.applicationState() == Qt.ApplicationState.ApplicationActive:
                break
            self.app.processEvents()
        self.window.pedal.install(self.app)
        self.window.bench.set_front(True)
        self.look()

    def show_on(self, size, mm_per_px, palette):
        """Show the window on another screen, in another theme."""
        self.window.pages.set_up(mm_per_pixel=mm_per_px, theme=palette)
        self.window.resize(QSize(*size))
        self.window.pages.restyled.emit()
        self.app.processEvents()
        self.look()
        self.app.processEvents()

    def look(self):
        """Let the window look once more, 100 ms later; no bench time passes."""
        self.hands.ms += 100
        self.window.ticker.look()

    def pass_time(self, ms):
        """Let bench time pass, with a look every 100 ms; yield after each."""
        for _ in range(ms // 100):
            self.clock.advance(100)
            self.player.session.tick()
            self.look()
            yield

    def press(self, key):
        """Press and lift a key of the keyboard, named as Qt names it."""
        code = getattr(Qt.Key, f"Key_{key}")
        text = key if len(key) == 1 else ""
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            self._edge(kind, code, text)
            self.look()

    def _edge(self, kind, code, text):
        event = QKeyEvent(kind, code, Qt.KeyboardModifier.NoModifier, text)
        event.setTimestamp(self.hands.now().mono_ms)
        QApplication.sendEvent(self.window.windowHandle(), event)

    def close(self):
        """Close the window and its journal."""
        self._hide()
        self.player.close()

    def _hide(self):
        self.window.pedal.remove(self.app)
        self.window.close()
        self.window.deleteLater()


def _shipped(name):
    inside = posixpath.normpath(posixpath.join("scripts", name))
    return assets.read_text("demo_cases", *inside.split("/"))


def _exports_nothing(_action):
    return str


def _stands_still(_session):
    pass
