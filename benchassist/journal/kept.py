"""The kept state: a short cut for opening, in files of its own beside the journal.

It is derived and may be thrown away, so nothing that happens to it may hold up the
record itself. An entry of the chain carries its digest and lies right behind the last
entry that it holds; without such an entry it is not believed. It knows no state.
"""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path

from benchassist.journal.slots import flush, flush_folder
from benchassist.value import value

PREFIX = "state-"
ASIDE = "set-aside-state-"
MOST = 2  # kept, so that a damaged one leaves another


@value
class KeptState:
    """A state after entry ``seq`` as text; ``spoilt`` names those not believed."""

    seq: int = 0
    text: str = ""
    spoilt: tuple[int, ...] = ()

    @property
    def amiss(self) -> str:
        """Return what is to be said of the ones that were not believed."""
        if not self.spoilt:
            return ""
        return (
            f"The kept state after entry {self.spoilt[0]} is not what was kept: it is"
            " set aside, and the entries were read instead."
        )


def digest(text: str) -> str:
    """Return the digest by which an entry vouches for a kept state."""
    return sha256(text.encode()).hexdigest()


def write(folder: Path, seq: int, text: str) -> None:
    """Keep a state, whole or not at all, and let older ones go."""
    path = folder / f"{PREFIX}{seq}"
    half = folder / f"{PREFIX}{seq}.part"
    with half.open("wb") as file:
        file.write(text.encode())
        file.flush()
        flush(file.fileno())
    half.replace(path)
    flush_folder(folder)
    for old in found(folder)[MOST:]:
        _path(folder, old).unlink(missing_ok=True)


def found(folder: Path) -> list[int]:
    """Return after which entries a state was kept, the newest first."""
    names = (path.name.removeprefix(PREFIX) for path in folder.glob(f"{PREFIX}*"))
    return sorted((int(name) for name in names if name.isdecimal()), reverse=True)


def read(folder: Path, seq: int) -> str | None:
    """Return what a file says, ``None`` where it is no text at all."""
    try:
        return _path(folder, seq).read_text("utf-8")
    except (OSError, UnicodeDecodeError):
        return None


def set_aside(folder: Path, seq: int) -> None:
    """Take a state that was not believed out of the way."""
    _path(folder, seq).replace(folder / f"{ASIDE}{seq}")


def remove(folder: Path) -> None:
    """Remove every kept state for good: it may repeat what people typed."""
    for pattern in (PREFIX, ASIDE):
        for path in folder.glob(f"{pattern}*"):
            with path.open("r+b", buffering=0) as file:
                file.write(bytes(path.stat().st_size))
                os.fsync(file.fileno())
            path.unlink()


def _path(folder: Path, seq: int) -> Path:
    return folder / f"{PREFIX}{seq}"
