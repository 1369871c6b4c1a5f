"""Files from outside read within bounds, and files of our own written whole.

What a hand names may be a pipe, a device without an end or a folder; what is written
may be cut off by a full disk or a stick pulled out. Both are ``OSError`` here, with a
sentence in ``strerror``.
"""

from __future__ import annotations

import errno
import logging
import os
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

MOST_BYTES = 16 * 2**20  # a library with every spectrum in it is under 1 MiB


def read_whole(path: Path, most: int = MOST_BYTES) -> bytes:
    """Return the content of a plain file of at most ``most`` bytes.

    Raises
    ------
    OSError
        If it is no plain file, larger, or cannot be read.
    """
    try:
        # Without O_NONBLOCK a pipe that nobody writes to never opens.
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except ValueError:
        raise OSError(errno.EINVAL, "no file can have such a name") from None
    with os.fdopen(descriptor, "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise OSError(errno.EINVAL, "it is no plain file")
        data = file.read(most + 1)
    if len(data) > most:
        raise OSError(errno.EFBIG, f"it is over {most // 2**20} MiB")
    return data


@contextmanager
def quiet(library: str) -> Iterator[None]:
    """Keep a library's remarks on odd files out of the log: ours is the sentence."""
    log = logging.getLogger(library)
    before = log.level
    log.setLevel(logging.CRITICAL + 1)  # of those below it too, made meanwhile or not
    try:
        yield
    finally:
        log.setLevel(before)


def read_text(path: Path, most: int = MOST_BYTES) -> str:
    """Return the text of a plain UTF-8 file; see ``read_whole``.

    Raises
    ------
    OSError
        As ``read_whole``.
    UnicodeDecodeError
        If it is no UTF-8 text.
    """
    return read_whole(path, most).decode("utf-8")


def write_whole(path: Path, data: bytes) -> Path:
    """Write a file whole or not at all, and return when it is on the disk.

    Two that write the same file do not meet: each has a half of its own.

    Raises
    ------
    OSError
        If the folder refuses; what was there before is still there.
    """
    handle, name = tempfile.mkstemp(
        prefix=f".{path.name}.", suffix=".part", dir=path.parent
    )
    half = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        half.replace(path)
    except BaseException:
        with suppress(OSError):
            half.unlink()
        raise
    return path


@contextmanager
def written_to(out: Path, what: str, error: type[Exception]) -> Iterator[Path]:
    """Give the folder that ``what`` is written to; one that refuses is an ``error``."""
    try:
        yield folder_for(out)
    except OSError as refused:
        message = (
            f"The {what} cannot be written to {out} ({refused.strerror}): choose"
            " another folder or free some space."
        )
        raise error(message) from refused


def folder_for(asked: Path) -> Path:
    """Return the folder a hand named, ``~`` understood, made where it is absent.

    Raises
    ------
    OSError
        If it cannot be made.
    """
    try:
        made = asked.expanduser()
        made.mkdir(parents=True, exist_ok=True)
    except (ValueError, RuntimeError):
        raise OSError(errno.EINVAL, "no folder can have such a name") from None
    return made
