"""A script played in the window, at a multiple of real time."""

from __future__ import annotations

from benchassist.clock import Clock
from benchassist.rehearsal import Player, ScriptError
from benchassist.session import Session
from benchassist.ui.window import Window
from benchassist.ui.words import say

BAD_INPUT = 2


class Rehearser:
    """Plays a script a little further at each look of the window."""

    def __init__(self, player: Player, real: Clock, speed: float) -> None:
        self._player = player
        self._moments = player.moments()
        self._real = real
        self._speed = speed
        self._last = real.now()
        self._owed_ms = 0.0
        self.window: Window | None = None
        self.code = 0

    def advance(self, _session: Session) -> None:
        """Let as much bench time pass as the look took, times the speed."""
        now = self._real.now()
        self._owed_ms += now.since(self._last) * self._speed
        self._last = now
        window = self.window
        if window is None:
            return
        try:
            while self._owed_ms > 0:
                self._owed_ms -= next(self._moments)
        except StopIteration:
            self._owed_ms = float("-inf")
            window.say(say("The rehearsal is over. Close the window."))
        except ScriptError as error:
            self._owed_ms = float("-inf")
            self.code = BAD_INPUT
            window.say(str(error))
        window.use(self._player.session)
