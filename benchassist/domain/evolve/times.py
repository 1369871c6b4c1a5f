"""State from events about time in hand: how long a part has been in front."""

from __future__ import annotations

from benchassist.clock import HOUR_MS, Instant
from benchassist.domain import events as ev
from benchassist.domain.own_times import KEPT, sample_ms, took_key, work_of
from benchassist.domain.state import Bench, Part, WorkDay
from benchassist.value import replace

DAYS_KEPT = 10


def in_front(before: Bench, after: Bench, entry: ev.Entry) -> Bench:
    """Return the bench with the time settled of the part that was in front.

    What passed while the program or the operator was away is nobody's.
    """
    moved = before.focus != after.focus
    left = (before.away is None) != (after.away is None)
    if isinstance(entry.event, ev.ProgramOpened):
        return replace(after, front_since=_since(after, entry.at))
    if not (moved or left):
        return after
    part = after.parts.get(before.focus)
    if part is not None and before.front_since is not None:
        spent = part.hands_ms + entry.at.since(before.front_since)
        after = after.with_part(replace(part, hands_ms=spent))
    return replace(after, front_since=_since(after, entry.at))


def at_work(days: dict[str, WorkDay], entry: ev.Entry) -> dict[str, WorkDay]:
    """Return the last days at the bench after an act of a hand."""
    at, event = entry.at.wall_ms, entry.event
    today = entry.at.day()
    was = days.get(today) or WorkDay(at, at)
    calls, away_ms, walk_ins = was.calls, was.away_ms, was.walk_ins
    if isinstance(event, ev.CameBack):
        calls, away_ms = calls + 1, away_ms + event.away_ms
    elif isinstance(event, ev.PartTaken):
        came = at - was.first_ms > HOUR_MS
        walk_ins += came and event.due is not None and event.due.day() == today
    known = {**days, today: WorkDay(was.first_ms, at, calls, away_ms, walk_ins)}
    return dict(list(known.items())[-DAYS_KEPT:])


def _since(bench: Bench, at: Instant) -> Instant | None:
    return at if bench.focus and bench.away is None else None


def measured(bench: Bench, part: Part, at: Instant) -> Bench:
    """Return the bench with the time that the stage a part leaves has taken."""
    sample = sample_ms(bench, part, at)
    if bench.focus == part.code and bench.front_since is not None:
        bench = replace(bench, front_since=at)
    if sample is None:
        return bench
    recipe = bench.recipes.get(part.recipe)
    key = took_key(recipe.item_class if recipe else "", work_of(part.stage))
    taken = (*bench.took.get(key, ()), sample)[-KEPT:]
    return bench.put("took", key, taken)
