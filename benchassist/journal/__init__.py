"""What did happen, kept on disk for ever; knows no Qt and decides nothing.

``Journal`` is the one writer of a folder, ``ReadOnlyJournal`` any reader of it.
"""

from benchassist.journal.chain import Fault, Head
from benchassist.journal.codec import json_schema
from benchassist.journal.drafts import Draft
from benchassist.journal.errors import (
    DamagedJournalError,
    JournalBusyError,
    JournalError,
    JournalFullError,
    JournalLockedError,
    JournalLostError,
    JournalMissingError,
    JournalReadOnlyError,
    JournalWriteError,
    NewerJournalError,
    UnwritableEventError,
)
from benchassist.journal.opening import OpeningReport
from benchassist.journal.reading import PartRow, ReadOnlyJournal
from benchassist.journal.walks import ChainReport
from benchassist.journal.writing import Journal

__all__ = [
    "ChainReport",
    "DamagedJournalError",
    "Draft",
    "Fault",
    "Head",
    "Journal",
    "JournalBusyError",
    "JournalError",
    "JournalFullError",
    "JournalLockedError",
    "JournalLostError",
    "JournalMissingError",
    "JournalReadOnlyError",
    "JournalWriteError",
    "NewerJournalError",
    "OpeningReport",
    "PartRow",
    "ReadOnlyJournal",
    "UnwritableEventError",
    "json_schema",
]
