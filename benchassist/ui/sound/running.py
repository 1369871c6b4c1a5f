"""A command of the system that runs beside the window, which never waits for it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QProcess

from benchassist.ui.sound.outlets import Words

END_MS = 500  # [ms] a killed process has to go before its handle does


class Running:
    """The commands that run now; ``over`` hears of each whether it did its work."""

    def __init__(self, over: Callable[[bool], None], parent: QObject) -> None:
        self._over = over
        self._parent = parent
        self._running: list[QProcess] = []

    def __len__(self) -> int:
        """Return how many run."""
        return len(self._running)

    def start(self, words: Words) -> None:
        """Begin a command and return at once."""
        process = QProcess(self._parent)
        process.setStandardInputFile(QProcess.nullDevice())
        process.setStandardOutputFile(QProcess.nullDevice())
        process.setStandardErrorFile(QProcess.nullDevice())
        process.finished.connect(
            lambda code, how: self._ended(
                process, good=code == 0 and how == QProcess.ExitStatus.NormalExit
            )
        )
        process.errorOccurred.connect(lambda error: self._failed(process, error))
        self._running.append(process)
        process.start(words[0], list(words[1:]))

    def close(self) -> None:
        """End whatever runs."""
        while self._running:
            process = self._running.pop()
            process.kill()
            process.waitForFinished(END_MS)

    def _failed(self, process: QProcess, error: QProcess.ProcessError) -> None:
        # One that crashed also finishes; one that never began does not.
        if error == QProcess.ProcessError.FailedToStart:
            self._ended(process, good=False)

    def _ended(self, process: QProcess, *, good: bool) -> None:
        if process in self._running:
            self._running.remove(process)
            process.deleteLater()
            self._over(good)
