"""A recall and a signature asked of a bench alone: they rest on the record."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.deciders.table import decides
from benchassist.domain.outcome import Decision, Refusal
from benchassist.domain.state import Bench


@decides(cm.OpenRecall)
def without_parts(bench: Bench, command: cm.OpenRecall, now: Instant) -> Decision:
    """Say that whoever holds the journal brings the parts: ``recall.recall``."""
    del bench, command, now
    return Refusal("no-record", "Only whoever has the record can find what has it.")


@decides(cm.SignDay)
def without_head(bench: Bench, command: cm.SignDay, now: Instant) -> Decision:
    """Say that whoever holds the journal brings its head: ``closing.sign``."""
    del bench, command, now
    return Refusal("no-record", "Only whoever has the record can sign the day.")
