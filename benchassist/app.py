"""The one place where clock, journal, session and window meet."""

from __future__ import annotations

import hashlib
import sys
import threading
import traceback
from typing import TYPE_CHECKING, Any

from platformdirs import user_config_path
from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import QApplication

from benchassist import assets
from benchassist.clock import Clock, RealClock, zone_name
from benchassist.domain import commands as cm
from benchassist.journal.errors import JournalError, JournalLockedError
from benchassist.journal.writing import Journal
from benchassist.session import Session
from benchassist.ui import settings as kept
from benchassist.ui.desk import Desk
from benchassist.ui.theme import load_fonts
from benchassist.ui.window import Window
from benchassist.ui.worker import Job

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from types import TracebackType

    from benchassist.domain.events import StoreKind
    from benchassist.ui.actions import ExportDay

BAD_INPUT = 2
SLICE = 1000  # [links] of the chain walked at a time


def run(folder: Path, *, kind: StoreKind) -> int:
    """Open the window on the journal in ``folder`` and return its exit code."""
    clock = RealClock()
    if kind == "demo" and not (folder / "journal.sqlite").exists():
        from benchassist.rehearsal import build_demo  # noqa: PLC0415 - once a day

        build_demo(folder, clock.now())
    try:
        journal = Journal.open(folder)
    except JournalLockedError as error:
        from benchassist.ui.single import raise_first  # noqa: PLC0415 - once in a while

        raised = raise_first(folder)
        print(f"benchassist: {error}", file=sys.stderr)  # noqa: T201
        return 0 if raised else BAD_INPUT
    except JournalError as error:
        print(f"benchassist: {error}", file=sys.stderr)  # noqa: T201
        return BAD_INPUT
    session = Session(journal, clock)
    return show(session, clock, folder, Opening(session, kind).begin)


class Opening:
    """What is written down first, after the window has been painted."""

    def __init__(self, session: Session, kind: StoreKind) -> None:
        self._session = session
        self._kind = kind

    def begin(self) -> None:
        """Create the store, or ask what happened while the program was away."""
        self._session.begin(kind=self._kind, station="bench", zone=zone_name())


def show(session: Session, real: Clock, folder: Path, begin: Callable[[], None]) -> int:
    """Show a session in a window until it is closed; ``begin`` after first paint."""
    app = application()
    settings_path = user_config_path("benchassist", appauthor=False) / "settings.json"
    settings, amiss = kept.load(settings_path)
    desk = Desk(folder, settings_path, Exporter(folder).job)
    window = Window(session, real, settings, desk)
    faults = Faults(session, window)
    faults.install()
    window.pedal.install(app)
    window.showMaximized()
    app.processEvents()
    begin()
    from benchassist.ui.single import First  # noqa: PLC0415 - after the first paint

    first = First(folder, window)
    first.called.connect(window.raise_up)
    if amiss:
        window.say(amiss)
    for sentence in journal_damage(session):
        window.say(sentence)
    window.ticker.start()
    Job(Later(folder).work, Checked(window).done, window.say).start()
    try:
        return int(app.exec())
    finally:
        window.pedal.remove(app)
        faults.remove()
        session.close()


def journal_damage(session: Session) -> tuple[str, ...]:
    """Return what was found damaged when the journal was opened."""
    return session.journal.opening.damage


def application() -> QApplication:
    """Return the application with fonts and icon; made once."""
    app = QApplication.instance()
    if isinstance(app, QApplication):
        return app
    app = QApplication(sys.argv[:1])
    app.setApplicationName("benchassist")
    app.setApplicationDisplayName("Bench Assist")
    load_fonts()
    pixmap = QPixmap()
    pixmap.loadFromData(assets.read_bytes("resources", "icon", "bench.svg"))
    app.setWindowIcon(QIcon(pixmap))
    return app


class Exporter:
    """Makes the writing of a day's logs a job for a worker."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def job(self, action: ExportDay) -> Callable[[], str]:
        """Return the work: write the files, then say where they are."""

        def work() -> str:
            from pathlib import Path  # noqa: PLC0415

            from benchassist.journal.reading import ReadOnlyJournal  # noqa: PLC0415
            from benchassist.records.export import export_day  # noqa: PLC0415

            with ReadOnlyJournal.open(self._folder) as journal:
                paths = export_day(journal, action.day, Path(action.out))
            return f"Written: {', '.join(str(path) for path in paths)}"

        return work


class Later:
    """What can wait until after the first paint: heavy imports, the whole chain."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def work(self) -> str:
        """Import what later screens need, walk the chain; return what is amiss."""
        from benchassist.journal.reading import ReadOnlyJournal  # noqa: PLC0415

        with ReadOnlyJournal.open(self._folder) as journal:
            last, first = journal.head.seq, 1
            while first <= last:
                report = journal.walk(first, SLICE)
                if report.faults:
                    return f"The record is damaged: {report.faults[0]}"
                first += SLICE
        import pyqtgraph  # noqa: F401, PLC0415 - so that the first plot is not late
        import scipy.linalg  # noqa: F401, PLC0415

        return ""


class Checked:
    """Tells the window what the walk of the chain found."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def done(self, amiss: object) -> None:
        """Say it, if anything is amiss."""
        if amiss:
            self._window.say(str(amiss))


class Faults:
    """A fault of the program: written down once, said in a sentence, never raised."""

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
        digest = hashlib.sha256(lines.encode()).hexdigest()[:16]
        if digest in self._seen:
            return
        self._seen.add(digest)
        self._session.handle(cm.NoteFault(f"{kind.__name__}: {error}"[:500], digest))
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
