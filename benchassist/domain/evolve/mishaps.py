"""State from events about mishaps: layers off, routes changed, glycerine spoilt."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.common import before, unbasketed, unloaded
from benchassist.domain.evolve.people import freed
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Ready
from benchassist.value import replace


@on(ev.MishapReported)
def _reported(bench: Bench, entry: ev.Entry, event: ev.MishapReported) -> Bench:
    return bench.put("advised", event.part, event)


@on(ev.ScrapAsked)
def _scrap_asked(bench: Bench, entry: ev.Entry, event: ev.ScrapAsked) -> Bench:
    part = replace(bench.parts[event.part], scrap_asked=event.deviation)
    return unloaded(bench.with_part(part), part.code)


@on(ev.ScrapAnswered)
def _scrap_answered(bench: Bench, entry: ev.Entry, event: ev.ScrapAnswered) -> Bench:
    return bench.with_part(replace(bench.parts[event.part], scrap_asked=""))


@on(ev.RouteChanged)
def _route(bench: Bench, entry: ev.Entry, event: ev.RouteChanged) -> Bench:
    part = replace(
        bench.parts[event.part],
        route=event.route,
        at=event.at,
        phase=before(event.route[event.at], entry.at),
        entered=entry.at,
        basket="",
        hands_ms=0,
    )
    if event.rework:
        part = replace(part, reworks=part.reworks + 1, checks={})
    after = freed(unloaded(bench.with_part(part), part.code), part.code)
    return unbasketed(after, (part.code,))


@on(ev.LayerStripped)
def _stripped(bench: Bench, entry: ev.Entry, event: ev.LayerStripped) -> Bench:
    part = bench.parts[event.part]
    work = part.work.get(event.layer)
    if work is None:
        return bench
    left = {name: each for name, each in part.work.items() if name != event.layer}
    part = replace(
        part,
        work=left,
        stripped=(*part.stripped, work),
        phase=Ready(entry.at),
        dry_since=entry.at,
    )
    return bench.with_part(part)


@on(ev.ImmersionCounted)
def _immersed(bench: Bench, entry: ev.Entry, event: ev.ImmersionCounted) -> Bench:
    fill = replace(bench.fills[event.vessel], immersions=event.immersions)
    part = replace(bench.parts[event.part], immersed_in=event.vessel)
    after = bench.put("fills", event.vessel, fill)
    return after.with_part(part)


@on(ev.GlycerineSpoilt)
def _spoilt(bench: Bench, entry: ev.Entry, event: ev.GlycerineSpoilt) -> Bench:
    fill = bench.fills.get(event.vessel)
    if fill is None:
        return bench
    return bench.put("fills", event.vessel, replace(fill, spoilt=event.why))


@on(ev.PartFoundWet)
def _found_wet(bench: Bench, entry: ev.Entry, event: ev.PartFoundWet) -> Bench:
    return bench.with_part(replace(bench.parts[event.part], dry_since=entry.at))


@on(ev.CheckAdded)
def _check_added(bench: Bench, entry: ev.Entry, event: ev.CheckAdded) -> Bench:
    part = bench.parts[event.part]
    added = dict.fromkeys((*part.added_checks, event.check))
    return bench.with_part(replace(part, added_checks=tuple(added)))
