"""Small changes of the state that several events make."""

from __future__ import annotations

from collections.abc import Collection

from benchassist.clock import Instant
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Closed, Phase, Ready, Soaking
from benchassist.value import replace


def before(stage: Stage, at: Instant) -> Phase:
    """Return the phase of a part that comes to a stage: drying begins by itself."""
    return Soaking(at) if STAGES[stage.kind].mode == "dry" else Ready(at)


def with_phase(bench: Bench, codes: tuple[str, ...], phase: Phase) -> Bench:
    """Return the bench with parts in another phase."""
    moved = {code: replace(bench.parts[code], phase=phase) for code in codes}
    return replace(bench, parts={**bench.parts, **moved})


def unbasketed(bench: Bench, codes: Collection[str]) -> Bench:
    """Return the bench with parts out of their baskets; one part alone is no basket."""
    left = {
        name: tuple(code for code in found if code not in codes)
        for name, found in bench.baskets.items()
    }
    kept = {name: found for name, found in left.items() if len(found) > 1}
    return replace(bench, baskets=kept)


def unloaded(bench: Bench, code: str) -> Bench:
    """Return the bench without the load a part was in: its card is held again."""
    loads = {box: load for box, load in bench.loads.items() if code not in load.parts}
    return replace(bench, loads=loads)


def advice_taken(bench: Bench, code: str) -> Bench:
    """Return the bench on which a part's advice is no longer shown."""
    return bench.without("advised", code)


def without_days_gone(bench: Bench, today: str) -> Bench:
    """Return the bench without parts closed on earlier days: they are in the records.

    Days are labels: a clock that stands at a day before them takes nothing away.
    A closed part with an open deviation is under review, and stays.
    """
    kept = {
        code: part
        for code, part in bench.parts.items()
        if not isinstance(part.phase, Closed)
        or part.phase.at.day() >= today
        or bench.reviewed(part)
    }
    gone = bench.parts.keys() - kept.keys()
    if not gone:
        return bench
    deviations = {
        key: found
        for key, found in bench.deviations.items()
        if not found.decision or not gone.issuperset(found.parts)
    }
    quiet = {code: each for code, each in bench.quiet.items() if code in kept}
    return replace(bench, parts=kept, deviations=deviations, quiet=quiet)
