"""State from events about the shelf by hand: who entered, who checked, what ended."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.table import on
from benchassist.domain.kept import Filed
from benchassist.domain.state import Bench
from benchassist.value import replace


def filed(bench: Bench, entry: ev.Entry, kind: ev.ShelfKind, code: str) -> Bench:
    """Return the bench on which a thing was just entered; nobody checked it yet."""
    found = Filed(entry.operator, entry.at.day())
    return bench.without("retired", (kind, code)).put("filed", (kind, code), found)


@on(ev.MeterDefined)
def _meter(bench: Bench, entry: ev.Entry, event: ev.MeterDefined) -> Bench:
    bench = bench.put("meters", event.meter.code, event.meter)
    return filed(bench, entry, "meter", event.meter.code)


@on(ev.ThingChecked)
def _checked(bench: Bench, entry: ev.Entry, event: ev.ThingChecked) -> Bench:
    key = event.kind, event.code
    found = replace(
        bench.filed.get(key, Filed("", "")),
        checked_by=entry.operator,
        checked_day=entry.at.day(),
    )
    return bench.put("filed", key, found)


@on(ev.ThingRetired)
def _retired(bench: Bench, entry: ev.Entry, event: ev.ThingRetired) -> Bench:
    bench = bench.put("retired", (event.kind, event.code), entry.at.day())
    return bench.without("baths", event.code) if event.kind == "bath" else bench
