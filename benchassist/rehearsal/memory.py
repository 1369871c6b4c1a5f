"""A journal in memory that is copied to disk in one piece at the end.

For the demonstration day: a day of entries that waits for no disk costs what a few
presses cost, and a day that was broken off leaves nothing behind.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

from benchassist.clock import Instant
from benchassist.domain.events import Entry
from benchassist.journal import schema
from benchassist.journal.backup import copy_into
from benchassist.journal.codec import CODEC
from benchassist.journal.drafts import Draft
from benchassist.journal.kept import KeptState
from benchassist.journal.writing import Journal, Writer


class MemoryJournal(Writer):
    """What a session asks of a journal, in tables that no file holds."""

    on_disk = False

    def __init__(self) -> None:
        db = sqlite3.connect(":memory:", isolation_level=None)
        schema.create(db)
        super().__init__(db, Path(), CODEC)
        self._beat: Instant | None = None

    def blank_text(self, act: Draft) -> Entry:
        """Remove free text, an owner's act."""
        (entry,) = self._commit((act,))
        return entry

    def kept_state(self) -> KeptState:
        """Return no kept state: there is none in memory."""
        return KeptState()

    def keep_state(self, seq: int, text: str) -> None:
        """Keep nothing: the state is in memory anyway."""

    def beat(self, now: Instant) -> None:
        """Note that the program is alive."""
        self._beat = now

    def last_beat(self) -> Instant | None:
        """Return when the program was last alive."""
        return self._beat

    def close(self) -> None:
        """Let nothing go: the entries are still to be written."""

    def write(self, folder: Path) -> Journal:
        """Write everything into a new journal in one piece; return it open."""
        copy_into(self._db, folder)
        journal = Journal.open(folder)
        if self._beat is not None:
            journal.beat(self._beat)
        return journal
