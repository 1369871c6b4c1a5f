"""A journal in memory that is written to disk in one piece at the end.

For the demonstration day: a day of entries in one transaction costs what a few
presses cost, and a day that was broken off leaves nothing behind.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from benchassist.clock import Instant
from benchassist.domain.events import Entry, PartReleased, PartScrapped
from benchassist.journal.drafts import Draft
from benchassist.journal.kept import KeptState
from benchassist.journal.writing import Journal


class MemoryJournal:
    """What a session asks of a journal, kept in a list."""

    def __init__(self) -> None:
        self._drafts: list[Draft] = []
        self._entries: list[Entry] = []
        self._beat: Instant | None = None

    def append(self, drafts: Sequence[Draft]) -> tuple[Entry, ...]:
        """Take the events of one command; their ids are made when written."""
        first = len(self._entries) + 1
        entries = tuple(
            Entry(seq, str(seq), draft.at, draft.operator, draft.channel, draft.event)
            for seq, draft in enumerate(drafts, start=first)
        )
        self._drafts.extend(drafts)
        self._entries.extend(entries)
        return entries

    def entries(self, after: int = 0) -> Iterator[Entry]:
        """Yield the entries with a higher number than ``after``."""
        yield from self._entries[after:]

    def blank_text(self, act: Draft) -> Entry:
        """Write the act down; what it blanks is blanked when it is on disk."""
        (entry,) = self.append((act,))
        return entry

    def closed_day(self, part: str) -> str:
        """Return the last day on which a part was closed, "" for none."""
        for entry in reversed(self._entries):
            match entry.event:
                case PartReleased(part=code) | PartScrapped(part=code) if code == part:
                    return entry.at.day()
        return ""

    def kept_state(self) -> KeptState:
        """Return no kept state: there is none in memory."""
        return KeptState()

    def keep_state(self, seq: int, text: str) -> None:
        """Keep nothing: the state is in memory anyway."""
        del seq, text

    def beat(self, now: Instant) -> None:
        """Note that the program is alive."""
        self._beat = now

    def last_beat(self) -> Instant | None:
        """Return when the program was last alive."""
        return self._beat

    def close(self) -> None:
        """Let nothing go: the entries are still to be written."""

    def write(self, folder: Path) -> Journal:
        """Write everything into a new journal in one transaction; return it open."""
        journal = Journal.open(folder)
        journal.append(self._drafts)
        if self._beat is not None:
            journal.beat(self._beat)
        return journal
