"""State from what was entered late: what it led to has events of its own."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Ready
from benchassist.value import replace


@on(ev.EnteredLate)
def _entered(bench: Bench, entry: ev.Entry, event: ev.EnteredLate) -> Bench:
    """Let the part have come to its stage when it did; alcohol dries from the entry."""
    part = replace(bench.parts[event.part], entered=event.ended)
    if isinstance(part.phase, Ready):
        part = replace(part, phase=Ready(event.ended))
    return bench.with_part(part)
