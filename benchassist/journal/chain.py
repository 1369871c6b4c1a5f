"""The chain: each entry's hash covers its header, its payload and the one before.

Free text is covered by a salted digest of it, so that blanking the text leaves
the chain whole and the digest says nothing of what was typed. It knows rows and
no file.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from hashlib import sha256
from typing import NamedTuple, get_args

from benchassist.domain.events import Channel, TextBlanked
from benchassist.value import value

YEAR_9999_MS = 253_370_764_800_000  # what a date can still be made of
CHANNELS = frozenset(get_args(Channel))
DAY_MIN = 24 * 60  # no zone is further from UTC
GENESIS = bytes(32)  # what the first entry follows


class Row(NamedTuple):
    """One entry as it lies in ``events``, with its free text from ``texts``."""

    seq: int
    batch: int
    id: str
    wall_ms: int
    offset_min: int
    mono_ms: int
    boot: str
    operator: str
    channel: str
    kind: str
    version: int
    payload: str
    text_digest: bytes | None
    hash: bytes
    body: str | None = None
    salt: bytes | None = None
    blanked_by: int | None = None


@value
class Head:
    """The last entry: its number and its hash; 0 and ``GENESIS`` when empty."""

    seq: int
    hash: bytes


@value
class Fault:
    """An entry that is not what was written, and how that shows."""

    seq: int
    sentence: str


def has_header(row: Row) -> bool:
    """Return whether the cells before the payload are what an entry's can be.

    A damaged cell has any type, and SQLite says nothing of it.
    """
    texts = (row.id, row.boot, row.operator, row.channel, row.kind)
    numbers = (row.batch, row.wall_ms, row.offset_min, row.mono_ms, row.version)
    return (
        all(type(cell) is str for cell in texts)
        and all(type(cell) is int for cell in numbers)
        and row.channel in CHANNELS
        and 0 <= row.wall_ms < YEAR_9999_MS
        and abs(row.offset_min) < DAY_MIN
    )


def link(previous: bytes, row: Row) -> bytes:
    """Return the hash of an entry that follows ``previous``.

    ``row.hash`` and the text itself are not part of it.
    """
    header = (
        *row[:11],
        sha256(row.payload.encode()).hexdigest(),
        row.text_digest.hex() if row.text_digest is not None else None,
    )
    return sha256(previous + json.dumps(header).encode()).digest()


def text_digest(salt: bytes, body: str) -> bytes:
    """Return the digest that stands for a text in the chain."""
    return sha256(salt + body.encode()).digest()


def faults(seq: int, last: bytes | None, rows: Iterable[Row]) -> list[Fault]:
    """Return what is wrong with rows that should follow entry ``seq``.

    ``last`` is that entry's stored hash, ``None`` where it cannot be read. A
    broken link is told once: the next one is checked against the hash that is
    stored, so that a single changed byte is a single fault.
    """
    found = []
    for row in rows:
        if row.seq != seq + 1:
            found.append(gap(seq + 1, row.seq - 1))
        elif last is not None and not follows(last, row):
            found.append(
                Fault(
                    row.seq,
                    f"Entry {row.seq} is not what was written: its hash does not fit.",
                )
            )
        if sentence := text_fault(row):
            found.append(Fault(row.seq, sentence))
        seq, last = row.seq, row.hash
    return found


def blanks(act: Row, seq: int) -> bool:
    """Return whether an entry is the act that took the text of entry ``seq`` away."""
    if act.kind != TextBlanked.__name__ or act.seq <= seq:
        return False
    try:
        return seq in json.loads(act.payload)["entries"]
    except (LookupError, TypeError, ValueError):
        return False


def gap(first: int, last: int) -> Fault:
    """Return the fault of entries that are not there."""
    if first == last:
        return Fault(first, f"Entry {first} is missing.")
    return Fault(first, f"Entries {first} to {last} are missing.")


def follows(previous: bytes, row: Row) -> bool:
    """Return whether a row is what was written after ``previous``, its text aside."""
    try:
        return link(previous, row) == row.hash
    except (AttributeError, TypeError, ValueError):  # a damaged cell has any type
        return False


def text_fault(row: Row) -> str | None:
    """Return what is wrong with the free text of a row, if anything is."""
    if row.text_digest is None:
        return None if row.body is None else f"Entry {row.seq} has a text too many."
    if row.body is None or row.salt is None:
        blanked = row.blanked_by is not None and row.blanked_by > row.seq
        return None if blanked else f"The text of entry {row.seq} is missing."
    try:
        same = text_digest(row.salt, row.body) == row.text_digest
    except (AttributeError, TypeError, ValueError):
        same = False
    return None if same else f"The text of entry {row.seq} is not what was written."
