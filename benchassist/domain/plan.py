"""Will it make the appointment: the stages ahead, and the latest start of each.

Timed stages take their shortest stay, runs what the box's rate gives, coats what
segments and today's seconds give. Work by hand takes what it took here, the 80th
percentile of the practice's own times; before there are enough of them it takes a
limit of the journal, which is an estimate and says so.

The plan is of one part alone: hands that others need meanwhile are not in it.
"""

from __future__ import annotations

import math
from typing import Literal

from benchassist.clock import MS, Instant
from benchassist.domain.coat import fits
from benchassist.domain.layer import lot_for
from benchassist.domain.ledger import next_runs
from benchassist.domain.light import judge_lamp
from benchassist.domain.own_times import (
    estimated_ms,
    in_hand_ms,
    own_ms,
    own_times,
    work_of,
)
from benchassist.domain.queue import need
from benchassist.domain.route import DRY_COVER, Stage
from benchassist.domain.segments import coat_s, segments
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, InRun, Part, Soaking
from benchassist.value import value

POLISH = Stage("polish", "polish", "Polish")

Basis = Literal["recipe", "box", "light check", "measured", "estimate"]


@value
class Step:
    """A stage ahead, how long it takes in milliseconds, and by what we know it.

    ``times`` is how many of the practice's own times it rests on, 0 where none.
    """

    key: str
    title: str
    takes_ms: int
    basis: Basis = "estimate"
    times: int = 0


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
    return Plan(tuple(planned), total, due.plus(-total), now.until(due) - total)


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
    return steps_of(bench, part, part.route[part.at :], now, judged=judged)


def steps_of(
    bench: Bench,
    part: Part,
    stages: tuple[Stage, ...],
    now: Instant,
    *,
    judged: bool = True,
) -> tuple[Step, ...]:
    """Return stages of a part as steps; of the stage at hand what is left of it."""
    steps = []
    for stage in stages:
        takes_ms, basis, times = _takes(bench, part, stage, judged=judged)
        if stage == part.stage:
            takes_ms = _left_ms(bench, part, takes_ms, now)
        steps.append(Step(stage.key, stage.title, takes_ms, basis, times))
    return tuple(steps)


def polished(part: Part, dry_s: int) -> tuple[Stage, ...]:
    """Return what would be ahead of a part polished instead of coated.

    Empty where that is no way out: a layer lies on it already, or a stain is wanted,
    which polishing takes off. A part back from a mouth had its whole cure. What was
    cleaned with alcohol dries for ``dry_s`` before it goes under cover.
    """
    ahead = part.route[part.at :]
    coats = [n for n, stage in enumerate(ahead) if stage.layer]
    if part.work or part.variant.stain_passes or not coats:
        return ()
    last = coats[-1]
    kept = [
        stage for n, stage in enumerate(ahead) if n > last or not _for_a_layer(ahead, n)
    ]
    if part.variant.back_from_mouth:
        kept = [stage for stage in kept if not STAGES[stage.kind].cures]
    cover = (n for n, stage in enumerate(kept) if STAGES[stage.kind].covered)
    if (at := next(cover, None)) is not None:
        kept.insert(at, Stage(DRY_COVER, "dry", "Dry", min_s=dry_s))
    return *(stage for stage in kept if stage.kind != "checks"), POLISH, *kept[-1:]


def _for_a_layer(ahead: tuple[Stage, ...], n: int) -> bool:
    """Return whether a stage lays a layer or only makes ready for one."""
    kind = STAGES[ahead[n].kind]
    if ahead[n].layer or kind.readies:
        return True
    return kind.mode == "dry" and _for_a_layer(ahead, n + 1)


def _left_ms(bench: Bench, part: Part, takes_ms: int, now: Instant) -> int:
    """Return what is left of the stage at hand."""
    if isinstance(part.phase, Soaking | InRun):
        return max(0, need(bench, part, now).due_ms)
    if STAGES[part.stage.kind].mode in ("hand", "checks"):
        return max(0, takes_ms - in_hand_ms(bench, part, now))
    return takes_ms


def _takes(
    bench: Bench, part: Part, stage: Stage, *, judged: bool
) -> tuple[int, Basis, int]:
    match STAGES[stage.kind].mode:
        case "soak" | "dry" | "submerge":
            return stage.min_s * MS, "recipe", 0
        case "box":
            return runs_ms(bench, part, stage), "box", 0
        case "coat":
            return _coat(bench, part, stage, judged=judged)
        case _:
            return _by_hand(bench, part, stage)


def _by_hand(bench: Bench, part: Part, stage: Stage) -> tuple[int, Basis, int]:
    work = work_of(stage)
    own = own_ms(bench, part, work)
    if own is not None:
        return own, "measured", len(own_times(bench, part, work))
    return estimated_ms(bench, stage.kind), "estimate", 0


def runs_ms(bench: Bench, part: Part, stage: Stage) -> int:
    """Return how long the runs of a box stage take, 0 without a box."""
    box = bench.boxes.get(part.box)
    if box is None:
        return 0
    return sum(
        (math.ceil(count / box.rate_hz) + box.start_allowance_s) * MS
        for count in next_runs(bench, part, stage)
    )


def _coat(
    bench: Bench, part: Part, stage: Stage, *, judged: bool
) -> tuple[int, Basis, int]:
    recipe = bench.recipe_of(part)
    spot_s = recipe.planned_tack_s
    if judged:
        lot = lot_for(part, stage.layer)
        spot_s = judge_lamp(bench, part.lamp, lot, spot_s).seconds or spot_s
    work = part.work.get(stage.layer)
    count = bench.spots_of(part)
    left = sum(1 for state in work.spots if state != "done") if work else count
    beside_ms = own_ms(bench, part, work_of(stage))
    if beside_ms is not None:
        times = len(own_times(bench, part, work_of(stage)))
        return left * (spot_s * MS + beside_ms), "measured", times
    sizes = segments(left, max(1, fits(bench, part, spot_s)))
    takes_s = coat_s(sizes, brush_s=recipe.brush_s, spot_s=spot_s, move_s=recipe.move_s)
    return round(takes_s * MS), "light check", 0
