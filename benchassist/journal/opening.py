"""What is checked before a journal is trusted with the next entry.

Format and guards, the last links of the chain, and the witness beside it: a
second file that says what the last entry was. It reads and reports; it mends
nothing.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import suppress
from pathlib import Path
from typing import Literal

from benchassist.domain.events import DamageAccepted
from benchassist.journal import schema
from benchassist.journal.chain import Head
from benchassist.journal.errors import DamagedJournalError
from benchassist.journal.files import DATABASE, HEARTBEAT, WITNESS, first_hash
from benchassist.journal.reading import Reader
from benchassist.journal.slots import Record, read_slots
from benchassist.value import value

LINKS = 1000  # checked at every opening; the whole chain is walked later

OTHER_BEAT = (
    "The heartbeat file belongs to another store: how long the program was away is"
    " not known."
)
WitnessState = Literal["new", "agrees", "one behind", "replaced"]


@value
class OpeningReport:
    """How the journal was found.

    ``witness`` is ``one behind`` after the program died between the commit and
    the witness, which is normal. ``readable_to`` is the last entry before any
    damage, ``None`` where only a walk over the whole chain can say. ``damage``
    and ``set_aside`` are only filled when the owner went on with a damaged one.
    ``notes`` are to be said, and no damage.
    """

    head: Head
    links_checked: int
    witness: WitnessState
    readable_to: int | None
    damage: tuple[str, ...] = ()
    set_aside: Path | None = None
    notes: tuple[str, ...] = ()


def check_presence(folder: Path, witness: Record | None, beat: Record | None) -> None:
    """Raise when there should be a journal and there is none.

    An empty file satisfies SQLite, so this comes before it is asked.
    """
    path = folder / DATABASE
    seen = max(int(each.get("seq", 0)) if each else 0 for each in (witness, beat))
    if seen and not (path.exists() and path.stat().st_size):
        raise DamagedJournalError(
            folder, (f"{DATABASE} is gone, but {seen} entries were in it.",), 0
        )


def inspect(
    db: sqlite3.Connection,
    reader: Reader,
    witness: Record | None,
    beat: Record | None,
) -> OpeningReport:
    """Return how an open journal was found, ``damage`` told and not raised."""
    head = reader.head
    first = max(1, head.seq - LINKS + 1)
    report = reader.walk(first, LINKS)
    accepted = _accepted(db) if report.faults else frozenset()
    faults = [fault for fault in report.faults if fault.seq not in accepted]
    findings = [fault.sentence for fault in faults]
    if not schema.is_intact(db):
        findings.append("Its tables or their guards are not as they were laid out.")
    seq = int(witness["seq"]) if witness else 0
    if finding := _against_witness(db, head, seq, witness):
        findings.append(finding)
    notes = tuple(
        f"{fault.sentence} The owner went on with it."
        for fault in report.faults
        if fault.seq in accepted
    )
    if beat and beat.get("store", first_hash(db)) != first_hash(db):
        notes = (*notes, OTHER_BEAT)
    elif beat and int(beat.get("seq", 0)) > head.seq and seq <= head.seq:
        findings.append(
            f"It ends at entry {head.seq}, but the program was alive with entry"
            f" {beat['seq']}: this is an older copy."
        )
    state: WitnessState = "agrees" if seq == head.seq else "one behind"
    if finding:
        state = "replaced"
    elif witness is None:
        state = "new"
    readable_to: int | None = head.seq
    if faults:
        before = faults[0].seq - 1
        readable_to = before if before >= first or first == 1 else None
    return OpeningReport(
        head, head.seq - first + 1, state, readable_to, tuple(findings), notes=notes
    )


def _accepted(db: sqlite3.Connection) -> frozenset[int]:
    """Return the entries of which the owner knows that they are damaged."""
    rows = db.execute(
        "SELECT payload FROM events WHERE kind = ?", (DamageAccepted.__name__,)
    ).fetchall()
    found: set[int] = set()
    for (payload,) in rows:
        with suppress(LookupError, TypeError, ValueError):
            found |= set(json.loads(payload)["entries"])
    return frozenset(found)


def found_now(reader: Reader) -> OpeningReport:
    """Return how a journal that somebody reads is found, beside its writer.

    A witness read before a commit and a head read after it are no finding: where
    there is one it is looked for again.
    """
    folder = reader.folder
    report = reader.asked(
        lambda db: inspect(db, reader, *map(read_slots, _beside(folder)))
    )
    if report.damage:
        report = reader.asked(
            lambda db: inspect(db, reader, *map(read_slots, _beside(folder)))
        )
    return report


def _beside(folder: Path) -> tuple[Path, Path]:
    return folder / WITNESS, folder / HEARTBEAT


def _against_witness(
    db: sqlite3.Connection,
    head: Head,
    seq: int,
    witness: Record | None,
) -> str:
    if witness is None:
        missing = "Its witness file is missing or cannot be read."
        return missing if head.seq else ""
    if seq > head.seq:
        return f"It ends at entry {head.seq}, but entry {seq} was already written."
    row = db.execute("SELECT hash FROM events WHERE seq = ?", (seq,)).fetchone()
    if seq and witness["store"] != first_hash(db):
        return "It is not the store that its witness file belongs to."
    if seq and (row is None or row[0].hex() != witness["hash"]):
        return f"Its entry {seq} is not the one that was written."
    later = db.execute(
        "SELECT count(DISTINCT batch) FROM events WHERE seq > ?", (seq,)
    ).fetchone()
    if later[0] > 1:
        return f"It ends at entry {head.seq}, but its witness file saw only {seq}."
    return ""
