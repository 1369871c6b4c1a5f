"""Ways to say a line without waiting: Qt's own, a command, or not at all."""

from __future__ import annotations

from collections import deque
from typing import Any, Protocol

from PySide6.QtCore import QObject

from benchassist.ui.sound.outlets import Outlets, Words, filled
from benchassist.ui.sound.running import Running

MOST_WAITING = 3  # lines; what is older by then is no longer true


class Voice(Protocol):
    """Says lines one after the other."""

    name: str

    def say(self, line: str) -> None:
        """Begin to say a line, or say it after the one before; never raises."""
        ...

    def close(self) -> None:
        """Say no more."""
        ...


class CommandVoice:
    """Speaks by a command of the system, one process for each line."""

    def __init__(self, words: Words, parent: QObject) -> None:
        self.name = words[0]
        self._words = words
        self._waiting: deque[str] = deque(maxlen=MOST_WAITING)
        self._running = Running(self._over, parent)

    def say(self, line: str) -> None:
        """Begin a line as soon as the one before is over."""
        self._waiting.append(line)
        self._next()

    def close(self) -> None:
        """End what is still said."""
        self._waiting.clear()
        self._running.close()

    def _over(self, good: bool) -> None:  # noqa: FBT001 - a slot
        del good  # the words are on the screen in any case
        self._next()

    def _next(self) -> None:
        if self._waiting and not len(self._running):
            self._running.start(filled(self._words, self._waiting.popleft()))


class QtVoice:
    """Speaks through Qt's own module, where that and an engine are installed."""

    name = "QtTextToSpeech"

    def __init__(self, parent: QObject) -> None:
        from PySide6 import QtTextToSpeech  # noqa: PLC0415 - an optional package

        self._speech: Any = QtTextToSpeech.QTextToSpeech(parent)
        self._error = QtTextToSpeech.QTextToSpeech.State.Error

    @property
    def sure(self) -> bool:
        """Whether an engine answers."""
        return bool(self._speech.state() != self._error)

    def say(self, line: str) -> None:
        """Say a line after the ones before."""
        self._speech.enqueue(line)

    def close(self) -> None:
        """End what is still said."""
        self._speech.stop()
        self._speech.deleteLater()


class Silent:
    """No voice: the words stand on the screen."""

    name = ""

    def say(self, line: str) -> None:
        """Say nothing."""

    def close(self) -> None:
        """Do nothing."""


def voice_of(found: Outlets, parent: QObject) -> Voice:
    """Return the best voice of what was found."""
    if found.qt_voice:
        voice = QtVoice(parent)
        if voice.sure:
            return voice
        voice.close()
    return CommandVoice(found.voice, parent) if found.voice else Silent()
