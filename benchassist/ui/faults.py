"""A fault of the program: written down once, said in a sentence, never raised."""

from __future__ import annotations

import hashlib
import sys
import threading
import traceback
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

from benchassist.domain import commands as cm
from benchassist.session import Session

if TYPE_CHECKING:
    from benchassist.ui.window import Window


def _place(trace: TracebackType | None) -> str:
    """Return where a fault began: the innermost line of the program's own."""
    own = [
        frame
        for frame in traceback.extract_tb(trace)
        if "benchassist" in Path(frame.filename).parts
    ]
    if not own:
        return "nowhere known"
    file = Path(own[-1].filename)
    return f"{'/'.join(file.parts[file.parts.index('benchassist') :])}:{own[-1].lineno}"


class Faults:
    """Catches what nobody else did, while a window is open."""

    def __init__(self, session: Session, window: Window) -> None:
        self._session = session
        self._window = window
        self._seen: set[str] = set()
        self._hooks = (sys.excepthook, threading.excepthook)

    def install(self) -> None:
        """Catch what reaches nobody else."""
        sys.excepthook = self._caught
        threading.excepthook = self._caught_in_thread
        qInstallMessageHandler(self._qt_said)

    def remove(self) -> None:
        """Let faults go where they went before."""
        sys.excepthook, threading.excepthook = self._hooks
        qInstallMessageHandler(None)

    def _caught(
        self,
        kind: type[BaseException],
        error: BaseException,
        trace: TracebackType | None,
    ) -> None:
        lines = "".join(traceback.format_exception(kind, error, trace))
        print(lines, file=sys.stderr)  # noqa: T201 - for whoever mends it
        # By kind and place: the text of an error may repeat what somebody typed, and
        # would make one fault as many as there are texts.
        place = _place(trace)
        digest = hashlib.sha256(f"{kind.__name__} {place}".encode()).hexdigest()[:16]
        if digest in self._seen:
            return
        self._seen.add(digest)
        self._session.handle(cm.NoteFault(f"{kind.__name__} at {place}", digest))
        self._window.say(
            f"The program had a fault ({digest}); it is on the record. "
            "Running timers go on; check the last step by hand."
        )

    def _caught_in_thread(self, caught: Any) -> None:  # noqa: ANN401 - the hook's own type
        self._caught(caught.exc_type, caught.exc_value, caught.exc_traceback)

    def _qt_said(
        self, mode: QtMsgType, context: QMessageLogContext, message: str | None
    ) -> None:
        del context
        if mode not in (QtMsgType.QtDebugMsg, QtMsgType.QtInfoMsg):
            print(f"Qt: {message}", file=sys.stderr)  # noqa: T201
