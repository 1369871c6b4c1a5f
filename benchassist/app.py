"""The one place where clock, journal, session and window meet."""

from __future__ import annotations

import gc

# Nothing that is imported goes again: rounds of the collector among it find nothing,
# and are a twentieth of a start.
gc.disable()

import sys
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from platformdirs import user_config_path
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import QApplication

from benchassist import assets
from benchassist.clock import AcceleratedClock, Clock, RealClock, zone_name
from benchassist.domain.training import pace
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalError,
    JournalLockedError,
    JournalWriteError,
    NewerJournalError,
)
from benchassist.journal.files import DATABASE
from benchassist.journal.writing import Journal
from benchassist.session import Session
from benchassist.stores import bench_clock, open_store, paced
from benchassist.ui import settings as kept
from benchassist.ui.desk import Desk
from benchassist.ui.faults import Faults
from benchassist.ui.jobs import Checked, Exporter, Later, settle
from benchassist.ui.reading import Reading, maximized
from benchassist.ui.theme import load_fonts
from benchassist.ui.window import Window
from benchassist.ui.worker import Job

if TYPE_CHECKING:
    from collections.abc import Callable

    from benchassist.domain.events import StoreKind
    from benchassist.ui.present.recovery import Why

gc.freeze()
gc.enable()

BAD_INPUT = 2
AGAIN = -1  # the window was closed so that another may open


def run(folder: Path, *, kind: StoreKind, speed: float = 1.0) -> int:
    """Open the window on the store in ``folder`` and return its exit code.

    ``speed`` is that of a training bench's clock; the guards of foot and hands stay
    on the real one.
    """
    real = RealClock()
    code = AGAIN
    while code == AGAIN:
        code = _once(folder, kind, speed, real)
    return code


def _once(folder: Path, kind: StoreKind, speed: float, real: Clock) -> int:
    """Open one window on a store, the read-only one where it must not be written."""
    try:
        if kind != "real" and not (folder / DATABASE).exists():
            from benchassist.rehearsal.demo import make  # noqa: PLC0415 - rarely

            make(folder, kind, real)
        journal = open_store(folder, kind)
        session = _session(journal, real, speed)
    except JournalLockedError as error:
        from benchassist.ui.single import raise_first  # noqa: PLC0415 - once in a while

        raised = raise_first(folder)
        print(f"benchassist: {error}", file=sys.stderr)  # noqa: T201
        return 0 if raised else BAD_INPUT
    except (DamagedJournalError, NewerJournalError) as error:
        print(f"benchassist: {error}", file=sys.stderr)  # noqa: T201
        newer = isinstance(error, NewerJournalError)
        why: Why = "newer" if newer else "damaged"
        return show_read_only(folder, real, said=str(error), why=why)
    except JournalError as error:
        print(f"benchassist: {error}", file=sys.stderr)  # noqa: T201
        if isinstance(error, JournalWriteError) and (folder / DATABASE).exists():
            # Whoever started it from a desktop sees no shell.
            return show_read_only(folder, real, said=str(error), why="unwritable")
        return BAD_INPUT
    return show(
        session,
        real,
        folder,
        begin=Opening(session, kind, speed).begin,
        damage=(
            *journal.opening.damage,
            *journal.opening.notes,
            *filter(None, (session.amiss,)),
        ),
        mark=f"TRAINING ×{speed:g}" if kind == "training" else "",
    )


def _session(journal: Journal, real: Clock, speed: float) -> Session:
    """Return a session on an open journal, which is let go where there is none."""
    application()
    told = Reading(real, Desk.mm_per_pixel())
    try:
        clock = bench_clock(journal, real, speed)
        session = Session(journal, clock, told.tell)
    except JournalError:
        journal.close()
        raise
    finally:
        told.close()
    if isinstance(clock, AcceleratedClock):
        keep_pace(session, clock, speed)
    return session


def keep_pace(session: Session, clock: AcceleratedClock, speed: float) -> None:
    """Let a training clock run fast in waits, and at a hand's pace on a wet coat."""

    def keep(_outcome: object = None) -> None:
        clock.run_at(pace(session.bench, speed))

    session.subscribe(keep)
    keep()


class Opening:
    """What is written down first, after the window has been painted."""

    def __init__(self, session: Session, kind: StoreKind, speed: float = 1.0) -> None:
        self._session = session
        self._kind = kind
        self._speed = speed

    def begin(self) -> None:
        """Create the store, or ask what happened while the program was away."""
        self._session.begin(kind=self._kind, station="bench", zone=zone_name())
        if self._kind == "training":
            self._session.handle(paced(self._session.bench, self._speed), "tool")


def show(
    session: Session,
    real: Clock,
    folder: Path,
    *,
    begin: Callable[[], None],
    damage: tuple[str, ...] = (),
    mark: str = "",
) -> int:
    """Show a session in a window until it is closed; ``begin`` after first paint."""
    app = application()
    settings_path = user_config_path("benchassist", appauthor=False) / "settings.json"
    settings, amiss = kept.load(settings_path)
    desk = Desk(folder, settings_path, Exporter(folder).job, mark=mark)
    window = Window(session, real, settings, desk)
    if mark:
        window.setWindowTitle(f"{mark}, {window.windowTitle()}")
    faults = Faults(session, window)
    faults.install()
    window.pedal.install(app)
    maximized(window)
    app.processEvents()
    begin()
    from benchassist.ui.single import First  # noqa: PLC0415 - after the first paint
    from benchassist.ui.sound.outlets import Machine  # noqa: PLC0415
    from benchassist.ui.sound.sounding import Sounding  # noqa: PLC0415
    from benchassist.ui.sound.speaker import Speaker  # noqa: PLC0415

    speaker = Speaker(Machine(), window)
    Sounding(window, session, speaker)
    first = First(folder, window)
    first.called.connect(window.raise_up)
    if mark:
        window.say(f"{mark}, a coat in real time. Nothing is released here.")
    if amiss:
        window.say(amiss)
    for sentence in damage:
        window.say(sentence, always=True)
    window.pages.offer_start()
    window.pages.closing.connect(window.close)
    window.ticker.start()
    settle()
    Job(Later(folder).work, Checked(window).done, window.say).start()
    asked: list[str] = []
    window.pages.recovery_asked.connect(asked.append)
    window.pages.recovery_asked.connect(window.close)
    try:
        code = int(app.exec())
    finally:
        window.pedal.remove(app)
        faults.remove()
        speaker.close()
        session.close()

    if asked:
        return show_read_only(folder, real, said=asked[0], why="by hand")
    return code


def show_read_only(folder: Path, real: Clock, *, said: str, why: Why) -> int:
    """Show what can be read of a record and what can be done, until it is closed."""
    from benchassist.ui.recovery import RecoveryWindow  # noqa: PLC0415 - once in years

    app = application()
    settings_path = user_config_path("benchassist", appauthor=False) / "settings.json"
    settings, _ = kept.load(settings_path)
    desk = Desk(folder, settings_path, Exporter(folder).job)
    window = RecoveryWindow(desk, settings, real, said=said, why=why)
    window.pedal.install(app)
    maximized(window)
    window.ticker.start()
    try:
        app.exec()
    finally:
        window.pedal.remove(app)
    return AGAIN if window.again else BAD_INPUT


def run_rehearsal(name: str, speed: float, kept_in: Path | None = None) -> int:
    """Show a script being rehearsed, ``speed`` times as fast as life.

    Its store is gone afterwards unless a folder is given to keep it in.
    """
    from benchassist.rehearsal import (  # noqa: PLC0415
        Player,
        ScriptError,
        fresh,
        load_script,
    )
    from benchassist.ui.present import rehearsed  # noqa: F401, PLC0415 - a topic more
    from benchassist.ui.rehearser import Rehearser  # noqa: PLC0415

    app = application()
    with tempfile.TemporaryDirectory(prefix="benchassist-") as made:
        folder = kept_in or Path(made)
        try:
            fresh(folder)
            player = Player(load_script(name), partial(Journal.open, folder))
        except (ScriptError, JournalError) as error:
            print(f"benchassist: {error}", file=sys.stderr)  # noqa: T201
            return BAD_INPUT
        shown = Rehearser(player, RealClock(), speed)
        desk = Desk(folder, folder / "none.json", Exporter(folder).job, shown.advance)
        window = Window(player.session, RealClock(), kept.Settings(), desk)
        shown.window = window
        maximized(window)
        window.ticker.start()
        try:
            return int(app.exec()) or shown.code
        finally:
            player.close()


def application() -> QApplication:
    """Return the application with fonts and icon; made once."""
    app = QApplication.instance()
    if isinstance(app, QApplication):
        return app
    app = QApplication(sys.argv[:1])
    app.setApplicationName("benchassist")
    load_fonts()
    pixmap = QPixmap()
    pixmap.loadFromData(assets.read_bytes("resources", "icon", "bench.svg"))
    app.setWindowIcon(QIcon(pixmap))
    return app
