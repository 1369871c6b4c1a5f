"""Work that may take longer than a frame: done in a thread, handed back as a value.

A job never touches a widget or the state; its result comes back on the GUI thread.

While a job runs, Python collects no cycles: the collector runs in whatever thread
happens to allocate, and a widget that it found in the worker's would be destroyed
there, which ends the program.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from contextlib import suppress

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal


class _Tell(QObject):
    done = Signal(object)
    failed = Signal(str)

    def __init__(self, job: Job) -> None:
        super().__init__()
        self._job = job

    def over(self, _told: object) -> None:
        """Let the job go, on the thread that began it."""
        _RUNNING.discard(self._job)
        if not _RUNNING:
            gc.enable()


class Job(QRunnable):
    """One piece of work; ``done`` gets its result, ``failed`` a sentence."""

    def __init__(
        self,
        work: Callable[[], object],
        done: Callable[..., None],
        failed: Callable[[str], None],
    ) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self._work = work
        # Qt holds a bound method weakly: its object lives as long as the job does.
        self._heard = (done, failed)
        self._tell = _Tell(self)
        self._tell.done.connect(done)
        self._tell.failed.connect(failed)
        # Last, so that what is told was heard before.
        self._tell.done.connect(self._tell.over)
        self._tell.failed.connect(self._tell.over)

    def run(self) -> None:
        """Do the work; what goes wrong is told, never raised into the thread."""
        told: object
        try:
            told, amiss = self._work(), False
        except Exception as error:  # noqa: BLE001 - a worker's fault must reach the screen
            told, amiss = str(error) or type(error).__name__, True
        # The window may have been closed meanwhile: then nobody is left to hear.
        with suppress(RuntimeError):
            (self._tell.failed if amiss else self._tell.done).emit(told)

    def start(self) -> None:
        """Begin as soon as a thread is free."""
        gc.disable()
        _RUNNING.add(self)
        QThreadPool.globalInstance().start(self)


_RUNNING: set[Job] = set()
