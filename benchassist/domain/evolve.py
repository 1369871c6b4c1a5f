"""State from events: pure, total, without opinions.

One small function per kind of event, found by its type. Nothing is judged or
recomputed here; an event already stores what was judged.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.domain import events as ev
from benchassist.domain.claims import Claim
from benchassist.domain.evolvers import (  # noqa: F401 - each fills the table
    light,
    mishaps,
)
from benchassist.domain.evolvers.people import claimed, freed, lamp_in_hand
from benchassist.domain.evolvers.table import HANDLERS, on
from benchassist.domain.library import Recipe
from benchassist.domain.state import (
    BODY,
    Bench,
    Brushing,
    Closed,
    Deviation,
    Exposure,
    Fill,
    InRun,
    LampSession,
    LastEnd,
    LayerWork,
    Load,
    OnHold,
    Part,
    Paused,
    Phase,
    Reading,
    Ready,
    Run,
    Soaking,
    Start,
    Store,
    Walking,
    acceptance_key,
    lamp_day_key,
)
from benchassist.value import replace

WETTING_KINDS = frozenset({"wash", "rinse", "clean", "abrade", "disinfect"})
BY_HAND = frozenset({"pedal", "hand", "script"})


def evolve(bench: Bench, entry: ev.Entry) -> Bench:
    """Return the bench after ``entry``."""
    after = HANDLERS[type(entry.event)](bench, entry, entry.event)
    acted = entry.at if entry.channel in BY_HAND else after.acted
    return replace(after, seq=entry.seq, acted=acted)


def _phase(bench: Bench, codes: tuple[str, ...], phase: Phase) -> Bench:
    moved = {code: replace(bench.parts[code], phase=phase) for code in codes}
    return replace(bench, parts={**bench.parts, **moved})


# --- the store and the program -------------------------------------------------


@on(ev.StoreCreated)
def _store_created(bench: Bench, entry: ev.Entry, event: ev.StoreCreated) -> Bench:
    del entry
    store = Store(event.kind, event.store_id, event.station, event.zone)
    return replace(bench, store=store)


@on(ev.ProgramOpened)
def _program_opened(bench: Bench, entry: ev.Entry, event: ev.ProgramOpened) -> Bench:
    del event
    # What was in a hand is not any more; what was claimed by hand still is.
    claims = {key: claim for key, claim in bench.claims.items() if claim.lasting}
    after = _without_days_gone(bench, entry.at.day())
    return replace(after, lamp_session=None, claims=claims)


def _without_days_gone(bench: Bench, today: str) -> Bench:
    """Return the bench without parts closed on other days: they are in the records."""
    kept = {
        code: part
        for code, part in bench.parts.items()
        if not isinstance(part.phase, Closed) or part.phase.at.day() == today
    }
    gone = bench.parts.keys() - kept.keys()
    if not gone:
        return bench
    deviations = {
        key: found
        for key, found in bench.deviations.items()
        if not found.decision or not gone.issuperset(found.parts)
    }
    return replace(bench, parts=kept, deviations=deviations)


@on(ev.WallClockStepped)
def _wall_step(bench: Bench, entry: ev.Entry, event: ev.WallClockStepped) -> Bench:
    del entry, event
    return bench


@on(ev.TextBlanked)
def _blanked(bench: Bench, entry: ev.Entry, event: ev.TextBlanked) -> Bench:
    del entry, event
    return bench


@on(ev.ProgramFaulted)
def _faulted(bench: Bench, entry: ev.Entry, event: ev.ProgramFaulted) -> Bench:
    del entry, event
    return bench


@on(ev.OperatorClaimed)
def _operator(bench: Bench, entry: ev.Entry, event: ev.OperatorClaimed) -> Bench:
    del entry
    return replace(bench, operator=event.who, lamp_session=None, unconfirmed=False)


@on(ev.CommandRefused)
def _refused(bench: Bench, entry: ev.Entry, event: ev.CommandRefused) -> Bench:
    del event
    pressed = int(entry.channel == "pedal")
    return replace(bench, refused_presses=bench.refused_presses + pressed)


@on(ev.LimitSet)
def _limit(bench: Bench, entry: ev.Entry, event: ev.LimitSet) -> Bench:
    del entry
    return replace(bench, limits={**bench.limits, event.code: event.value})


# --- library and equipment -----------------------------------------------------


@on(ev.CurveFiled)
def _curve(bench: Bench, entry: ev.Entry, event: ev.CurveFiled) -> Bench:
    del entry
    return replace(bench, curves={**bench.curves, event.curve.digest: event.curve})


@on(ev.MaterialDefined)
def _material(bench: Bench, entry: ev.Entry, event: ev.MaterialDefined) -> Bench:
    del entry
    found = event.material
    return replace(bench, materials={**bench.materials, found.code: found})


@on(ev.LotReceived)
def _lot(bench: Bench, entry: ev.Entry, event: ev.LotReceived) -> Bench:
    del entry
    return replace(bench, lots={**bench.lots, event.lot.code: event.lot})


@on(ev.RecipeDefined)
def _recipe(bench: Bench, entry: ev.Entry, event: ev.RecipeDefined) -> Bench:
    del entry
    found: Recipe = event.recipe
    return replace(bench, recipes={**bench.recipes, found.id: found})


@on(ev.LampReadingTaken)
def _reading(bench: Bench, entry: ev.Entry, event: ev.LampReadingTaken) -> Bench:
    reading = Reading(event.reading, entry.at)
    return replace(bench, readings={**bench.readings, event.lamp: reading})


@on(ev.GlycerineFilled)
def _filled(bench: Bench, entry: ev.Entry, event: ev.GlycerineFilled) -> Bench:
    fill = Fill(event.lot, event.immersions, entry.at)
    return replace(bench, fills={**bench.fills, event.vessel: fill})


# --- intake and choice ---------------------------------------------------------


@on(ev.PartTaken)
def _taken(bench: Bench, entry: ev.Entry, event: ev.PartTaken) -> Bench:
    part = Part(
        code=event.part,
        recipe=event.recipe,
        variant=event.variant,
        route=event.route,
        at=0,
        phase=Ready(entry.at),
        print_lot=event.print_lot,
        coat_lot=event.coat_lot,
        stain_lot=event.stain_lot,
        lamp=event.lamp,
        box=event.box,
        vessel=event.vessel,
        peg=event.peg,
        due=event.due,
        taken=entry.at,
        entered=entry.at,
        facing=bench.recipes[event.recipe].sides[0],
        exposures=tuple(
            Exposure(
                layers=(BODY,),
                side=side,
                half=0,
                low=low,
                high=high,
                unit=bench.recipes[event.recipe].unit,
                evidence="computed",
                run="before",
            )
            for side, low, high in event.before
        ),
    )
    return bench.with_part(part)


@on(ev.PartChosen)
def _chosen(bench: Bench, entry: ev.Entry, event: ev.PartChosen) -> Bench:
    del entry
    return replace(bench, focus=event.part)


@on(ev.FocusMoved)
def _moved(bench: Bench, entry: ev.Entry, event: ev.FocusMoved) -> Bench:
    del entry
    return replace(bench, focus=event.part)


@on(ev.BasketFormed)
def _basket(bench: Bench, entry: ev.Entry, event: ev.BasketFormed) -> Bench:
    del entry
    left = {
        name: tuple(code for code in codes if code not in event.parts)
        for name, codes in bench.baskets.items()
    }
    baskets = {name: codes for name, codes in left.items() if len(codes) > 1}
    baskets[event.basket] = event.parts
    moved = {
        code: replace(bench.parts[code], basket=event.basket) for code in event.parts
    }
    return replace(
        bench,
        baskets=baskets,
        baskets_formed=bench.baskets_formed + 1,
        parts={**bench.parts, **moved},
    )


@on(ev.EquipmentChosen)
def _equipment(bench: Bench, entry: ev.Entry, event: ev.EquipmentChosen) -> Bench:
    del entry
    part = bench.parts[event.part]
    match event.role:
        case "lamp":
            part = replace(part, lamp=event.code)
        case "box":
            part = replace(part, box=event.code)
            bench = _unloaded(bench, event.part)
        case "vessel":
            part = replace(part, vessel=event.code)
    return bench.with_part(part)


@on(ev.LotChosen)
def _lot_chosen(bench: Bench, entry: ev.Entry, event: ev.LotChosen) -> Bench:
    del entry
    part = bench.parts[event.part]
    match event.role:
        case "print":
            part = replace(part, print_lot=event.lot)
        case "coat":
            part = replace(part, coat_lot=event.lot)
        case "stain":
            part = replace(part, stain_lot=event.lot)
    return bench.with_part(part)


@on(ev.GateAccepted)
def _accepted(bench: Bench, entry: ev.Entry, event: ev.GateAccepted) -> Bench:
    del entry
    key = acceptance_key(event.gate, event.scope)
    return replace(bench, accepted={**bench.accepted, key: event.numbers})


# --- stages --------------------------------------------------------------------


@on(ev.StageStarted)
def _stage_started(bench: Bench, entry: ev.Entry, event: ev.StageStarted) -> Bench:
    after = _phase(bench, event.parts, Soaking(entry.at))
    if event.by_itself:
        return after
    return replace(after, last_start=Start(event.stage, event.parts, entry.at))


@on(ev.StageEnded)
def _stage_ended(bench: Bench, entry: ev.Entry, event: ev.StageEnded) -> Bench:
    part = bench.parts[event.part]
    kind = part.stage.kind
    if kind == "wash":
        part = replace(part, solvent_ms=part.solvent_ms + event.elapsed_ms)
    if kind in WETTING_KINDS:
        part = replace(part, dry_since=entry.at, immersed_in="")
    part = replace(part, at=part.at + 1, phase=Ready(entry.at), entered=entry.at)
    return _advice_taken(freed(bench.with_part(part), part.code), part.code)


@on(ev.StartVoided)
def _voided(bench: Bench, entry: ev.Entry, event: ev.StartVoided) -> Bench:
    after = replace(bench, last_start=None)
    for code in event.parts:
        part = after.parts[code]
        if isinstance(part.phase, InRun):
            run = after.runs.get(part.phase.run)
            if run is None or event.really_ran != "no":
                continue
        if part.stage.kind == "wash" and event.really_ran != "no":
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


# --- box runs ------------------------------------------------------------------


@on(ev.LoadConfirmed)
def _loaded(bench: Bench, entry: ev.Entry, event: ev.LoadConfirmed) -> Bench:
    load = Load(event.box, event.vessel, event.parts, event.count, entry.at)
    return replace(bench, loads={**bench.loads, event.box: load})


@on(ev.SubmergeConfirmed)
def _submerged(bench: Bench, entry: ev.Entry, event: ev.SubmergeConfirmed) -> Bench:
    load = Load(event.box, event.vessel, event.parts, event.count, entry.at)
    fill = replace(bench.fills[event.vessel], immersions=event.immersions)
    wet = {
        code: replace(bench.parts[code], immersed_in=event.vessel, vessel=event.vessel)
        for code in event.parts
    }
    return replace(
        bench,
        loads={**bench.loads, event.box: load},
        fills={**bench.fills, event.vessel: fill},
        parts={**bench.parts, **wet},
    )


@on(ev.RunStarted)
def _run_started(bench: Bench, entry: ev.Entry, event: ev.RunStarted) -> Bench:
    run = Run(
        run=event.run,
        box=event.box,
        vessel=event.vessel,
        parts=event.parts,
        side=event.side,
        half=event.half,
        planned=event.planned,
        rate_hz=event.rate_hz,
        unit=event.unit,
        started=entry.at,
    )
    stage = bench.parts[event.parts[0]].stage.key
    loads = {name: load for name, load in bench.loads.items() if name != event.box}
    after = replace(
        bench,
        runs={**bench.runs, event.run: run},
        runs_begun=bench.runs_begun + 1,
        loads=loads,
        last_start=Start(stage, event.parts, entry.at),
    )
    side = {code: replace(after.parts[code], facing=event.side) for code in event.parts}
    after = replace(after, parts={**after.parts, **side})
    return _phase(after, event.parts, InRun(event.run))


@on(ev.RunInterrupted)
def _run_interrupted(bench: Bench, entry: ev.Entry, event: ev.RunInterrupted) -> Bench:
    del entry
    run = replace(bench.runs[event.run], interrupted=(event.low, event.high))
    return replace(bench, runs={**bench.runs, event.run: run})


@on(ev.RunEndObserved)
def _run_ended(bench: Bench, entry: ev.Entry, event: ev.RunEndObserved) -> Bench:
    run = bench.runs[event.run]
    ended = LastEnd(event.run, event.outcome, event.low, event.high)
    after = replace(
        bench,
        runs={name: found for name, found in bench.runs.items() if name != event.run},
        last_end={**bench.last_end, run.box: ended},
    )
    for code in run.parts:
        part = replace(after.parts[code], phase=Ready(entry.at), hot_since=entry.at)
        after = after.with_part(part)
    return after


@on(ev.DoseCredited)
def _credited(bench: Bench, entry: ev.Entry, event: ev.DoseCredited) -> Bench:
    del entry
    part = bench.parts[event.part]
    exposure = Exposure(
        layers=event.layers,
        side=event.side,
        half=event.half,
        low=event.low,
        high=event.high,
        unit=event.unit,
        evidence=event.evidence,
        run=event.run,
    )
    return bench.with_part(replace(part, exposures=(*part.exposures, exposure)))


@on(ev.FlipConfirmed)
def _flipped(bench: Bench, entry: ev.Entry, event: ev.FlipConfirmed) -> Bench:
    del entry
    part = bench.parts[event.part]
    return bench.with_part(replace(part, facing=event.side))


# --- stain and coats -----------------------------------------------------------


@on(ev.LampSessionOpened)
def _session(bench: Bench, entry: ev.Entry, event: ev.LampSessionOpened) -> Bench:
    session = LampSession(event.lamp, bench.operator, entry.at)
    return lamp_in_hand(replace(bench, lamp_session=session), entry, event.lamp)


@on(ev.BrushWetted)
def _wetted(bench: Bench, entry: ev.Entry, event: ev.BrushWetted) -> Bench:
    part = bench.parts[event.part]
    fresh = LayerWork(event.layer, event.lot, ("open",) * bench.spots_of(part))
    work = part.work.get(event.layer, fresh)
    work = replace(work, segments=work.segments + 1, lot=event.lot)
    phase = Brushing(event.segment, event.first, event.last, entry.at)
    part = replace(part, work={**part.work, event.layer: work}, phase=phase)
    claim = Claim("part", part.code, bench.operator, entry.at, lasting=False)
    return claimed(bench.with_part(part), claim)


@on(ev.WalkStarted)
def _walk(bench: Bench, entry: ev.Entry, event: ev.WalkStarted) -> Bench:
    part = bench.parts[event.part]
    was = part.phase
    if not isinstance(was, Brushing | Paused):
        return bench
    phase = Walking(
        segment=was.segment,
        first=was.first,
        last=was.last,
        wet_since=was.wet_since,
        spot=event.spot,
        lit=entry.at,
        lamp=event.lamp,
        light_ms=event.light_ms,
        move_ms=event.move_ms,
    )
    return bench.with_part(replace(part, phase=phase))


@on(ev.SpotTacked)
def _tacked(bench: Bench, entry: ev.Entry, event: ev.SpotTacked) -> Bench:
    part = bench.parts[event.part]
    work = _mark(part.work[event.layer], event.spot, "done", event.lamp)
    work = replace(work, light_ms=work.light_ms + event.light_ms)
    was = part.phase
    phase: Phase = Ready(event.ended)
    if isinstance(was, Walking):
        left = [n for n in range(event.spot + 1, was.last) if work.spots[n] != "done"]
        if left:
            lit = event.ended.plus(was.move_ms)
            phase = replace(was, spot=left[0], lit=lit)
    first = part.work[event.layer].light_ms == 0
    part = replace(
        part,
        work={**part.work, event.layer: work},
        phase=phase,
        coats=part.coats + (first and event.layer.startswith("coat")),
    )
    return _lamp_on(bench.with_part(part), entry, event.lamp, event.light_ms)


@on(ev.SpotBroken)
def _broken(bench: Bench, entry: ev.Entry, event: ev.SpotBroken) -> Bench:
    part = bench.parts[event.part]
    work = _mark(part.work[event.layer], event.spot, "broken", event.lamp)
    work = replace(work, extra_ms=work.extra_ms + event.light_ms)
    part = replace(part, work={**part.work, event.layer: work})
    return _lamp_on(bench.with_part(part), entry, event.lamp, event.light_ms)


@on(ev.WalkPaused)
def _paused(bench: Bench, entry: ev.Entry, event: ev.WalkPaused) -> Bench:
    part = bench.parts[event.part]
    was = part.phase
    if not isinstance(was, Brushing | Walking | Paused):
        return bench
    phase = Paused(
        segment=was.segment,
        first=was.first,
        last=was.last,
        wet_since=was.wet_since,
        spot=event.spot,
        since=entry.at,
        why=event.why,
        looked=event.why in ("not done", "back one"),
    )
    return bench.with_part(replace(part, phase=phase))


@on(ev.CoatStateTold)
def _told(bench: Bench, entry: ev.Entry, event: ev.CoatStateTold) -> Bench:
    part = bench.parts[event.part]
    was = part.phase
    if not isinstance(was, Paused):
        return bench
    if event.told == "wiped off":
        work = part.work[event.layer]
        span = range(was.first, was.last)
        spots = tuple(
            "open" if n in span else state for n, state in enumerate(work.spots)
        )
        part = replace(
            part,
            work={**part.work, event.layer: replace(work, spots=spots)},
            phase=Ready(entry.at),
            dry_since=entry.at,
        )
    else:
        looked = event.told == "wet and clean"
        why = "looked" if looked else was.why
        part = replace(part, phase=replace(was, looked=looked, why=why))
    return bench.with_part(part)


def _mark(work: LayerWork, spot: int, state: str, lamp: str) -> LayerWork:
    spots = (*work.spots[:spot], state, *work.spots[spot + 1 :])
    lamps = work.lamps if lamp in work.lamps else (*work.lamps, lamp)
    return replace(work, spots=spots, lamps=lamps)


def _lamp_on(bench: Bench, entry: ev.Entry, lamp: str, light_ms: int) -> Bench:
    today = entry.at.day()
    key = lamp_day_key(bench.operator, today)
    one = lamp_day_key(bench.operator, today, lamp)
    return replace(
        bench,
        lamp_on_ms=_more(bench.lamp_on_ms, key, light_ms, today),
        lamp_on_by_lamp_ms=_more(bench.lamp_on_by_lamp_ms, one, light_ms, today),
    )


def _more(sums: dict[str, int], key: str, ms: int, today: str) -> dict[str, int]:
    """Return today's sums with ``ms`` more under ``key``."""
    kept = {old: sum_ms for old, sum_ms in sums.items() if old.startswith(today)}
    return kept | {key: kept.get(key, 0) + ms}


# --- deviations, checks, release -----------------------------------------------


@on(ev.DeviationOpened)
def _deviation(bench: Bench, entry: ev.Entry, event: ev.DeviationOpened) -> Bench:
    found = Deviation(event.deviation, event.rule, event.parts, event.text, entry.at)
    return replace(
        bench,
        deviations={**bench.deviations, found.id: found},
        deviations_opened=bench.deviations_opened + 1,
    )


@on(ev.DeviationClosed)
def _deviation_closed(
    bench: Bench, entry: ev.Entry, event: ev.DeviationClosed
) -> Bench:
    del entry
    found = replace(bench.deviations[event.deviation], decision=event.decision)
    return replace(bench, deviations={**bench.deviations, found.id: found})


@on(ev.PartHeld)
def _held(bench: Bench, entry: ev.Entry, event: ev.PartHeld) -> Bench:
    after = _unloaded(bench, event.part)
    return _phase(after, (event.part,), OnHold(entry.at))


@on(ev.HoldEnded)
def _hold_ended(bench: Bench, entry: ev.Entry, event: ev.HoldEnded) -> Bench:
    return _phase(bench, (event.part,), Ready(entry.at))


@on(ev.CheckRecorded)
def _checked(bench: Bench, entry: ev.Entry, event: ev.CheckRecorded) -> Bench:
    del entry
    part = bench.parts[event.part]
    checks = {**part.checks, event.check: event.passed}
    return bench.with_part(replace(part, checks=checks))


@on(ev.PartReleased)
def _released(bench: Bench, entry: ev.Entry, event: ev.PartReleased) -> Bench:
    return _close(bench, event.part, Closed(entry.at, "released"))


@on(ev.PartScrapped)
def _scrapped(bench: Bench, entry: ev.Entry, event: ev.PartScrapped) -> Bench:
    return _close(bench, event.part, Closed(entry.at, "scrapped"))


def _close(bench: Bench, code: str, phase: Closed) -> Bench:
    baskets = {
        name: tuple(found for found in codes if found != code)
        for name, codes in bench.baskets.items()
    }
    after = _phase(_unloaded(bench, code), (code,), phase)
    after = _advice_taken(freed(after, code, closed=True), code)
    after = _without_days_gone(after, phase.at.day())  # the program may run for weeks
    return replace(
        after,
        baskets={name: codes for name, codes in baskets.items() if len(codes) > 1},
    )


def _advice_taken(bench: Bench, code: str) -> Bench:
    advised = {part: each for part, each in bench.advised.items() if part != code}
    return replace(bench, advised=advised)


def _unloaded(bench: Bench, code: str) -> Bench:
    """Return the bench without the load a part was in: its card is held again."""
    loads = {box: load for box, load in bench.loads.items() if code not in load.parts}
    return replace(bench, loads=loads)


def fold(bench: Bench, entries: Iterable[ev.Entry]) -> Bench:
    """Return the bench after every one of ``entries``."""
    for entry in entries:
        bench = evolve(bench, entry)
    return bench
