"""One window per journal: a second start raises the first instead.

The guard itself is the journal's file lock; this only carries the wish to be seen.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

WAIT_MS = 500  # [ms] a running window answers in well under a millisecond


def _name(folder: Path) -> str:
    digest = hashlib.sha256(str(folder.resolve()).encode()).hexdigest()[:16]
    return f"benchassist-{digest}"


def raise_first(folder: Path) -> bool:
    """Ask the window that holds ``folder`` to come forward; say whether it heard."""
    socket = QLocalSocket()
    socket.connectToServer(_name(folder))
    heard = socket.waitForConnected(WAIT_MS)
    socket.disconnectFromServer()
    return heard


class First(QObject):
    """Listens for later starts.

    Signals: ``called()`` when somebody tried to open a second window.
    """

    called = Signal()

    def __init__(self, folder: Path, parent: QObject) -> None:
        super().__init__(parent)
        name = _name(folder)
        # A killed window leaves its name behind; the file lock is already ours.
        QLocalServer.removeServer(name)
        self._server = QLocalServer(self)
        self._server.newConnection.connect(self._answer)
        self._server.listen(name)

    def _answer(self) -> None:
        socket = self._server.nextPendingConnection()
        if socket is not None:
            socket.disconnectFromServer()
            socket.deleteLater()
        self.called.emit()
