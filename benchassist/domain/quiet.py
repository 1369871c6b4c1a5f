"""Quiet, not yet: how long the sound of something due rests. Credits nothing."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench, InRun, Part, Soaking


def waiting_since(bench: Bench, part: Part) -> Instant | None:
    """Return since when what a part waits for has been running, if anything does."""
    phase = part.phase
    if isinstance(phase, InRun):
        run = bench.runs.get(phase.run)
        return run.started if run else None
    return phase.since if isinstance(phase, Soaking) else None


def waits_with(bench: Bench, part: Part) -> tuple[str, ...]:
    """Return the parts that what is due concerns: a run's, or a basket's."""
    if isinstance(part.phase, InRun):
        return bench.runs[part.phase.run].parts
    return bench.basket_of(part)


def quiet_until(bench: Bench, part: Part, now: Instant) -> Instant | None:
    """Return until when a part's due sound rests; None where it does not.

    A quiet is of one wait alone: whatever the part waits for next is heard.
    """
    quiet = bench.quiet.get(part.code)
    if quiet is None or quiet.since != waiting_since(bench, part):
        return None
    return quiet.until if now.most_since(quiet.until) < 0 else None
