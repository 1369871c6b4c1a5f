"""State from events about stain and coats."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.claims import Claim
from benchassist.domain.evolve.people import claimed, lamp_in_hand
from benchassist.domain.evolve.table import on
from benchassist.domain.kept import Bottle
from benchassist.domain.state import (
    WET,
    Bench,
    Brushing,
    LampSession,
    LayerWork,
    Patch,
    Paused,
    Phase,
    Ready,
    Triple,
    Walking,
    lamp_day_key,
)
from benchassist.value import replace, shared


@on(ev.LampSessionOpened)
def _session(bench: Bench, entry: ev.Entry, event: ev.LampSessionOpened) -> Bench:
    session = LampSession(event.lamp, bench.operator, entry.at)
    return lamp_in_hand(replace(bench, lamp_session=session), entry, event.lamp)


@on(ev.BrushWetted)
def _wetted(bench: Bench, entry: ev.Entry, event: ev.BrushWetted) -> Bench:
    part = bench.parts[event.part]
    fresh = LayerWork(event.layer, event.lot, ("open",) * bench.spots_of(part))
    work = part.work.get(event.layer, fresh)
    work = replace(work.brushed(event.lot), segments=work.segments + 1)
    phase = Brushing(event.segment, event.first, event.last, entry.at)
    # It was dry, or the brush had not been wetted: no alcohol is left to wait for.
    part = replace(
        part, work={**part.work, event.layer: work}, phase=phase, dry_since=None
    )
    claim = Claim("part", part.code, bench.operator, entry.at, lasting=False)
    bottle = bench.bottles.get(event.lot, Bottle())
    if bottle.opened is None:
        # Nobody brushes from a closed bottle: its open life runs from here at least.
        opened = replace(bottle, opened=entry.at)
        bench = bench.put("bottles", event.lot, opened)
    return claimed(bench.with_part(part), claim)


@on(ev.WalkStarted)
def _walk(bench: Bench, entry: ev.Entry, event: ev.WalkStarted) -> Bench:
    part = bench.parts[event.part]
    was = part.phase
    if not isinstance(was, Brushing | Paused):
        return bench
    phase = Walking(
        **shared(was, Patch),
        spot=event.spot,
        lit=entry.at,
        lamp=event.lamp,
        light_ms=event.light_ms,
        move_ms=event.move_ms,
        looked=isinstance(was, Paused) and was.why == "looked",
    )
    return bench.with_part(replace(part, phase=phase))


@on(ev.SpotTacked)
def _tacked(bench: Bench, entry: ev.Entry, event: ev.SpotTacked) -> Bench:
    part = bench.parts[event.part]
    work = _mark(part.work[event.layer], event.spot, "done", event.lamp)
    light_ms = work.light_ms + event.light_ms
    work = replace(work, light_ms=light_ms, evidence=event.evidence)
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
    return lamp_on(bench.with_part(part), entry, event.lamp, event.light_ms)


@on(ev.SpotBroken)
def _broken(bench: Bench, entry: ev.Entry, event: ev.SpotBroken) -> Bench:
    part = bench.parts[event.part]
    work = _mark(part.work[event.layer], event.spot, "broken", event.lamp)
    work = replace(work, extra_ms=work.extra_ms + event.light_ms)
    part = replace(part, work={**part.work, event.layer: work})
    return lamp_on(bench.with_part(part), entry, event.lamp, event.light_ms)


@on(ev.WalkPaused)
def _paused(bench: Bench, entry: ev.Entry, event: ev.WalkPaused) -> Bench:
    part = bench.parts[event.part]
    was = part.phase
    if not isinstance(was, WET):
        return bench
    phase = Paused(
        **shared(was, Patch),
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


def lamp_on(bench: Bench, entry: ev.Entry, lamp: str, light_ms: int) -> Bench:
    """Return the bench with ``light_ms`` more of a lamp before today's eyes."""
    today = entry.at.day()
    key = lamp_day_key(bench.operator, today)
    one = lamp_day_key(bench.operator, today, lamp)
    return replace(
        bench,
        lamp_on_ms=_more(bench.lamp_on_ms, key, light_ms, today),
        lamp_on_by_lamp_ms=_more(bench.lamp_on_by_lamp_ms, one, light_ms, today),
    )


def _more(
    sums: dict[Triple, int], key: Triple, ms: int, today: str
) -> dict[Triple, int]:
    """Return today's sums with ``ms`` more under ``key``."""
    kept = {old: sum_ms for old, sum_ms in sums.items() if old[0] == today}
    return kept | {key: kept.get(key, 0) + ms}
