"""Who needs hands next: parts ranked by the time left before harm.

The ranking is by slack before harm, never by the time left on a countdown.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.clock import MS, Instant
from benchassist.domain.coat import coat_state
from benchassist.domain.limits import limit
from benchassist.domain.runs import left_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.state import WET, Bench, InRun, OnHold, Part, Soaking
from benchassist.domain.wet import wet_limit_ms
from benchassist.value import value

NEVER_MS = 10**12
SAME_TIME_MS = 1000


@value
class Need:
    """When a part needs hands (``due_ms``) and when being late harms it.

    Both in milliseconds from now; negative once past.
    """

    part: str
    due_ms: int
    harm_ms: int


def need(bench: Bench, part: Part, now: Instant) -> Need:
    """Return when a part needs hands and when harm begins."""
    phase = part.phase
    if isinstance(phase, Soaking):
        due = part.stage.min_s * MS - stay_ms(part, phase, now)
        most = part.stage.max_s * MS
        harm = most - now.most_since(phase.since) if most else NEVER_MS
        return Need(part.code, due, harm)
    if isinstance(phase, InRun):
        run = bench.runs[phase.run]
        due = left_ms(run, bench.boxes[run.box], now)
        return Need(part.code, due, due + int(limit(bench, "late_box_s") * MS))
    if isinstance(phase, WET):
        spent = now.most_since(phase.wet_since)
        return Need(part.code, 0, wet_limit_ms(bench, part) - spent)
    if isinstance(phase, OnHold):
        spent = now.most_since(phase.since)
        left = int(limit(bench, "hold_limit_s") * MS) - spent
        return Need(part.code, left, left)
    return Need(part.code, 0, _lying_ms(bench, part, now))


def stay_ms(part: Part, phase: Soaking, now: Instant) -> int:
    """Return how long a part counts as having been in a timed stage.

    The shortest stay in a bath that harms who stays calls for hands, so the most it
    can be; drying, a rinse, a purge and bubbles wait for what is sure.
    """
    harms = STAGES[part.stage.kind].solvent or part.stage.max_s > 0
    return now.most_since(phase.since) if harms else now.since(phase.since)


def _lying_ms(bench: Bench, part: Part, now: Instant) -> int:
    """Return how long a part may lie where it is: a tacked coat gathers dust."""
    since = getattr(part.phase, "since", now)
    if STAGES[part.stage.kind].mode == "flip":
        code = STAGES["flip"].harm  # it lies in the box, and the box stands idle
    elif coat_state(part) == "tacked" and not part.immersed_in:
        code = "late_tacked_s"
    else:
        return NEVER_MS
    return int(limit(bench, code) * MS) - now.most_since(since)


def ranked(bench: Bench, now: Instant) -> tuple[Need, ...]:
    """Return every part's need, the one nearest to harm first."""
    return by_harm(need(bench, part, now) for part in bench.in_flight)


def by_harm(needs: Iterable[Need]) -> tuple[Need, ...]:
    """Return needs, the one nearest to harm first."""
    return tuple(sorted(needs, key=lambda each: (each.harm_ms, each.due_ms)))


def two_at_once(bench: Bench, now: Instant) -> bool:
    """Return whether two baskets or runs fell due within the last second."""
    due = set()
    for part in bench.in_flight:
        if isinstance(part.phase, Soaking | InRun):
            left = need(bench, part, now).due_ms
            if -SAME_TIME_MS < left <= 0:
                due.add(
                    part.phase.run
                    if isinstance(part.phase, InRun)
                    else part.basket or part.code
                )
    return len(due) > 1
