"""What can be done about a store: a backup, a text removed, the ways on after damage.

Every act says in a sentence what was done and what it leaves out. None mends anything
in silence: what is damaged is set aside as it is, and the store that goes on says so.
"""

from __future__ import annotations

import shutil
import tempfile
from contextlib import ExitStack, closing, suppress
from pathlib import Path

from benchassist.carrying import carried_forward
from benchassist.clock import Clock, Instant, zone_name
from benchassist.domain import commands as cm
from benchassist.domain.events import CarriedForward
from benchassist.domain.limits import LIMITS
from benchassist.domain.state import Bench
from benchassist.files import folder_for, write_whole
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalError,
    JournalMissingError,
    translated,
)
from benchassist.journal.files import HEARTBEAT, WITNESS, move_aside, move_back
from benchassist.journal.opening import found_now
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.slots import read_slots
from benchassist.journal.writing import Journal, lock
from benchassist.readable import RecoveryError, known_of, walked
from benchassist.session import Session
from benchassist.stores import Known, bench_clock, reading


def rebuild_index(folder: Path) -> str:
    """Make the tables that answer questions anew from the entries."""
    with Journal.open(folder) as journal:
        journal.rebuild_projections()
        return f"The index was made anew from {journal.head.seq} entries."


# --- a backup --------------------------------------------------------------------


def backup(folder: Path, out: Path) -> str:
    """Copy a store into an empty or new folder, and walk the copy.

    Raises
    ------
    JournalError
        If the store cannot be read or the folder cannot take it.
    """
    with reading(folder) as journal:
        try:
            target = folder_for(out)
        except OSError as error:
            message = f"No backup can be made in {out} ({error.strerror})."
            raise RecoveryError(message) from error
        with translated(journal.folder):
            heart = journal.folder / HEARTBEAT
            beat = heart.read_bytes() if heart.exists() else b""
        head = journal.backup(target)
        if beat:
            with translated(target):
                write_whole(target / HEARTBEAT, beat)
        with translated(target):
            photos = _photos(journal.folder, target)
    with ReadOnlyJournal.open(target) as copy:
        faults = list(walked(copy, head.seq))
    no_beat = "" if beat else " There was no heartbeat to copy."
    told = f"The backup in {target} ends at entry {head.seq}, hash {head.hash.hex()}."
    told += photos
    if faults:
        message = f"{told} It is as damaged as the store: {faults[0].sentence}{no_beat}"
        raise RecoveryError(message)
    return f"{told} Its chain was walked and is whole.{no_beat}"


def restore(folder: Path, source: Path) -> str:
    """Put a backup in the place of a store, which is set aside as it is.

    Raises
    ------
    RecoveryError
        If the backup is damaged, or of another store.
    JournalError
        If either cannot be read or written.
    """
    source = source.expanduser()
    with ExitStack() as held:
        backed = held.enter_context(ReadOnlyJournal.open(source))
        with translated(folder):
            folder.mkdir(parents=True, exist_ok=True)
            held.callback(lock(folder).release)
        head = backed.head
        faults = list(walked(backed, head.seq))
        damage = [fault.sentence for fault in faults] or list(found_now(backed).damage)
        if damage or not head.seq:
            what = damage[0] if damage else "It is empty."
            message = f"The backup in {source} cannot take its place: {what}"
            raise RecoveryError(message)
        names = _names_of(folder)
        if names and backed.first_hash() not in names:
            message = f"The backup in {source} is of another store: choose its own."
            raise RecoveryError(message)
        last = _last_seen(folder)
        with translated(folder):
            made = Path(tempfile.mkdtemp(prefix=".restoring-", dir=folder))
            held.callback(shutil.rmtree, made, ignore_errors=True)
            backed.backup(made / "copy")
            aside = move_aside(folder)
            for path in (made / "copy").iterdir():
                path.replace(folder / path.name)
            photos = _photos(source, folder)
        at = backed.last_at
    when = f" of {at.local():%Y-%m-%d %H:%M}" if at else ""
    lost = f" Entries {head.seq + 1} to {last} are only there: enter what they said."
    return (
        f"The backup is in place; it ends at entry {head.seq}{when}. The damaged store"
        f" lies in {aside}.{lost if last > head.seq else ''}{photos}"
    )


def _photos(source: Path, target: Path) -> str:
    """Copy the photos beside a journal; return what is to be said of them."""
    from benchassist.photo import copy_beside  # noqa: PLC0415 - few have photos

    count, amiss = copy_beside(source, target)
    if amiss:
        return f" Of {count} photos {len(amiss)} were altered: {amiss[0][:8]} first."
    return f" {count} photos lie beside it." if count else ""


def _names_of(folder: Path) -> set[str]:
    """Return by which first hashes the store of a folder is known, if by any."""
    found = {
        str(record["store"])
        for name in (WITNESS, HEARTBEAT)
        if (record := read_slots(folder / name)) and record.get("store")
    }
    with suppress(JournalError), ReadOnlyJournal.open(folder) as journal:
        found.add(journal.first_hash())
    return found - {""}


def _last_seen(folder: Path) -> int:
    seen = [
        int(record.get("seq", 0))
        for name in (WITNESS, HEARTBEAT)
        if (record := read_slots(folder / name))
    ]
    with suppress(JournalError), ReadOnlyJournal.open(folder) as journal:
        seen.append(journal.head.seq)
    return max(seen, default=0)


# --- going on --------------------------------------------------------------------


def go_on(folder: Path, reason: str, clock: Clock) -> str:
    """Go on with a damaged store, after a copy of it was set aside.

    Raises
    ------
    RecoveryError
        If there is no reason, or its entries make no state.
    JournalError
        If it cannot be written.
    """
    if not reason.strip():
        raise RecoveryError("Say who decides this, and why.")
    with ReadOnlyJournal.open(folder) as journal:
        try:
            for _ in journal.entries():
                pass
        except DamagedJournalError as error:
            message = f"{error.findings[0]} Go on in a new store, or with a backup."
            raise RecoveryError(message) from error
        faults = tuple(walked(journal, journal.head.seq))
    writer = Journal.open(folder, despite_damage=True)
    aside = writer.opening.set_aside
    found = dict.fromkeys((*(f.sentence for f in faults), *writer.opening.damage))
    session = _session(writer, clock)
    accept = cm.AcceptDamage(
        tuple(sorted({fault.seq for fault in faults})),
        tuple(found),
        aside.name if aside else "",
        reason,
    )
    _written(session, accept)
    where = f" A copy as it was lies in {aside}." if aside else ""
    return f"The store goes on; what is damaged stays on record as damaged.{where}"


def _written(session: Session, *commands: cm.Command) -> None:
    """Let a session write commands down and let it go; raise where one is refused."""
    with closing(session):
        for command in commands:
            refusal = session.handle(command, "hand").refusal
            if refusal is not None:
                raise RecoveryError(refusal.sentence)


def _session(journal: Journal, clock: Clock) -> Session:
    try:
        return Session(journal, bench_clock(journal, clock))
    except (JournalError, LookupError, TypeError, ValueError) as error:
        journal.close()
        message = "Its entries make no state. Go on in a new store, or with a backup."
        raise RecoveryError(message) from error


def go_on_anew(folder: Path, reason: str, clock: Clock) -> str:
    """Begin a new store in the damaged one's place that refers to it.

    The new one has the shelf as last known (materials, lots, equipment, recipes and
    limits) and what ``carrying`` takes over. Parts in flight are on their paper cards
    and are taken in again.

    Raises
    ------
    RecoveryError
        If there is no reason.
    JournalError
        If it cannot be written.
    """
    if not reason.strip():
        raise RecoveryError("Say who decides this, and why.")
    known, first, last, carried = _last_proven(folder, clock.now())
    held = lock(folder)
    try:
        with translated(folder):
            aside = move_aside(folder)
    finally:
        held.release()
    try:
        begun = _begun(folder, known, clock)
        refer = cm.ContinueStore(
            store=known.bench.store.store_id if known.bench.store else "",
            first=first,
            seq=carried.seq,
            hash=carried.hash,
            folder=aside.name,
            reason=reason,
            carried=carried,
        )
        _written(begun, _shelf(known.bench), refer)
    except JournalError:
        move_back(aside)
        raise
    photos = sum(len(digests) for _, digests in carried.photos)
    return (
        f"A new store goes on from entry {carried.seq} of the old, which lies in"
        f" {aside} with all its {last} entries. Materials, equipment, recipes and"
        " limits are on file again; readings, coupons, baths, bottles, glycerine,"
        f" checks, {photos} photos and {len(carried.closed)} used codes are carried"
        " forward. Take the"
        " parts in flight in again by their cards."
    )


def _last_proven(folder: Path, at: Instant) -> tuple[Known, str, int, CarriedForward]:
    """Return what is known, the store's name, its last entry, what is carried on."""
    try:
        with reading(folder) as journal:
            last = journal.head.seq
            fault = next(walked(journal, last), None)
            proven = fault.seq - 1 if fault else last
            hashed = journal.hash_of(proven) or b""
            known = known_of(journal)
            carried = carried_forward(journal, known.bench, at, proven, hashed.hex())
            return known, journal.first_hash(), last, carried
    except JournalMissingError:
        raise
    except JournalError:
        names = sorted(_names_of(folder))
        carried = carried_forward(None, Bench(), at, 0, "")
        name = names[0] if names else ""
        return Known(Bench(), 0), name, _last_seen(folder), carried


def _begun(folder: Path, known: Known, clock: Clock) -> Session:
    store = known.bench.store
    session = Session(Journal.open(folder), clock)
    session.begin(
        kind=store.kind if store else "real",
        station=store.station if store else "bench",
        zone=store.zone if store else zone_name(),
    )
    return session


def _shelf(bench: Bench) -> cm.FileLibrary:
    """Return the shelf of a bench as a library to file."""
    limits = tuple(
        (code, found, "as in the old store")
        for code, found in bench.limits.items()
        if code in LIMITS and found != LIMITS[code].default
    )
    return cm.FileLibrary(
        curves=tuple(bench.curves.values()),
        materials=tuple(bench.materials.values()),
        lots=tuple(bench.lots.values()),
        lamps=tuple(bench.lamps.values()),
        boxes=tuple(bench.boxes.values()),
        vessels=tuple(bench.vessels.values()),
        recipes=tuple(bench.recipes.values()),
        limits=limits,
    )


# --- a text removed --------------------------------------------------------------


def blank(folder: Path, entries: tuple[int, ...], reason: str, clock: Clock) -> str:
    """Remove the free text of entries for good: an owner's act, itself on record.

    Raises
    ------
    RecoveryError
        If there is no reason, or an entry has no text to remove.
    JournalError
        If the store cannot be written.
    """
    if not reason.strip():
        raise RecoveryError("Say who decides this, and why.")
    session = _session(Journal.open(folder), clock)
    try:
        refusal = session.blank_text(entries, reason.strip()).refusal
    finally:
        session.close()
    if refusal is not None:
        raise RecoveryError(refusal.message)
    return (
        f"The text of entries {', '.join(map(str, entries))} is removed. Copies made"
        " before, exports and backups, still have it."
    )
