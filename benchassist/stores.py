"""A store before and beside its session: its kind, its clock, its last state.

For whoever opens a folder, and for whoever only reads it while the window that wrote
it runs, or is gone, or will not start. Nothing is decided or mended here.
"""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path

from benchassist import snapshot
from benchassist.clock import AcceleratedClock, Clock, Instant, Now
from benchassist.domain import commands as cm
from benchassist.domain.dark import boots_at
from benchassist.domain.events import StoreKind
from benchassist.domain.evolve.anew import replay
from benchassist.domain.limits import LIMITS, OWN_TIME, limit
from benchassist.domain.state import Bench
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalError,
    JournalReadOnlyError,
)
from benchassist.journal.files import DATABASE, HEARTBEAT, ROLLBACK, WITNESS
from benchassist.journal.reading import Reader, ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.value import replace, value

# What else may be opened: examples may lie in any folder and stay marked as such.
ALSO: dict[StoreKind, tuple[StoreKind, ...]] = {"real": ("demo", "rehearsal")}


class OtherStoreError(JournalError):
    """The folder holds a store of another kind."""


@value
class Known:
    """The bench after entry ``seq``; ``amiss`` says why nothing later is known."""

    bench: Bench
    seq: int
    amiss: str = ""


def open_store(folder: Path, kind: StoreKind) -> Journal:
    """Open a folder for writing, if it is new or holds what was asked for.

    Raises
    ------
    OtherStoreError
        If it holds a store of another kind.
    JournalError
        If it cannot be opened.
    """
    with ExitStack() as held:
        journal = held.enter_context(Journal.open(folder))
        store = journal.store
        if store is not None and store.kind not in (kind, *ALSO.get(kind, ())):
            message = (
                f"The journal in {folder} is a {store.kind} store and cannot be opened"
                f" as a {kind} one: choose another folder."
            )
            raise OtherStoreError(message)
        held.pop_all()
    return journal


# --- the clock -------------------------------------------------------------------


def bench_clock(journal: Reader, real: Clock, speed: float = 1.0) -> Clock:
    """Return the clock of a bench: the real one, or a training bench's own.

    A training bench's time runs ``speed`` times as fast and stands while it is
    closed, unless the real time has caught up with it meanwhile.
    """
    store = journal.store
    if store is None or store.kind != "training":
        return real
    now = real.now()
    last = _last_known(journal)
    if last is None:
        return AcceleratedClock(real, speed, now)
    # Its time is its own: no boot of the machine divides it, so that nothing of it
    # is dark.
    ahead_ms = max(0, now.wall_ms - last.wall_ms)
    resumed = replace(last.plus(ahead_ms), offset_min=now.offset_min)
    return AcceleratedClock(real, speed, resumed)


def _last_known(journal: Reader) -> Instant | None:
    """Return the last moment that a journal knows of, if it knows one."""
    known = [beat] if (beat := journal.last_beat()) else []
    with suppress(DamagedJournalError):  # a last entry that is torn tells no time
        known += [at] if (at := journal.last_at) else []
    return max(known, key=lambda at: at.wall_ms, default=None)


def latest(journal: Reader, now: Instant) -> Instant:
    """Return now, or the last moment that a journal knows of if that is later.

    Later on either clock: a wall that was put back moves nothing back.
    """
    at = _last_known(journal)
    return now.plus(max(0, at.since(now), at.wall_ms - now.wall_ms) if at else 0)


def paced(bench: Bench, speed: float) -> cm.FileLibrary:
    """Return what keeps hands and machine in their own time on a fast clock.

    A look that comes late, an undo and a heartbeat take the real time they take;
    what happens to a part takes the time of the bench.
    """
    why = f"the clock of this training runs {speed:g} times as fast"
    own = {code: speed * LIMITS[code].default for code in OWN_TIME}
    return cm.FileLibrary(
        limits=tuple(
            (code, ms_or_s, why)
            for code, ms_or_s in own.items()
            if limit(bench, code) != ms_or_s
        )
    )


# --- reading ---------------------------------------------------------------------


@contextmanager
def reading(folder: Path) -> Iterator[Reader]:
    """Open a store of any kind for reading, however its writer left it.

    A writer that died within a commit leaves what only a writer may take back; a
    copy is then read, and the store stays as it is.

    Raises
    ------
    JournalError
        If there is none, or it cannot be read.
    """
    with ExitStack() as held:
        try:
            journal = ReadOnlyJournal.open(folder)
        except JournalReadOnlyError as error:
            journal = _rolled_back(folder, held, error)
        held.callback(journal.close)
        yield journal


def _rolled_back(folder: Path, held: ExitStack, why: JournalError) -> ReadOnlyJournal:
    try:
        made = held.enter_context(tempfile.TemporaryDirectory(prefix="benchassist-"))
        copy = Path(made)
        for name in (DATABASE, ROLLBACK, WITNESS, HEARTBEAT):
            if (folder / name).exists():
                shutil.copy2(folder / name, copy / name)
        with closing(sqlite3.connect(copy / DATABASE)) as db:
            db.execute("SELECT count(*) FROM sqlite_master")  # SQLite rolls it back
        return ReadOnlyJournal.open(copy)
    except (JournalError, OSError, sqlite3.Error):
        raise why from None


def last_state(journal: Reader) -> Known:
    """Return the bench as far as its journal can be believed.

    Raises
    ------
    JournalError
        If not even its end can be found.
    """
    bench, head = _kept(journal), journal.head.seq
    report = journal.walk(bench.seq + 1, head - bench.seq)
    upto = report.faults[0].seq - 1 if report.faults else head
    why = report.faults[0].sentence if report.faults else ""
    try:
        for entry in journal.entries(bench.seq, upto):
            bench = replay(bench, (entry,), journal)
    except DamagedJournalError as error:
        why = error.findings[0]
    except JournalError as error:
        why = str(error)
    except (AttributeError, LookupError, TypeError, ValueError):
        why = f"Entry {bench.seq + 1} does not follow from those before it."
    amiss = f"{why} What came after entry {bench.seq} is not known." if why else ""
    return Known(bench, bench.seq, amiss)


def _kept(journal: Reader) -> Bench:
    """Return the state that was kept, or an empty bench."""
    with suppress(JournalError):
        return snapshot.believed(journal.kept_state()) or Bench()
    return Bench()


def paper(
    folder: Path, out: Path, now: Instant, parts: Sequence[str] = ()
) -> tuple[tuple[Path, ...], str]:
    """Write paper cards of a folder's parts; return them, and what is amiss.

    Raises
    ------
    JournalError
        If the store cannot be read.
    CardError
        If there is no such part in flight, or ``out`` refuses.
    """
    from benchassist.domain.words import sentences  # noqa: PLC0415 - no window waits
    from benchassist.records.card import Printed, write_cards  # noqa: PLC0415
    from benchassist.records.proof import prove  # noqa: PLC0415

    with reading(folder) as journal:
        known = last_state(journal)
        entries = (
            entry
            for part in known.bench.in_flight
            for row in filter(None, (journal.part_row(part.code),))
            for entry in journal.readable(row.first_seq - 1, row.first_seq)
        )
        proof = prove(journal, entries, known.seq)
        amiss = sentences(known.amiss, "" if known.amiss else proof.amiss)
        at, bench = latest(journal, now), known.bench
        boots = boots_at(bench.boots, bench.latest, at, journal.last_beat())
        printed = Printed(Now.at(at, boots), known.seq, amiss, proof.told)
        return write_cards(journal, known.bench, out, printed, parts), amiss
