"""What the day ahead is played with, and how well it is known.

Calls away and work that walks in are taken from this bench's own last days once five
of each are known; before that, or where a hand set the limit, the limit counts.
"""

from __future__ import annotations

from typing import Literal

from benchassist.clock import HOUR_MS, MINUTE_MS, MS, Instant
from benchassist.domain.day_ahead import Rules
from benchassist.domain.day_play import Way
from benchassist.domain.limits import LIMITS, limit
from benchassist.domain.order import BACK, FIRST
from benchassist.domain.own_times import ENOUGH
from benchassist.domain.state import Bench
from benchassist.value import value

DAY_MS = 8 * HOUR_MS  # a whole day at the bench, for what is kept free of it; our guess

Basis = Literal["own days", "set by hand", "estimate"]


@value
class Known:
    """Calls away and what is kept free for who comes in, each with its basis."""

    calls_per_h: float
    call_ms: int
    calls: Basis
    walk_in_ms: int
    walk_ins: Basis


def known(bench: Bench, ways: tuple[Way, ...]) -> Known:
    """Return what is known of calls and of who walks in, for a whole day."""
    days = tuple(bench.days.values())
    calls = sum(day.calls for day in days)
    at_ms = sum(max(0, day.last_ms - day.first_ms - day.away_ms) for day in days)
    per_h, call_ms = limit(bench, "calls_per_h"), int(limit(bench, "call_s") * MS)
    by: Basis = "estimate"
    if _set(bench, "calls_per_h") or _set(bench, "call_s"):
        by = "set by hand"
    elif calls >= ENOUGH and at_ms > HOUR_MS:
        by = "own days"
        per_h = calls * HOUR_MS / at_ms
        call_ms = round(sum(day.away_ms for day in days) / calls)
    free_ms = int(limit(bench, "walk_in_min") * MINUTE_MS)
    came: Basis = "set by hand" if _set(bench, "walk_in_min") else "estimate"
    if came == "estimate" and len(days) >= ENOUGH:
        came = "own days"
        each = sorted(sum(leg.by_hand_ms for leg in way.legs) for way in ways)
        usual_ms = each[len(each) // 2] if each else free_ms
        free_ms = round(sum(day.walk_ins for day in days) * usual_ms / len(days))
    return Known(per_h, call_ms, by, free_ms, came)


def rules_of(bench: Bench, ways: tuple[Way, ...], found: Known) -> Rules:
    """Return what the rest of today is played with; of the reserve today's share."""
    last = max((way.due_ms or 0 for way in ways), default=0)
    share = min(1.0, max(0.0, last / DAY_MS))
    wishes = bench.wishes
    ranks = {"first": FIRST, "back": BACK, "not today": BACK}
    here = tuple(sorted(part.code for part in bench.in_flight))
    return Rules(
        seed=bench.store.store_id if bench.store else "",
        calls_per_h=found.calls_per_h,
        call_ms=found.call_ms,
        reserve_ms=round(found.walk_in_ms * share),
        said=tuple((code, ranks[wish]) for code, wish in sorted(wishes.items())),
        refused=tuple(
            code for code, beside in bench.kept_in_turn.items() if beside == here
        ),
        not_today=tuple(code for code, wish in wishes.items() if wish == "not today"),
    )


def call_about(bench: Bench, part: str, now: Instant) -> Instant | None:
    """Return by when whoever is expected can still be told; None without a time."""
    due = bench.parts[part].due
    if due is None:
        return None
    by = due.plus(-int(limit(bench, "front_desk_s") * MS))
    return by if now.until(by) > 0 else now


def _set(bench: Bench, code: str) -> bool:
    return limit(bench, code) != LIMITS[code].default
