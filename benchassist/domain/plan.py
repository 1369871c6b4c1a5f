"""Will it make the appointment: the stages ahead, and the latest start of each.

Timed stages take their shortest stay, runs what the box's rate gives, coats what
segments and seconds give; work by hand takes the practice's own times, which are
limits of the journal.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from benchassist.domain.ledger import next_runs
from benchassist.domain.light import judge_lamp, lot_for
from benchassist.domain.limits import LIMITS, limit
from benchassist.domain.runs import left_ms
from benchassist.domain.segments import coat_s, segments, spots_per_segment
from benchassist.domain.stages import STAGES
from benchassist.domain.state import InRun, Soaking
from benchassist.domain.wet import wet_limit_ms
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.route import Stage
    from benchassist.domain.state import Bench, Part

MS = 1000


@value
class Step:
    """A stage ahead and how long it takes, in milliseconds."""

    key: str
    title: str
    takes_ms: int


@value
class Planned:
    """A step and the latest it may begin."""

    step: Step
    latest: Instant


@value
class Plan:
    """The steps with their latest starts; ``slack_ms`` is negative once too late."""

    steps: tuple[Planned, ...]
    total_ms: int
    latest: Instant
    slack_ms: int


def plan_back(steps: tuple[Step, ...], due: Instant, now: Instant) -> Plan:
    """Walk backwards from when a part is due through the steps still to do."""
    total = sum(step.takes_ms for step in steps)
    left, planned = total, []
    for step in steps:
        planned.append(Planned(step, due.plus(-left)))
        left -= step.takes_ms
    return Plan(tuple(planned), total, due.plus(-total), due.since(now) - total)


def plan_for(bench: Bench, part: Part, now: Instant) -> Plan | None:
    """Return a part's plan, or None where no due time is known."""
    if part.due is None:
        return None
    return plan_back(steps_ahead(bench, part, now), part.due, now)


def steps_ahead(
    bench: Bench, part: Part, now: Instant, *, judged: bool = True
) -> tuple[Step, ...]:
    """Return what a part still has before it, the stage at hand first.

    With ``judged`` the light check gives the seconds of a spot, else the recipe.
    """
    ahead = part.route[part.at :]
    return tuple(
        Step(
            stage.key,
            stage.title,
            _takes_ms(bench, part, stage, judged=judged)
            if n
            else _left_ms(bench, part, now, judged=judged),
        )
        for n, stage in enumerate(ahead)
    )


def _left_ms(bench: Bench, part: Part, now: Instant, *, judged: bool) -> int:
    """Return what is left of the stage at hand."""
    phase = part.phase
    if isinstance(phase, Soaking):
        return max(0, part.stage.min_s * MS - now.since(phase.since))
    if isinstance(phase, InRun):
        run = bench.runs[phase.run]
        return max(0, left_ms(run, bench.boxes[run.box], now))
    return _takes_ms(bench, part, part.stage, judged=judged)


def _takes_ms(bench: Bench, part: Part, stage: Stage, *, judged: bool) -> int:
    match STAGES[stage.kind].mode:
        case "soak" | "dry" | "submerge":
            return stage.min_s * MS
        case "box":
            return _runs_ms(bench, part, stage)
        case "coat":
            return _coat_ms(bench, part, stage, judged=judged)
        case _:
            code = f"hands_{stage.kind}_s"
            return int(limit(bench, code) * MS) if code in LIMITS else 0


def _runs_ms(bench: Bench, part: Part, stage: Stage) -> int:
    box = bench.boxes.get(part.box)
    if box is None:
        return 0
    return sum(
        (math.ceil(count / box.rate_hz) + box.start_allowance_s) * MS
        for count in next_runs(bench, part, stage)
    )


def _coat_ms(bench: Bench, part: Part, stage: Stage, *, judged: bool) -> int:
    recipe = bench.recipe_of(part)
    spot_s = recipe.planned_tack_s
    if judged:
        lot = lot_for(part, stage.layer)
        spot_s = judge_lamp(bench, part.lamp, lot, spot_s).seconds or spot_s
    work = part.work.get(stage.layer)
    count = bench.spots_of(part)
    left = sum(1 for state in work.spots if state != "done") if work else count
    fit = spots_per_segment(
        wet_limit_s=wet_limit_ms(bench, part) / MS,
        brush_s=recipe.brush_s,
        spot_s=spot_s,
        move_s=recipe.move_s,
    )
    sizes = segments(left, max(1, fit))
    takes_s = coat_s(sizes, brush_s=recipe.brush_s, spot_s=spot_s, move_s=recipe.move_s)
    return round(takes_s * MS)
