"""What of the shelf fits: the lots a recipe allows for its layers, in date."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.events import ShelfKind
from benchassist.domain.gates.lot_expiry import last_day
from benchassist.domain.library import Box, Recipe
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Bench

LotRole = Literal["print", "coat", "stain"]
WHERE: dict[ShelfKind, str] = {
    # kind: where the bench has it
    "lamp": "lamps",
    "box": "boxes",
    "vessel": "vessels",
    "meter": "meters",
    "material": "materials",
    "recipe": "recipes",
    "bath": "baths",
    "operator": "levels",
}


def offered(bench: Bench, kind: ShelfKind) -> tuple[str, ...]:
    """Return the codes of what there is of a kind and is not retired."""
    known: Iterable[str] = getattr(bench, WHERE[kind])
    if kind == "recipe":
        known = dict.fromkeys(each.code for each in bench.recipes.values())
    return tuple(code for code in known if (kind, code) not in bench.retired)


def absent(bench: Bench, kind: ShelfKind, code: str) -> Refusal | None:
    """Return why a thing cannot be taken: it is not on file, or retired."""
    day = bench.retired.get((kind, code))
    if day is not None:
        told = f"{code} was retired on {day}."
        return Refusal(
            "retired", told, remedy="Take another, or enter it again, key R."
        )
    if code in offered(bench, kind):
        return None
    return Refusal("no-equipment", f"The {kind} “{code}” is not on file.")


def revisions(bench: Bench, code: str) -> list[Recipe]:
    """Return the revisions of a recipe in their order."""
    found = (each for each in bench.recipes.values() if each.code == code)
    return sorted(found, key=lambda each: each.revision)


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


def other_unit(recipe: Recipe, box: Box) -> Refusal:
    """Return the refusal of a box that counts otherwise than a recipe."""
    return Refusal(
        "unit", f"{recipe.id} counts {recipe.unit}, but {box.code} counts {box.unit}."
    )
