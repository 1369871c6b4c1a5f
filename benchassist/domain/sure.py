"""What over a boot is not sure, whether it matters, and how it is said.

A wait against harm goes on by what is sure and a maximum by the most it can be. Only
where a limit lies between the two does it matter how long the machine was off, and
only then is it asked.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.clock import DAY_MS, HOUR_MS, MINUTE_MS, MS, Instant
from benchassist.domain.coat import coat_state
from benchassist.domain.dark import Dark
from benchassist.domain.layer import lot_for
from benchassist.domain.limits import limit
from benchassist.domain.runs import length_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    Bench,
    InRun,
    OnHold,
    Part,
    Patch,
    Ready,
    Soaking,
)
from benchassist.domain.wet import wet_limit_ms
from benchassist.domain.words import clock
from benchassist.domain.working_time import stood_ms


def asked(bench: Bench, now: Instant) -> Dark | None:
    """Return the dark before this boot if a hand should say how long it was.

    None where a hand said so already, and where every limit of a part in flight lies
    on the same side of the least and the most.
    """
    dark = bench.dark
    if dark is None or dark.boot != now.boot or dark.told is not None:
        return None
    for part in bench.in_flight:
        for since, most_ms in _limits(bench, part):
            before = since.boot != now.boot  # else there is no doubt
            if before and now.since(since) < most_ms <= now.most_since(since):
                return dark
    return None


def _limits(bench: Bench, part: Part) -> Iterator[tuple[Instant, float]]:
    """Yield every limit of a part with the moment that it counts from."""
    recipe = bench.recipe_of(part)
    if part.due is not None:
        yield part.due, 0
    if part.dry_since is not None:
        yield part.dry_since, recipe.dry_before_box_s * MS
        yield part.dry_since, recipe.dry_before_coat_s * MS
    box = bench.boxes.get(part.box)
    if part.hot_since is not None and box is not None:
        yield part.hot_since, box.warm_s * MS
    yield from _where_it_stands(bench, part)
    ahead = part.route[part.at :]
    layer = next((stage.layer for stage in ahead if stage.layer), "")
    if layer:
        yield from _of_the_layer(bench, part, layer)


def _where_it_stands(bench: Bench, part: Part) -> Iterator[tuple[Instant, float]]:
    stage, phase = part.stage, part.phase
    kind = STAGES[stage.kind]
    match phase:
        case Soaking(since=since):
            yield since, stage.min_s * MS
            if stage.max_s:
                yield since, stage.max_s * MS
            if kind.solvent:
                most_ms = bench.recipe_of(part).solvent_max_s * MS
                yield since, most_ms - part.solvent_ms
        case InRun(run=run):
            whole = length_ms(bench.runs[run], bench.boxes[bench.runs[run].box])
            yield bench.runs[run].started, whole
            yield bench.runs[run].started, whole + limit(bench, "late_box_s") * MS
        case Patch():
            yield phase.wet_since, wet_limit_ms(bench, part)
        case OnHold(since=since):
            yield since, limit(bench, "hold_limit_s") * MS
        case Ready(since=since) if kind.mode == "flip":
            yield since, limit(bench, kind.harm) * MS
        case Ready(since=since) if coat_state(part) == "tacked":
            if not part.immersed_in:
                yield since, limit(bench, "late_tacked_s") * MS
        case _:
            pass


def _of_the_layer(
    bench: Bench, part: Part, layer: str
) -> Iterator[tuple[Instant, float]]:
    """Yield how old the lamp's reading and the stirring may be, and the open dish."""
    reading = bench.readings.get(part.lamp)
    if reading is not None:
        yield reading.at, limit(bench, "lamp_reading_age_h") * HOUR_MS
    lot = lot_for(part, layer)
    filed, bottle = bench.lots.get(lot), bench.bottles.get(lot)
    keeping = bench.keeping.get(filed.material) if filed else None
    if keeping is not None and bottle is not None and bottle.stirred is not None:
        yield bottle.stirred, keeping.stir_min * MINUTE_MS
    dish = bench.dishes.get(lot)
    stands_ms = stood_ms(bench, dish) if dish else None
    if dish is not None and dish.since is not None and stands_ms is not None:
        yield dish.since, stands_ms


def sure(now: Instant, since: Instant) -> str:
    """Return how much of a wait against harm is sure, where not all of it is."""
    least, most = now.since(since), now.most_since(since)
    if least == most:
        return ""
    if most - least >= DAY_MS:
        return f"{clock(least)} sure, the rest is not known"
    return f"{clock(least)} sure, {clock(most)} by the clock"


def at_most(now: Instant, since: Instant) -> str:
    """Return the words before a maximum, where it may be less."""
    return "at most " if now.since(since) != now.most_since(since) else ""
