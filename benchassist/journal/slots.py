"""A small file that is overwritten in place and never torn: two slots in turn.

Each slot lies in a sector of its own and carries a running number and a digest
of itself, so that a power cut in the middle of a write costs that write alone
and the record before it is still there. It knows nothing of what it holds.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import TypeAlias

if sys.platform == "darwin":
    import fcntl

Record: TypeAlias = Mapping[str, str | int]

SLOT_BYTES = 512  # [B] the smallest sector in use; a sector is written whole or not
_DIGEST_CHARS = 16


class SlotFile:
    """The one writer of a two-slot file; the file is created when absent."""

    def __init__(self, path: Path) -> None:
        self.path = path
        new = not path.exists()
        # Closed by close(): the point is to keep it open.
        self._file = path.open("w+b" if new else "r+b", buffering=0)
        if new:
            self._file.write(b"\n" * (2 * SLOT_BYTES))
            flush(self._file.fileno())
            flush_folder(path.parent)
        self._number = max((n for n, _ in _slots(path)), default=0)

    def write(self, record: Record) -> None:
        """Overwrite the older slot with ``record`` and wait for the disk.

        Raises
        ------
        ValueError
            If the record does not fit a slot.
        """
        self._number += 1
        body = json.dumps([self._number, record], sort_keys=True).encode()
        line = _digest(body).encode() + b" " + body
        if len(line) >= SLOT_BYTES:
            message = f"{len(line)} bytes do not fit a slot of {SLOT_BYTES}."
            raise ValueError(message)
        self._file.seek(self._number % 2 * SLOT_BYTES)
        self._file.write(line.ljust(SLOT_BYTES - 1) + b"\n")
        flush(self._file.fileno())

    def close(self) -> None:
        """Close the file."""
        self._file.close()


def read_slots(path: Path) -> dict[str, str | int] | None:
    """Return the newest whole record of a two-slot file, ``None`` if it has none.

    A file that is absent, blank or wholly unreadable has none.
    """
    newest = max(_slots(path), key=lambda slot: slot[0], default=None)
    return newest and newest[1]


def flush(descriptor: int) -> None:
    """Return when what was written to ``descriptor`` is on the disk."""
    if sys.platform == "darwin":
        # Plain fsync leaves it in the drive's own cache there.
        fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
    elif sys.platform == "win32":
        os.fsync(descriptor)
    else:
        os.fdatasync(descriptor)


def flush_folder(folder: Path) -> None:
    """Return when the names of new files in ``folder`` are on the disk.

    Windows has no such call and needs none.
    """
    if sys.platform != "win32":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _slots(path: Path) -> list[tuple[int, dict[str, str | int]]]:
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return []
    found = []
    for start in (0, SLOT_BYTES):
        digest, _, body = content[start : start + SLOT_BYTES].rstrip().partition(b" ")
        if body and digest == _digest(body).encode():
            number, record = json.loads(body)
            found.append((number, record))
    return found


def _digest(body: bytes) -> str:
    return sha256(body).hexdigest()[:_DIGEST_CHARS]
