"""Questions that take longer than a frame: the newest is answered, older ones stop."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, Signal

from benchassist.sums.subject import UnknownError
from benchassist.ui.words import say
from benchassist.ui.worker import Job


class _Unknown(NamedTuple):
    sentence: str


Stop = Callable[[], bool]
Work = Callable[[Stop], object]
Shown = Callable[[Any], None]  # what its own work returned, never None


class Asker(QObject):
    """Runs one question at a time in a worker; a newer one supersedes it.

    Signals: ``failed(str)`` with a sentence where there is no answer.
    """

    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._asked = 0
        self._running: tuple[int, Shown, Job] | None = None
        self._waiting: tuple[Work, Shown] | None = None

    @property
    def idle(self) -> bool:
        """Whether nothing is being worked on."""
        return self._running is None

    def ask(self, work: Work, shown: Shown) -> None:
        """Ask a question; ``shown`` gets the answer unless a newer one was asked.

        ``work`` is given a function that says whether to stop early.
        """
        self._asked += 1
        if self._running is None:
            self._start(work, shown)
        else:
            self._waiting = (work, shown)

    def drop(self) -> None:
        """Forget what was asked."""
        self._asked += 1
        self._waiting = None

    def _start(self, work: Work, shown: Shown) -> None:
        mine = self._asked

        def stop() -> bool:
            return self._asked != mine

        def run() -> object:
            try:
                return None if stop() else work(stop)
            except UnknownError as error:
                return _Unknown(str(error))

        job = Job(run, self._done, self._failed)
        self._running = (mine, shown, job)
        job.start()

    def _done(self, answer: object) -> None:
        if self._running is None:
            return
        mine, shown, _ = self._running
        self._running = None
        if mine == self._asked and isinstance(answer, _Unknown):
            self.failed.emit(answer.sentence)
        elif mine == self._asked and answer is not None:
            shown(answer)
        self._next()

    def _failed(self, sentence: str) -> None:
        if self._running is None:
            return
        mine = self._running[0]
        self._running = None
        if mine == self._asked:
            self.failed.emit(
                say("This could not be worked out: {sentence}.", sentence=sentence)
            )
        self._next()

    def _next(self) -> None:
        if self._running is None and self._waiting is not None:
            work, shown = self._waiting
            self._waiting = None
            self._start(work, shown)
