"""The dose ledger: what each side and layer had, and what it is still owed.

Bounds are kept apart: what counts is the low one, what may harm is the high one.
The submerged half is owed to the newest coat in full; surplus that the body had
before never shortens it. Nothing here knows time or Qt.
"""

from __future__ import annotations

from benchassist.domain.halves import remainder
from benchassist.domain.library import CountRule
from benchassist.domain.route import SUBMERGED, Stage
from benchassist.domain.state import BODY, Bench, Part
from benchassist.value import value


@value
class Account:
    """One layer of one side: owed, and the bounds of what it had.

    ``evidence`` is the weakest class among its exposures, empty without any.
    """

    layer: str
    side: str
    owed: int
    low: int
    high: int
    unit: str
    evidence: str


_WEAKEST = ("assumed", "computed", "paced", "observed")


def bounds(part: Part, *, layer: str, side: str, half: int = 0) -> tuple[int, int]:
    """Return the low and high sums of a layer's exposures on a side.

    ``half`` 0 takes both halves together.
    """
    taken = [
        found
        for found in part.exposures
        if layer in found.layers and found.side == side and half in (0, found.half)
    ]
    return sum(found.low for found in taken), sum(found.high for found in taken)


def box_stages(part: Part) -> tuple[Stage, ...]:
    """Return the box stages of a part's route."""
    return tuple(stage for stage in part.route if stage.kind == "box")


def owed(bench: Bench, part: Part) -> tuple[Account, ...]:
    """Return every account of a part: the body and the newest coat per side."""
    unit = bench.recipe_of(part).unit
    accounts = []
    for side in dict.fromkeys(stage.side for stage in box_stages(part)):
        # A half that is given again for a new coat is owed once, not twice.
        plans = {
            stage.half: stage.plan for stage in box_stages(part) if stage.side == side
        }
        plan = sum(plans.values())
        if part.variant.back_from_mouth:
            plan = 0  # the body's own cure was closed before; only coats owe
        accounts.append(_account(part, BODY, side, plan=plan, half=0, unit=unit))
        submerged = plans.get(SUBMERGED, 0)
        if submerged and part.newest_coat != BODY:
            newest = part.newest_coat
            accounts.append(
                _account(part, newest, side, plan=submerged, half=SUBMERGED, unit=unit)
            )
    return tuple(accounts)


def _account(
    part: Part, layer: str, side: str, *, plan: int, half: int, unit: str
) -> Account:
    low, high = bounds(part, layer=layer, side=side, half=half)
    classes = {
        found.evidence
        for found in part.exposures
        if layer in found.layers and found.side == side
    }
    weakest = next((name for name in _WEAKEST if name in classes), "")
    return Account(layer, side, plan, low, high, unit, weakest)


def cured_by(part: Part, stage: Stage) -> str:
    """Return the layer that a box stage is for: the newest when the part comes to it.

    A coat that is yet to be laid before it has had nothing, whatever the one under it
    had.
    """
    if stage.half != SUBMERGED:
        return BODY
    ahead = part.route[part.at :]
    place = next((n for n, each in enumerate(ahead) if each.key == stage.key), 0)
    laid = [each.layer for each in ahead[:place] if each.layer]
    return laid[-1] if laid else part.newest_coat


def remaining(part: Part, stage: Stage) -> int:
    """Return what a box stage still owes, by its confirmed low bound."""
    layer = cured_by(part, stage)
    low, _ = bounds(part, layer=layer, side=stage.side, half=stage.half)
    return max(0, stage.plan - low)


def rule_of(bench: Bench, part: Part) -> CountRule:
    """Return the counts the part's box can be set to; the recipe's own rule wins."""
    recipe = bench.recipe_of(part)
    return recipe.rule or bench.boxes[part.box].rule


def next_runs(bench: Bench, part: Part, stage: Stage) -> tuple[int, ...]:
    """Return the counts still to be set for a box stage, the next one first."""
    left = remaining(part, stage)
    if left == stage.plan:
        return stage.runs
    rule = rule_of(bench, part)
    return remainder(
        stage.plan,
        stage.plan - left,
        step=rule.step,
        max_run=rule.max_run or None,
        programs=rule.programs,
    )


def excess(bench: Bench, part: Part) -> int:
    """Return by how much the planned runs exceed the recipe's count per side."""
    stages = box_stages(part)
    side = stages[0].side
    halves = {stage.half: stage.plan for stage in stages if stage.side == side}
    plan = sum(halves.values())
    return 0 if part.variant.back_from_mouth else plan - bench.recipe_of(part).total


def over(bench: Bench, part: Part, side: str) -> int:
    """Return by how much the body's high bound exceeds the recipe's count."""
    _, high = bounds(part, layer=BODY, side=side)
    return max(0, high - bench.recipe_of(part).total)
