"""Ways to play a file without waiting: Qt's own, a command, Windows, the bell."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, Protocol

from PySide6.QtCore import QObject, QUrl
from PySide6.QtWidgets import QApplication

from benchassist.ui.sound.outlets import Outlets, Words, filled
from benchassist.ui.sound.running import Running

MOST_FAILURES = 3  # one after the other; one alone may be a device that was busy
MOST_RUNNING = 6  # a sound server may take 2 s to drain; beyond this a player hangs
BEATS = ("tick", "last-tick")


class Player(Protocol):
    """Plays the tones of a folder by name."""

    name: str

    @property
    def sure(self) -> bool:
        """Whether what it plays can be heard, as far as the machine knows."""
        ...

    def play(self, sound: str) -> None:
        """Begin a sound and return at once; never raises."""
        ...

    def close(self) -> None:
        """Play no more."""
        ...


class CommandPlayer:
    """Plays by a command of the system, one process for each sound."""

    def __init__(self, words: Words, folder: Path, parent: QObject) -> None:
        self.name = words[0]
        self._words = words
        self._folder = folder
        self._failures = 0
        self._running = Running(self._over, parent)

    @property
    def sure(self) -> bool:
        """Whether the last sounds were played."""
        return self._failures < MOST_FAILURES

    def play(self, sound: str) -> None:
        """Begin a sound, unless the ones before hang."""
        if len(self._running) >= MOST_RUNNING:
            self._failures += 1
            return
        self._running.start(filled(self._words, str(self._folder / f"{sound}.wav")))

    def close(self) -> None:
        """End what still plays."""
        self._running.close()

    def _over(self, good: bool) -> None:  # noqa: FBT001 - a slot
        self._failures = 0 if good else self._failures + 1


class EffectPlayer:
    """Plays through Qt's multimedia module, where that and a device are there."""

    name = "QtMultimedia"

    def __init__(self, folder: Path, parent: QObject) -> None:
        from PySide6 import QtMultimedia  # noqa: PLC0415 - an optional package

        self._devices = QtMultimedia.QMediaDevices
        self._error = QtMultimedia.QSoundEffect.Status.Error
        self._effects: dict[str, Any] = {}
        if self._deaf():
            return
        for path in folder.glob("*.wav"):
            effect = QtMultimedia.QSoundEffect(parent)
            effect.setSource(QUrl.fromLocalFile(str(path)))
            self._effects[path.stem] = effect

    @property
    def sure(self) -> bool:
        """Whether there is a device and every file could be read."""
        bad = any(each.status() == self._error for each in self._effects.values())
        return bool(self._effects) and not bad and not self._deaf()

    def play(self, sound: str) -> None:
        """Begin a sound."""
        self._effects[sound].play()

    def close(self) -> None:
        """End what still plays."""
        for effect in self._effects.values():
            effect.stop()
            effect.deleteLater()
        self._effects.clear()

    def _deaf(self) -> bool:
        return bool(self._devices.defaultAudioOutput().isNull())


class WindowsPlayer:
    """Plays through Windows itself, which plays one sound at a time."""

    name = "Windows"

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._failures = 0

    @property
    def sure(self) -> bool:
        """Whether the last sounds were played."""
        return self._failures < MOST_FAILURES

    def play(self, sound: str) -> None:
        """Begin a sound; it ends the one before."""
        if sys.platform == "win32":
            import winsound  # noqa: PLC0415 - there only

            flags = winsound.SND_FILENAME | winsound.SND_ASYNC | winsound.SND_NODEFAULT
            try:
                winsound.PlaySound(str(self._folder / f"{sound}.wav"), flags)
            except RuntimeError:
                self._failures += 1
            else:
                self._failures = 0

    def close(self) -> None:
        """End what still plays."""
        if sys.platform == "win32":
            import winsound  # noqa: PLC0415 - there only

            winsound.PlaySound(None, 0)


class Bell:
    """The bell of the desktop: heard or not, nobody can tell."""

    name = ""
    sure = False

    def play(self, sound: str) -> None:
        """Ring, but not for a beat."""
        if sound not in BEATS:
            QApplication.beep()

    def close(self) -> None:
        """Do nothing: a bell ends by itself."""


def player_of(found: Outlets, folder: Path, parent: QObject) -> Player:
    """Return the best player of what was found; the bell where there is none."""
    if found.qt_sound:
        effects = EffectPlayer(folder, parent)
        if effects.sure:
            return effects
        effects.close()
    if found.player:
        return CommandPlayer(found.player, folder, parent)
    return WindowsPlayer(folder) if found.winsound else Bell()
