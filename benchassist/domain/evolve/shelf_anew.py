"""What a correction of a shelf entry does to the shelf, if that entry still rules."""

from __future__ import annotations

from collections.abc import Callable

from benchassist.domain import events as ev
from benchassist.domain.state import Bench
from benchassist.domain.truth import with_field
from benchassist.value import replace

SHELF_KINDS = ("LampReadingTaken", "LotReceived", "GlycerineFilled")
BESIDE_PARTS = (*SHELF_KINDS, "LampSessionOpened")


def shelf_anew(
    bench: Bench, event: ev.Corrected, entry_of: Callable[[int], ev.Entry]
) -> Bench:
    """Return the bench with the shelf entries corrected that ``event`` names."""
    for change in event.changes:
        if change.kind in BESIDE_PARTS and change.seq == event.entry:
            bench = shelved(bench, entry_of(change.seq), change)
    return bench


def shelved(bench: Bench, entry: ev.Entry, change: ev.Change) -> Bench:
    """Return the bench after one change of a shelf entry.

    A later entry about the same thing stands as it is.
    """
    old = with_field(entry.event, change.field, change.old)
    new = with_field(entry.event, change.field, change.new)
    match new:
        case ev.LampReadingTaken(lamp=lamp):
            found = bench.readings.get(lamp)
            if found is not None and found.at == entry.at:
                reading = replace(found, value=new.reading)
                bench = bench.put("readings", lamp, reading)
        case ev.LotReceived(lot=lot):
            if isinstance(old, ev.LotReceived) and bench.lots.get(lot.code) == old.lot:
                bench = bench.put("lots", lot.code, lot)
        case ev.GlycerineFilled(vessel=vessel):
            fill = bench.fills.get(vessel)
            if fill is not None and fill.at == entry.at:
                more = new.immersions - getattr(old, "immersions", 0)
                count = max(0, fill.immersions + more)
                fill = replace(fill, lot=new.lot, immersions=count)
                bench = bench.put("fills", vessel, fill)
        case ev.LampSessionOpened():
            session = bench.lamp_session
            if session is not None and session.at == entry.at:
                # Eyewear was confirmed for another lamp: it is asked again.
                bench = replace(bench, lamp_session=None)
        case _:
            raise AssertionError(new)  # no other kind is of the shelf
    return bench
