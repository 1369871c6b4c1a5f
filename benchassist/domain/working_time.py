"""How long wet resin lasts under room light, by the practice's own smear test.

Wet resin takes light as exposure: a drop that drags after ``s`` seconds at ``E`` klx
has a budget of ``E s``. Reciprocity was seen for composites (162 s at 8 klx, 54 s at
24 klx: Lane, Watts and Wilson 1998, Dent Mater 14:353-357; abstract read). What kind
of light it is matters as much as how bright, so a budget holds for one kind only.
"""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain.events import SmearTested
from benchassist.domain.state import Bench, Dish

SPREAD = 0.3  # a drag checked every minute and a lux meter; common practice, no source


def budget_klx_s(smear: SmearTested) -> float:
    """Return what a drop stood in a smear test, in klx·s."""
    return smear.klx * smear.seconds


def smear_of(bench: Bench, lot: str, light: str) -> SmearTested | None:
    """Return the smear test of a lot's material under a kind of light, if any."""
    found = bench.lots.get(lot)
    return bench.smears.get((found.material, light)) if found else None


def spent_klx_s(dish: Dish, now: Instant) -> float:
    """Return the light a dish has had so far, in klx·s."""
    if dish.since is None:
        return dish.spent_klx_s
    return dish.spent_klx_s + dish.klx * now.most_since(dish.since) / MS


def stood_ms(bench: Bench, dish: Dish) -> int | None:
    """Return how long a dish lasts from when it was opened; None if nobody can say.

    A covered dish is told by the light that it was last under.
    """
    smear = smear_of(bench, dish.lot, dish.light)
    if smear is None or dish.klx <= 0:
        return None
    return int((budget_klx_s(smear) - dish.spent_klx_s) / dish.klx * MS)


def left_ms(bench: Bench, dish: Dish, now: Instant) -> int | None:
    """Return how long a dish lasts from now, as ``stood_ms``; negative once used up."""
    stands_ms = stood_ms(bench, dish)
    if stands_ms is None or dish.since is None:
        return stands_ms
    return stands_ms - now.most_since(dish.since)
