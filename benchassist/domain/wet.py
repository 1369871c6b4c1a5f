"""How long a brushed coat may stay wet: the recipe's limit, or the room's light.

What wet resin stands is the practice's own smear test, under the light its dish
stands in; without one only the recipe's limit counts.
"""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain.layer import lot_for
from benchassist.domain.state import WET, Bench, Part, Paused
from benchassist.domain.working_time import budget_klx_s, smear_of


def wet_limit_ms(bench: Bench, part: Part) -> int:
    """Return how long a coat of this part may be wet, in milliseconds.

    A fresh drop is taken to have its whole budget.
    """
    recipe_ms = bench.recipe_of(part).wet_limit_s * MS
    lot = lot_for(part, part.stage.layer)
    dish = bench.dishes.get(lot)
    smear = smear_of(bench, lot, dish.light) if dish else None
    if dish is None or smear is None or dish.klx <= 0:
        return recipe_ms
    return min(recipe_ms, int(budget_klx_s(smear) / dish.klx * MS))


def ambient_klx_s(bench: Bench, part: Part, wet_ms: int) -> float | None:
    """Return the light a coat took in ``wet_ms``, in klx·s; None if nobody knows."""
    dish = bench.dishes.get(lot_for(part, part.stage.layer))
    return dish.klx * wet_ms / MS if dish and dish.klx > 0 else None


def overdue(bench: Bench, part: Part, phase: WET, now: Instant) -> bool:
    """Return whether a wet coat is, or may be, past its limit."""
    return now.most_since(phase.wet_since) > wet_limit_ms(bench, part)


def must_look(bench: Bench, part: Part, phase: Paused, now: Instant) -> bool:
    """Return whether the coat's state has to be told before the walk goes on."""
    late = overdue(bench, part, phase, now)
    return not phase.looked or (late and phase.why != "looked")
