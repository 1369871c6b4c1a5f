"""The day ahead, played by a worker whenever what it hangs on has changed."""

from __future__ import annotations

from PySide6.QtCore import QObject, QThread, Signal

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.ui.present.day import Seen, is_stale, playing
from benchassist.ui.worker import Job

REST_MS = 2  # [ms] after each played day: the window is waited for by a foot


class Player(QObject):
    """Keeps the last answer.

    Signals: ``played()`` there is another, ``failed(str)`` why there is none.
    """

    played = Signal()
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.seen: Seen | None = None
        self._job: Job | None = None

    def look(self, bench: Bench, now: Instant) -> None:
        """Have the day played anew if it must be; the answer comes later."""
        if self._job is None and is_stale(self.seen, bench, now):
            self._job = Job(lambda: _answer(bench, now), self._done, self._failed)
            self._job.start()

    def _done(self, seen: object) -> None:
        self._job = None
        if isinstance(seen, Seen):
            self.seen = seen
        self.played.emit()

    def _failed(self, told: str) -> None:
        self._job = None
        self.failed.emit(told)


def _answer(bench: Bench, now: Instant) -> Seen:
    answering = playing(bench, now)
    while True:
        try:
            next(answering)
        except StopIteration as done:
            seen: Seen = done.value
            return seen
        QThread.msleep(REST_MS)
