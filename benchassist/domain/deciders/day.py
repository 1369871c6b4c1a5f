"""The day ahead: what hands say of the order. It never touches a clock or a gate."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import find
from benchassist.domain.deciders.table import decides
from benchassist.domain.outcome import Decision, Said
from benchassist.domain.state import Bench


@decides(cm.OrderPart)
def order_part(bench: Bench, command: cm.OrderPart, now: Instant) -> Decision:
    """Put a part first or back among what harms nobody."""
    part = find(bench, command.part)
    if bench.wishes.get(part.code, "as due") == command.wish:
        return Said(f"{part.code}: it is so already.")
    return (ev.PartOrdered(part.code, command.wish),)


@decides(cm.RefusePutBack)
def refuse(bench: Bench, command: cm.RefusePutBack, now: Instant) -> Decision:
    """Refuse what was proposed, until a part arrives, closes or is put elsewhere."""
    part = find(bench, command.part)
    beside = tuple(sorted(each.code for each in bench.in_flight))
    return (ev.PutBackRefused(part.code, beside),)
