"""Unattended ends kept apart: two at once need four hands.

A collision is foreseen before the second of two things is started, and a later start
is offered. Ends within a minute of each other collide: common practice, no source.
"""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

from benchassist.domain.ledger import next_runs
from benchassist.domain.limits import limit
from benchassist.domain.queue import Need, need
from benchassist.domain.stages import STAGES
from benchassist.domain.state import InRun, Soaking
from benchassist.value import value

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchassist.clock import Instant
    from benchassist.domain.state import Bench, Part

MS = 1000
OFFER_S = 30  # [s] a later start is offered in steps of this


@value
class Collision:
    """Two unattended ends too close together; ``wait_s`` keeps them apart."""

    part: str
    other: str
    at: Instant
    wait_s: int


def collision(bench: Bench, part: Part, now: Instant) -> Collision | None:
    """Return with whose end this part's would collide if it were started now."""
    length = _alone_ms(bench, part)
    if length is None:
        return None
    close_ms = int(limit(bench, "stagger_s") * MS)
    ends = tuple(_ends(bench, part, now))
    near = [end for end in ends if abs(end.due_ms - length) <= close_ms]
    if not near:
        return None
    wait_s = next(
        offered
        for offered in count(OFFER_S, OFFER_S)
        if all(abs(end.due_ms - length - offered * MS) > close_ms for end in ends)
    )
    nearest = min(near, key=lambda end: abs(end.due_ms - length))
    return Collision(part.code, nearest.part, now.plus(nearest.due_ms), wait_s)


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
    return round(counts / box.rate_hz * MS) + box.start_allowance_s * MS


def _ends(bench: Bench, part: Part, now: Instant) -> Iterator[Need]:
    """Return the ends still ahead of whatever runs alone beside a part's basket."""
    mine = bench.basket_of(part)
    for other in bench.in_flight:
        runs = isinstance(other.phase, Soaking | InRun)
        dries = STAGES[other.stage.kind].mode == "dry"  # and may go on drying
        if runs and not dries and other.code not in mine:
            found = need(bench, other, now)
            if found.due_ms > 0:
                yield found
