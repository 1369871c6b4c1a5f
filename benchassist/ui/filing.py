"""A library file read by a worker while the window is open."""

from __future__ import annotations

from pathlib import Path


def read_file(path: Path) -> object:
    """Return the command that files what stands in a library file."""
    from benchassist.library_file import read_library  # noqa: PLC0415 - pydantic

    return read_library(path)
