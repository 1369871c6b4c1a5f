"""Unattended ends kept apart: two at once need four hands.

A collision is foreseen before the second of two things is started, and a later start
is offered. Ends within a minute of each other collide: common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left
from itertools import count

from benchassist.clock import MS, Instant
from benchassist.domain.ledger import next_runs
from benchassist.domain.limits import limit
from benchassist.domain.queue import need
from benchassist.domain.runs import box_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, InRun, Part, Soaking
from benchassist.value import value

Ends = tuple[tuple[int, str], ...]  # ms from now, and the part, in that order
OFFER_S = 30  # [s] a later start is offered in steps of this


@value
class Collision:
    """Two unattended ends too close together; ``wait_s`` keeps them apart."""

    part: str
    other: str
    at: Instant
    wait_s: int


def collision(
    bench: Bench, part: Part, now: Instant, ends: Ends | None = None
) -> Collision | None:
    """Return with whose end this part's would collide if it were started now.

    ``ends`` are all that are ahead, where somebody has them already: with many parts
    in flight looking for them anew for each would grow with their square.
    """
    ends = ends_of(bench, now) if ends is None else ends
    length = _alone_ms(bench, part) if ends else None
    if length is None:
        return None
    close_ms = int(limit(bench, "stagger_s") * MS)
    mine = frozenset(bench.basket_of(part))
    nearest = _nearest(ends, length, mine)
    if nearest is None or abs(nearest[0] - length) > close_ms:
        return None
    wait_s = next(
        offered
        for offered in count(OFFER_S, OFFER_S)
        if _clear(ends, length + offered * MS, close_ms, mine)
    )
    due_ms, other = nearest
    return Collision(part.code, other, now.plus(due_ms), wait_s)


def ends_of(bench: Bench, now: Instant) -> Ends:
    """Return the ends still ahead of whatever runs alone, the next one first."""
    found = []
    for part in bench.in_flight:
        runs = isinstance(part.phase, Soaking | InRun)
        if runs and STAGES[part.stage.kind].mode != "dry":  # and may go on drying
            due_ms = need(bench, part, now).due_ms
            if due_ms > 0:
                found.append((due_ms, part.code))
    return tuple(sorted(found))


def _nearest(ends: Ends, at_ms: int, mine: frozenset[str]) -> tuple[int, str] | None:
    """Return the end of another that lies nearest to a moment."""
    middle = bisect_left(ends, (at_ms, ""))
    nearest = (
        next((ends[n] for n in side if ends[n][1] not in mine), None)
        for side in (range(middle, len(ends)), range(middle - 1, -1, -1))
    )
    found = [end for end in nearest if end is not None]
    return min(found, key=lambda end: abs(end[0] - at_ms), default=None)


def _clear(ends: Ends, at_ms: int, close_ms: int, mine: frozenset[str]) -> bool:
    nearest = _nearest(ends, at_ms, mine)
    return nearest is None or abs(nearest[0] - at_ms) > close_ms


def _alone_ms(bench: Bench, part: Part) -> int | None:
    """Return how long a part would run alone from now; None where it would not."""
    mode = STAGES[part.stage.kind].mode
    if mode == "soak":
        return part.stage.min_s * MS or None
    box = bench.boxes.get(part.box)
    if mode != "box" or box is None:
        return None
    load = bench.loads.get(part.box)
    owed = next_runs(bench, part, part.stage)
    counts = load.count if load else owed[0] if owed else 0
    return box_ms(box, counts)
