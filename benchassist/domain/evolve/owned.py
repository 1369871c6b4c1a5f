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
    retired = {key: day for key, day in bench.retired.items() if key != (kind, code)}
    return replace(bench, filed={**bench.filed, (kind, code): found}, retired=retired)


@on(ev.MeterDefined)
def _meter(bench: Bench, entry: ev.Entry, event: ev.MeterDefined) -> Bench:
    meters = {**bench.meters, event.meter.code: event.meter}
    return filed(replace(bench, meters=meters), entry, "meter", event.meter.code)


@on(ev.ThingChecked)
def _checked(bench: Bench, entry: ev.Entry, event: ev.ThingChecked) -> Bench:
    key = event.kind, event.code
    found = replace(
        bench.filed.get(key, Filed("", "")),
        checked_by=entry.operator,
        checked_day=entry.at.day(),
    )
    return replace(bench, filed={**bench.filed, key: found})


@on(ev.ThingRetired)
def _retired(bench: Bench, entry: ev.Entry, event: ev.ThingRetired) -> Bench:
    retired = {**bench.retired, (event.kind, event.code): entry.at.day()}
    bench = replace(bench, retired=retired)
    if event.kind != "bath":
        return bench
    baths = {code: bath for code, bath in bench.baths.items() if code != event.code}
    return replace(bench, baths=baths)
