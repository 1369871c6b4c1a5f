"""What over a boot is not sure, whether it matters, and how it is said.

A wait against harm goes on by what is sure and a maximum by the most it can be. Only
where a limit lies between the two does it matter how long the machine was off, and
only then is it asked.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.clock import DAY_MS, Instant
from benchassist.domain.coat import coat_state
from benchassist.domain.dark import Dark
from benchassist.domain.limits import limit
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, OnHold, Part, Ready, Soaking
from benchassist.domain.words import clock

MS = 1000


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
            if now.since(since) < most_ms <= now.most_since(since):
                return dark
    return None


def _limits(bench: Bench, part: Part) -> Iterator[tuple[Instant, float]]:
    """Yield every limit of a part with the moment that it counts from."""
    phase = part.phase
    recipe = bench.recipe_of(part)
    if isinstance(phase, Soaking):
        yield phase.since, part.stage.min_s * MS
        if part.stage.max_s:
            yield phase.since, part.stage.max_s * MS
        if STAGES[part.stage.kind].solvent:
            yield phase.since, recipe.solvent_max_s * MS - part.solvent_ms
    if isinstance(phase, OnHold):
        yield phase.since, limit(bench, "hold_limit_s") * MS
    tacked = coat_state(part) == "tacked" and not part.immersed_in
    if isinstance(phase, Ready) and tacked:
        yield phase.since, limit(bench, "late_tacked_s") * MS
    if part.dry_since is not None:
        yield part.dry_since, recipe.dry_before_box_s * MS
        yield part.dry_since, recipe.dry_before_coat_s * MS
    box = bench.boxes.get(part.box)
    if part.hot_since is not None and box is not None:
        yield part.hot_since, box.warm_s * MS


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
