"""Questions to the record that may take longer than a frame.

A record on disk is read by a worker through a reader of its own; one in memory, of a
rehearsal that was not written yet, is asked at once.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from benchassist.journal.writing import Writer
from benchassist.stores import reading
from benchassist.ui.worker import Job


def ask(
    book: Writer,
    question: Callable[[Any], object],
    done: Callable[..., None],
    failed: Callable[[str], None],
) -> None:
    """Ask the record; ``done`` gets the answer, ``failed`` a sentence."""
    if book.on_disk:
        Job(partial(_asked, book.folder, question), done, failed).start()
        return
    try:
        answer = question(book)
    except Exception as error:  # noqa: BLE001 - as a worker's fault: told, not raised
        failed(str(error) or type(error).__name__)
    else:
        done(answer)


def _asked(folder: Path, question: Callable[[Any], object]) -> object:
    with reading(folder) as journal:
        return question(journal)
