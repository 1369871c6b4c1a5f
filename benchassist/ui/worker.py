"""Work that may take longer than a frame: done in a thread, handed back as a value.

A job never touches a widget or the state; its result comes back on the GUI thread.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal


class _Tell(QObject):
    done = Signal(object)
    failed = Signal(str)


class Job(QRunnable):
    """One piece of work; ``done`` gets its result, ``failed`` a sentence."""

    def __init__(
        self,
        work: Callable[[], object],
        done: Callable[..., None],
        failed: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._work = work
        self._tell = _Tell()
        self._tell.done.connect(done)
        self._tell.failed.connect(failed)

    def run(self) -> None:
        """Do the work; what goes wrong is told, never raised into the thread."""
        try:
            result = self._work()
        except Exception as error:  # noqa: BLE001 - a worker's fault must reach the screen
            self._tell.failed.emit(str(error) or type(error).__name__)
        else:
            self._tell.done.emit(result)

    def start(self) -> None:
        """Begin as soon as a thread is free."""
        QThreadPool.globalInstance().start(self)
