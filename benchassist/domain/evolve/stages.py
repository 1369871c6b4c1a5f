"""State from events about timed stages and hand work."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.common import advice_taken, with_phase
from benchassist.domain.evolve.people import freed
from benchassist.domain.evolve.table import on
from benchassist.domain.evolve.times import measured
from benchassist.domain.quiet import waiting_since
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, InRun, Part, Quiet, Ready, Soaking, Start
from benchassist.value import replace


@on(ev.StageStarted)
def _stage_started(bench: Bench, entry: ev.Entry, event: ev.StageStarted) -> Bench:
    after = with_phase(bench, event.parts, Soaking(entry.at))
    if event.by_itself:
        return after
    return replace(after, last_start=Start(event.stage, event.parts, entry.at))


@on(ev.StageEnded)
def _stage_ended(bench: Bench, entry: ev.Entry, event: ev.StageEnded) -> Bench:
    part = bench.parts[event.part]
    kind = STAGES[part.stage.kind]
    bench = measured(bench, part, entry.at)
    if kind.solvent:
        part = replace(part, solvent_ms=part.solvent_ms + event.elapsed_ms)
        bench = _washed(bench, part)
    if kind.wets:
        part = replace(part, dry_since=entry.at, immersed_in="")
    part = replace(
        part,
        at=_behind(part, event.stage),
        phase=Ready(entry.at),
        entered=entry.at,
        hands_ms=0,
    )
    return advice_taken(freed(bench.with_part(part), part.code), part.code)


def _washed(bench: Bench, part: Part) -> Bench:
    """Return the bench whose bath has had this part, where the bath is counted."""
    bath = bench.baths.get(part.stage.title)
    if bath is None:
        return bench
    kind = bench.recipe_of(part).item_class
    washed = {**bath.washed, kind: bath.washed.get(kind, 0) + 1}
    areas = bath.areas
    if part.shape is not None:
        areas = {**areas, kind: (*areas.get(kind, ()), part.shape.area_cm2)}
    counted = replace(bath, washed=washed, areas=areas)
    return bench.put("baths", part.stage.title, counted)


def _behind(part: Part, stage: str) -> int:
    """Return the place behind a stage: what was left by hand lies behind the part.

    The stage is the part's own, unless what was told of it before was put right.
    """
    keys = [each.key for each in part.route]
    return (keys.index(stage) if stage in keys else part.at) + 1


@on(ev.DueQuieted)
def _quieted(bench: Bench, entry: ev.Entry, event: ev.DueQuieted) -> Bench:
    until = entry.at.plus(event.for_ms)
    rest = {
        code: Quiet(since, until)
        for code in event.parts
        if (since := waiting_since(bench, bench.parts[code])) is not None
    }
    return replace(bench, quiet={**bench.quiet, **rest})


@on(ev.StartVoided)
def _voided(bench: Bench, entry: ev.Entry, event: ev.StartVoided) -> Bench:
    after = replace(bench, last_start=None)
    for code in event.parts:
        part = after.parts[code]
        if isinstance(part.phase, InRun):
            run = after.runs.get(part.phase.run)
            if run is None or event.really_ran != "no":
                continue
        if STAGES[part.stage.kind].solvent and event.really_ran != "no":
            # The part may really have been wet: solvent time is kept.
            part = replace(part, solvent_ms=part.solvent_ms + event.elapsed_ms)
        after = after.with_part(replace(part, phase=Ready(entry.at)))
    if event.really_ran == "no":
        runs = {
            name: run
            for name, run in after.runs.items()
            if not set(run.parts) & set(event.parts)
        }
        after = replace(after, runs=runs)
    return after
