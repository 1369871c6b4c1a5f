"""The oxygen that nitrogen leaves over a coat, by meter or by flow, volume and time."""

from __future__ import annotations

import math

from benchassist.domain.library import Recipe
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench
from benchassist.physics.purge import oxygen_left_percent, purge_s

SKIN_PERCENT = 0.1  # [vol%] oxygen in nitrogen that still leaves about 1 um of skin
ASSUMED_PERCENT = 1.0  # [vol%] oxygen in nitrogen that nobody measured


def oxygen_left(bench: Bench, recipe: Recipe) -> tuple[float, str]:
    """Return the oxygen that nitrogen leaves over the coat in vol%, and how known.

    By the practice's meter, else by its flow and the recipe's flushing time, else
    assumed.
    """
    metered = limit(bench, "nitrogen_percent")
    chamber_l, flow = limit(bench, "chamber_l"), limit(bench, "nitrogen_l_min")
    goal = f"{SKIN_PERCENT:g} % keeps the skin near 1 µm over the band"
    if metered > 0:
        return metered, f"Nitrogen with {metered:g} % oxygen, by meter; {goal}."
    if chamber_l > 0 and flow > 0:
        left = oxygen_left_percent(
            chamber_l=chamber_l, flow_l_min=flow, seconds=recipe.purge_s
        )
        return left, (
            f"{recipe.purge_s} s of {flow:g} L/min into {chamber_l:g} L leave "
            f"{left:.2g} % oxygen; {goal}: {enough_s(bench)} s."
        )
    return ASSUMED_PERCENT, (
        f"Oxygen in the nitrogen never measured: {ASSUMED_PERCENT:g} % assumed; {goal}."
    )


def enough_s(bench: Bench) -> int:
    """Return the seconds of flushing that leave little enough; 0: flow not known."""
    chamber_l, flow = limit(bench, "chamber_l"), limit(bench, "nitrogen_l_min")
    if not (chamber_l > 0 and flow > 0):
        return 0
    return math.ceil(
        purge_s(chamber_l=chamber_l, flow_l_min=flow, target_percent=SKIN_PERCENT)
    )
