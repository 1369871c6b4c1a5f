"""A correction asked of a bench alone: it rests on entries that no bench has."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.deciders.table import decides
from benchassist.domain.outcome import Decision, Refusal
from benchassist.domain.state import Bench


@decides(cm.Correct)
def without_record(bench: Bench, command: cm.Correct, now: Instant) -> Decision:
    """Say that whoever holds the journal brings the entries: ``correction.correct``."""
    return Refusal("no-record", "Only whoever has the record can put an entry right.")
