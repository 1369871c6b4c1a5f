"""Lets a bench be heard: looks with the ticker, plays and speaks, tells the eye.

Nothing is decided here but whether to play at all: never while the bench's clock
runs faster than hands do, as in a rehearsal.
"""

from __future__ import annotations

from collections import deque
from typing import Protocol

from PySide6.QtCore import QObject, SignalInstance

from benchassist.clock import Instant
from benchassist.session import Outcome, Session
from benchassist.ui.actions import TrySounds
from benchassist.ui.present.heard import (
    Call,
    Heard,
    Memory,
    hear,
    hush,
    line,
    notice,
    stop_call,
    wake,
)
from benchassist.ui.window import Window
from benchassist.ui.words import say

QUIET_KEY = "K"
ASK_MS = 1000  # [ms] gates are asked so often, and at every event
FAST = 1.5  # times real time; beyond it nothing is played
LOOK_MS = 100
CHECK_MS = 8000  # [ms] the words of the sound check are read twice
TRIAL_MS = 1600  # [ms] from one sound of a trial to the next
TROUBLE_MS = 12_000  # [ms] a heartbeat that fails tells again sooner
OFF = say("SOUND OFF: watch the screen")
CHECK = say("Sound check: no tone heard? Key S, then 5")
UNWRITTEN = Call("stop", "", "record", 0, say("Stop. Nothing is recorded."))
TRIAL = ("due", "late", "stop", "next")


class Speaking(Protocol):
    """What plays and speaks; the machine's is ``speaker.Speaker``."""

    @property
    def asked(self) -> SignalInstance:
        """Told when it is known what the machine has."""
        ...

    @property
    def on(self) -> bool | None:
        """Whether sounds can be heard; None as long as nobody knows."""
        ...

    @property
    def names(self) -> tuple[str, str]:
        """What plays and what speaks, by name."""
        ...

    def look(self, now: Instant) -> None:
        """Let time pass."""
        ...

    def play(self, sound: str) -> None:
        """Begin a sound."""
        ...

    def say(self, line: str) -> None:
        """Say a line after the ones before."""
        ...


class Sounding(QObject):
    """What makes one window heard."""

    def __init__(self, window: Window, session: Session, speaker: Speaking) -> None:
        super().__init__(window)
        self._window = window
        self._session = session
        self._speaker = speaker
        self._memory = Memory()
        self._heard = Heard()
        self._stop: Call | None = None
        self._judged = (-1, -1)
        self._seen: tuple[Instant, Instant] | None = None
        self._troubled: Instant | None = None
        self._checked: Instant | None = None
        self._trial: deque[str] = deque()
        self._next_ms = 0
        window.ticker.ticked.connect(self._look)
        window.pedal.key_down.connect(self._hand)
        window.bench.hands.chosen.connect(self._hand)
        window.bench.part_picked.connect(self._hand)
        window.bench.key_unused.connect(self._key)
        window.bench.chosen.connect(self._chosen)
        session.subscribe(self._told)
        speaker.asked.connect(self._asked)

    # --- looking ----------------------------------------------------------------

    def _look(self, real: Instant) -> None:
        now, bench = self._session.now(), self._session.bench
        self._speaker.look(real)
        self._memory, self._heard = hear(
            self._memory, bench, now, self._stop_now(real, now)
        )
        fast = self._fast(real, now)
        if self._window.pages.settings.sound and not fast:
            self._sound(real)
        self._show(real)

    def _fast(self, real: Instant, now: Instant) -> bool:
        before, self._seen = self._seen, (real, now)
        if before is None:
            return False
        return now.since(before[1]) > FAST * real.since(before[0]) + LOOK_MS

    def _stop_now(self, real: Instant, now: Instant) -> Call | None:
        if self._troubled is not None and real.since(self._troubled) < TROUBLE_MS:
            return UNWRITTEN
        bench = self._session.bench
        asked = (bench.seq, now.mono_ms // ASK_MS)
        if asked != self._judged:
            self._judged = asked
            self._stop = stop_call(bench, now)
        return self._stop

    def _sound(self, real: Instant) -> None:
        lines = self._heard.lines
        if self._heard.sound is not None:
            self._speaker.play(self._heard.sound)
        elif self._trial and real.mono_ms >= self._next_ms:
            self._next_ms = real.mono_ms + TRIAL_MS
            self._speaker.play(self._trial.popleft())
            if not self._trial:
                lines = (line("EX-1", say("This is a trial.")),)
        if self._window.pages.settings.voice:
            for each in lines:
                self._speaker.say(each)

    def _show(self, real: Instant) -> None:
        off = self._speaker.on is False or not self._window.pages.settings.sound
        items = [OFF] if off else []
        if self._checked is not None and real.since(self._checked) < CHECK_MS:
            items.append(CHECK)
        if self._heard.loud:
            items.append(
                say(
                    "{notice} ({quiet_key}: quiet)",
                    notice=notice(self._heard.loud),
                    quiet_key=QUIET_KEY,
                )
            )
        self._window.heard = tuple(items)

    # --- hands and foot -----------------------------------------------------------

    def _hand(self, _what: object) -> None:
        """Let any act of a hand end a stop."""
        stops = tuple(call for call in self._heard.loud if call.kind == "stop")
        self._memory = hush(self._memory, stops, self._session.now())

    def _key(self, key: str) -> None:
        if key.upper() == QUIET_KEY:
            self._memory = hush(self._memory, self._heard.loud, self._session.now())

    def _chosen(self, command: object) -> None:
        if isinstance(command, TrySounds):
            self._trial = deque(TRIAL)

    def _told(self, outcome: Outcome) -> None:
        refusal = outcome.refusal
        if refusal is None:
            return
        if refusal.code == "journal":
            self._troubled = self._seen[0] if self._seen else None
        elif self._stop is not None and refusal.code == self._stop.what:
            self._memory = wake(self._memory, self._stop)

    def _asked(self) -> None:
        """Tell the set-up page, and let the volume be heard once."""
        first = self._window.pages.outlets == ("", "")
        self._window.pages.outlets = self._speaker.names
        if first and self._speaker.on and self._window.pages.settings.sound:
            self._speaker.play("due")
            self._checked = self._seen[0] if self._seen else None
