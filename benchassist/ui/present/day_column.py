"""The day beside the bench: each part's way on from now, alone, as bars.

No day is played for it: every stage takes what the plan says, one after the other, with
nobody in the way. The Day page, key D, knows who gets in whose way.
"""

from __future__ import annotations

from typing import Literal

from benchassist.clock import MINUTE_MS, Instant
from benchassist.domain.plan import steps_ahead
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part
from benchassist.ui.present.day_chart import LEAST_MS, DayBar, DayRow, DayView, ticks
from benchassist.ui.present.rows import key_of
from benchassist.ui.words import say

MOST_MS = 6 * 60 * MINUTE_MS  # [ms] of the time that is shown, more is another day
ALONE = ("dry", "hold")
IN_PLACE = ("soak", "submerge", "box")


def day_column(bench: Bench, now: Instant) -> DayView | None:
    """Return the chart, the first promised first; nothing where nothing is in work."""
    parts = sorted(
        bench.in_flight,
        key=lambda part: now.until(part.due) if part.due else MOST_MS * 100,
    )
    if not parts:
        return None
    rows = tuple(_row(bench, part, now) for part in parts)
    ends = (max(row.done_ms, row.due_ms or 0) for row in rows)
    until = min(MOST_MS, max(LEAST_MS, *ends))
    return DayView(
        say("Day"),
        f"{now.local():%H:%M}",
        until_ms=until,
        ticks=ticks(now, until),
        rows=rows,
        why=say("each by itself; D: the whole day"),
    )


def _row(bench: Bench, part: Part, now: Instant) -> DayRow:
    bars: list[DayBar] = []
    at = 0
    stages = {stage.key: stage for stage in part.route}
    for step in steps_ahead(bench, part, now, judged=False):
        kind = _kind(STAGES[stages[step.key].kind].mode)
        end = at + max(0, step.takes_ms)
        if bars and bars[-1].kind == kind:
            bars[-1] = DayBar(kind, bars[-1].start_ms, end)
        elif end > at:
            bars.append(DayBar(kind, at, end))
        at = end
    due = now.until(part.due) if part.due else None
    late = due is not None and at > due
    return DayRow(
        key=key_of(part.tray),
        code=part.code,
        what="",
        bars=tuple(bars),
        due_ms=due,
        done_ms=at,
        right=f"{now.plus(at).local():%H:%M}",
        tone="attention" if late else "quiet",
        front=part.code == bench.focus,
    )


def _kind(mode: str) -> Literal["hands", "alone", "place"]:
    if mode in IN_PLACE:
        return "place"
    return "alone" if mode in ALONE else "hands"
