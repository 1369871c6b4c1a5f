"""What of the shelf fits: the lots a recipe allows for its layers, in date."""

from __future__ import annotations

from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.gates.lot_expiry import last_day
from benchassist.domain.library import Recipe
from benchassist.domain.state import Bench

LotRole = Literal["print", "coat", "stain"]


def allowed(recipe: Recipe, role: LotRole) -> tuple[str, ...]:
    """Return the materials a recipe names for a role; empty where it names none.

    A coat may be the print resin itself: what counts is the recipe's word, not what
    the material is filed as.
    """
    named = {
        "print": (recipe.material,),
        "coat": (recipe.coat_material,),
        "stain": recipe.stain_materials,
    }[role]
    return tuple(each for each in named if each)


def fitting(
    bench: Bench, recipe: Recipe, role: LotRole, now: Instant, printed: str = ""
) -> tuple[str, ...]:
    """Return the lots that may be taken today, the one that expires first in front.

    Of what was ``printed`` on a day (``YYYY-MM-DD``) those that could be used then; a
    bottle that is empty since is among them.
    """
    wanted, day = allowed(recipe, role), printed or now.day()
    found = [
        lot
        for lot in bench.lots.values()
        if (
            (printed and bench.closed_lots.get(lot.code, "") >= day)
            or lot.code not in bench.closed_lots
        )
        and last_day(bench, lot.code) >= day
        and (
            lot.material in wanted
            if wanted
            else lot.material in bench.materials
            and bench.materials[lot.material].role == role
        )
    ]
    return tuple(
        lot.code for lot in sorted(found, key=lambda lot: last_day(bench, lot.code))
    )
