"""State from events about runs of the curing box."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.common import with_phase
from benchassist.domain.evolve.table import on
from benchassist.domain.kept import BoxKept
from benchassist.domain.state import (
    Bench,
    Exposure,
    InRun,
    Load,
    Ready,
    Run,
    Start,
)
from benchassist.value import replace, shared


@on(ev.LoadConfirmed)
def _loaded(bench: Bench, entry: ev.Entry, event: ev.LoadConfirmed) -> Bench:
    load = Load(event.box, event.vessel, event.parts, event.count, entry.at)
    return bench.put("loads", event.box, load)


@on(ev.SubmergeConfirmed)
def _submerged(bench: Bench, entry: ev.Entry, event: ev.SubmergeConfirmed) -> Bench:
    load = Load(event.box, event.vessel, event.parts, event.count, entry.at)
    fill = replace(bench.fills[event.vessel], immersions=event.immersions)
    wet = {
        code: replace(bench.parts[code], immersed_in=event.vessel, vessel=event.vessel)
        for code in event.parts
    }
    bench = replace(bench, parts={**bench.parts, **wet})
    return bench.put("loads", event.box, load).put("fills", event.vessel, fill)


@on(ev.RunStarted)
def _run_started(bench: Bench, entry: ev.Entry, event: ev.RunStarted) -> Bench:
    sides = dict.fromkeys(event.parts, event.side)
    run = Run(**shared(event, Run), sides=sides, started=entry.at)
    stage = bench.parts[event.parts[0]].stage.key
    after = replace(
        bench.put("runs", event.run, run).without("loads", event.box),
        runs_begun=bench.runs_begun + 1,
        last_start=Start(stage, event.parts, entry.at),
    )
    side = {code: replace(after.parts[code], facing=event.side) for code in event.parts}
    after = replace(after, parts={**after.parts, **side})
    return with_phase(after, event.parts, InRun(event.run))


@on(ev.RunInterrupted)
def _run_interrupted(bench: Bench, entry: ev.Entry, event: ev.RunInterrupted) -> Bench:
    if event.run not in bench.runs:
        return bench  # whose part was not in it after all
    run = replace(bench.runs[event.run], interrupted=(event.low, event.high))
    return bench.put("runs", event.run, run)


@on(ev.RunEndObserved)
def _run_ended(bench: Bench, entry: ev.Entry, event: ev.RunEndObserved) -> Bench:
    run = bench.runs.get(event.run)
    if run is None:
        return bench  # whose part was not in it after all
    kept = bench.boxes_kept.get(run.box, BoxKept())
    kept = replace(kept, given=kept.given + event.high)
    after = bench.put("boxes_kept", run.box, kept).without("runs", event.run)
    for code in run.parts:
        part = replace(after.parts[code], phase=Ready(entry.at), hot_since=entry.at)
        after = after.with_part(part)
    return after


@on(ev.DoseCredited)
def _credited(bench: Bench, entry: ev.Entry, event: ev.DoseCredited) -> Bench:
    part = bench.parts[event.part]
    exposure = Exposure(**shared(event, Exposure))
    return bench.with_part(replace(part, exposures=(*part.exposures, exposure)))


@on(ev.FlipConfirmed)
def _flipped(bench: Bench, entry: ev.Entry, event: ev.FlipConfirmed) -> Bench:
    part = bench.parts[event.part]
    return bench.with_part(replace(part, facing=event.side))
