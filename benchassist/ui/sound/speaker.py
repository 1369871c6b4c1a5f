"""The machine's sound and voice, as one thing that plays and speaks."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from benchassist.clock import Instant
from benchassist.ui.sound.outlets import Machine, Outlets, find
from benchassist.ui.sound.players import Bell, Player, player_of
from benchassist.ui.sound.voices import Silent, Voice, voice_of
from benchassist.ui.worker import Job

AGAIN_MS = 60_000  # [ms] a headset may be plugged in later


TONES = "benchassist-sound-"


def _sweep() -> None:
    """Take away the tones of programs that were killed before they could."""
    for left in Path(tempfile.gettempdir()).glob(f"{TONES}*"):
        pid = left.name.removeprefix(TONES).partition("-")[0]
        if (
            pid.isdigit()
            and sys.platform == "linux"
            and not Path("/proc", pid).exists()
        ):
            shutil.rmtree(left, ignore_errors=True)


class Speaker(QObject):
    """Plays tones and says lines with whatever the machine has.

    Signals: ``asked()`` when it is known what that is.
    """

    asked = Signal()

    def __init__(self, machine: Machine, parent: QObject) -> None:
        super().__init__(parent)
        self._machine = machine
        _sweep()
        # A trial of a player in a worker may still write there when the window closes.
        self._kept = tempfile.TemporaryDirectory(
            prefix=f"{TONES}{os.getpid()}-", ignore_cleanup_errors=True
        )
        self._folder = Path(self._kept.name)
        self._player: Player = Bell()
        self._voice: Voice = Silent()
        self._known = self._asking = False
        self._last: Instant | None = None

    @property
    def on(self) -> bool | None:
        """Whether sounds can be heard; None as long as nobody knows."""
        return self._player.sure if self._known else None

    @property
    def names(self) -> tuple[str, str]:
        """What plays and what speaks, by name; empty where nothing does."""
        return self._player.name if self._player.sure else "", self._voice.name

    def look(self, now: Instant) -> None:
        """Ask what the machine has: at first, and every minute while it has nothing."""
        rested = self._last is None or now.since(self._last) >= AGAIN_MS
        if rested and not self.on and not self._asking:
            self._last = now
            self._asking = True
            Job(
                partial(find, self._folder, self._machine), self._found, self._failed
            ).start()

    def play(self, sound: str) -> None:
        """Begin a sound."""
        self._player.play(sound)

    def say(self, line: str) -> None:
        """Say a line after the ones before."""
        self._voice.say(line)

    def close(self) -> None:
        """End what sounds, and take the tones away."""
        self._player.close()
        self._voice.close()
        self._kept.cleanup()

    def _found(self, found: object) -> None:
        self._asking = False
        if isinstance(found, Outlets):
            self._player.close()
            self._player = player_of(found, self._folder, self)
            if not self._voice.name:
                self._voice = voice_of(found, self)
        self._known = True
        self.asked.emit()

    def _failed(self, _why: str) -> None:
        self._found(None)
