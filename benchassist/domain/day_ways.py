"""What is left of every part's day, as the play of a day needs it.

Stages become legs: work by hand with the practice's own median and spread (before
there are enough own times a limit of the journal and a guessed spread), baths and runs
with the hands they take at both ends, coats in patches. What a hold takes nobody
knows; it counts as nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.clock import MS, Instant
from benchassist.domain.coat import answer_for, coat_state, fits
from benchassist.domain.day_chance import GUESSED_SIGMA, sigma_of
from benchassist.domain.day_play import Leg, Way
from benchassist.domain.layer import lot_for
from benchassist.domain.limits import limit
from benchassist.domain.own_times import estimated_ms, in_hand_ms, own_spread, work_of
from benchassist.domain.plan import runs_ms
from benchassist.domain.queue import NEVER_MS, need
from benchassist.domain.route import SUBMERGED, Stage
from benchassist.domain.segments import segments
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    WET,
    Bench,
    InRun,
    Part,
    Soaking,
)
from benchassist.value import replace

BOX_HANDS_MS = (
    60 * MS
)  # [ms] to load a box, and to unload it; common practice, no source


def ways_of(bench: Bench, now: Instant) -> tuple[Way, ...]:
    """Return the rest of every part in flight; times from now."""
    return tuple(way_of(bench, part, now) for part in bench.in_flight)


def way_of(bench: Bench, part: Part, now: Instant) -> Way:
    """Return what is left of one part's day."""
    legs = list(_legs(bench, part, now))
    begun = isinstance(part.phase, Soaking | InRun)
    if begun and legs:
        legs[0] = _running(bench, part, legs[0], now)
    tacked = coat_state(part) == "tacked" and not part.immersed_in
    since = getattr(part.phase, "since", now)
    return Way(
        code=part.code,
        legs=tuple(legs),
        due_ms=None if part.due is None else now.until(part.due),
        basket=part.basket,
        begun=begun,
        since_ms=now.most_since(since) if tacked else 0,
    )


def is_estimate(bench: Bench, part: Part) -> bool:
    """Return whether work ahead of a part rests on fewer than five own times."""
    ahead = part.route[part.at :]
    by_hand = [each for each in ahead if STAGES[each.kind].mode in ("hand", "checks")]
    return any(own_spread(bench, part, work_of(each)) is None for each in by_hand)


def _running(bench: Bench, part: Part, leg: Leg, now: Instant) -> Leg:
    """Return the leg at hand as it runs: its times are what is left of them."""
    found = need(bench, part, now)
    left, more = max(0, found.due_ms), 0
    if leg.mode == "place" and part.stage.kind == "submerge":
        more = leg.alone_ms - part.stage.min_s * MS  # the run after the bubbles
    most = max(1, found.harm_ms) if leg.most_ms and found.harm_ms < NEVER_MS else 0
    return replace(leg, hands_ms=0, alone_ms=left + more, most_ms=most)


def _legs(bench: Bench, part: Part, now: Instant) -> Iterator[Leg]:
    ahead = iter(part.route[part.at :])
    laid = coat_state(part) == "tacked" and not part.immersed_in
    for stage in ahead:
        kind = STAGES[stage.kind]
        at_hand = stage == part.stage
        leg = None
        match kind.mode:
            case "soak":
                leg = _bath(bench, stage, place=_bath_of(stage))
            case "dry":
                leg = Leg(stage.key, "alone", alone_ms=stage.min_s * MS)
            case "hand" | "checks":
                leg = _by_hand(bench, part, stage, now if at_hand else None)
            case "coat":
                leg = _coat(bench, part, stage)
            case "flip":
                leg = Leg(stage.key, "hands", hands_ms=_ready_ms(bench))
            case "submerge":
                # Under cover and into the box in one go: bubbles, then the run.
                run = _run(bench, part, next(ahead), vessel=part.vessel)
                alone = run.alone_ms + stage.min_s * MS
                leg = replace(run, key=stage.key, alone_ms=alone)
            case "box":
                loaded = at_hand and part.box in bench.loads
                vessel = part.immersed_in if stage.half == SUBMERGED else ""
                leg = _run(bench, part, stage, vessel=vessel)
                leg = replace(leg, hands_ms=0) if loaded else leg
            case _:
                pass
        if leg is not None:
            yield replace(leg, tacked=True) if laid else leg
        laid = bool(stage.layer) if leg is not None else laid


def _ready_ms(bench: Bench) -> int:
    return int(limit(bench, "hands_ready_s") * MS)


def _bath_of(stage: Stage) -> str:
    return "bath" if STAGES[stage.kind].solvent else ""


def _bath(bench: Bench, stage: Stage, *, place: str) -> Leg:
    return Leg(
        stage.key,
        "place",
        hands_ms=_ready_ms(bench),
        alone_ms=stage.min_s * MS,
        most_ms=stage.max_s * MS,
        ends_ms=_ready_ms(bench),
        place=place,
    )


def _run(bench: Bench, part: Part, stage: Stage, *, vessel: str) -> Leg:
    return Leg(
        stage.key,
        "place",
        hands_ms=BOX_HANDS_MS,
        alone_ms=runs_ms(bench, part, stage),
        ends_ms=BOX_HANDS_MS,
        place=part.box,
        load=f"{part.recipe}, {stage.half}{stage.side}",
        vessel=vessel,
    )


def _by_hand(bench: Bench, part: Part, stage: Stage, now: Instant | None) -> Leg:
    spread = own_spread(bench, part, work_of(stage))
    if spread is None:
        median, sigma = estimated_ms(bench, stage.kind), GUESSED_SIGMA
    else:
        median, sigma = spread[0], sigma_of(*spread) if spread[0] else 0.0
    if now is not None:
        median = max(0, median - in_hand_ms(bench, part, now))
    return Leg(stage.key, "hands", hands_ms=median, sigma=sigma)


def _coat(bench: Bench, part: Part, stage: Stage) -> Leg:
    recipe = bench.recipe_of(part)
    there = replace(part, at=part.route.index(stage))
    spot_s = answer_for(bench, there).seconds if lot_for(part, stage.layer) else 0
    spot_s = spot_s or recipe.planned_tack_s
    work = part.work.get(stage.layer)
    states = work.spots if work else ("open",) * bench.spots_of(part)
    left = sum(state != "done" for state in states)
    beside = own_spread(bench, part, work_of(stage))
    each_ms = (spot_s + recipe.move_s) * MS
    brush_ms = recipe.brush_s * MS
    if beside is not None:
        # What a spot took beside its light has moving and brushing in it.
        each_ms, brush_ms = spot_s * MS + beside[0], 0
    fit = fits(bench, there, spot_s)
    first: tuple[int, ...] = ()
    if isinstance(part.phase, WET) and stage == part.stage:
        span = range(part.phase.first, part.phase.last)
        wet = sum(states[n] != "done" for n in span)
        first, left = (wet * each_ms,), left - wet
    sizes = segments(max(0, left), max(1, fit))
    pieces = (*first, *(brush_ms + size * each_ms for size in sizes))
    return Leg(stage.key, "coat", pieces=tuple(filter(None, pieces)) or (1,))
