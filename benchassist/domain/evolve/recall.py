"""State from events about recalls and the signed day."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Recall, Signed
from benchassist.value import replace


@on(ev.RecallOpened)
def _recalled(bench: Bench, entry: ev.Entry, event: ev.RecallOpened) -> Bench:
    found = Recall(
        event.recall,
        event.kind,
        event.thing,
        event.reason,
        event.deviations,
        entry.at,
    )
    opened = replace(bench, recalls_opened=bench.recalls_opened + 1)
    return opened.put("recalls", found.id, found)


@on(ev.DaySigned)
def _signed(bench: Bench, entry: ev.Entry, event: ev.DaySigned) -> Bench:
    signed = Signed(event.day, entry.operator, entry.at, event.head, event.hash)
    return replace(bench, signed=signed)
