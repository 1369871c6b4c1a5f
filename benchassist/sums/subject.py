"""What these pages talk about: a layer, the lamp that sets it, where it is cured."""

from __future__ import annotations

import math

from benchassist.clock import Instant
from benchassist.domain.layer import lot_for
from benchassist.domain.library import CountRule, Recipe
from benchassist.domain.route import SUBMERGED, RouteError, build_route
from benchassist.domain.state import Bench, Part, Ready
from benchassist.value import value


class UnknownError(ValueError):
    """Something that has to be on file is not; the text says what, in one sentence."""


def typed_number(label: str, told: str) -> float:
    """Return the number in what was typed, with a point or a comma.

    Raises
    ------
    UnknownError
        If it is none, or has no end.
    """
    try:
        found = float(told.strip().replace(",", "."))
    except ValueError:
        found = math.nan
    if not math.isfinite(found):
        shown = " ".join(told.split())
        message = f"{label}: “{shown}” is not a number."
        raise UnknownError(message)
    return found


@value
class Subject:
    """One coat and what it meets.

    ``part`` is the part at hand, or a stand-in without a code where none is.
    """

    part: Part
    recipe: Recipe
    lamp: str
    lot: str

    @property
    def title(self) -> str:
        """Return in a few words what this is about."""
        recipe = self.recipe
        whose = self.part.code or f"any part by {recipe.id}"
        return f"{whose}: {recipe.title.lower()}, {self.lot or 'no coat lot'}"

    @property
    def coats(self) -> int:
        """Return how many coats lie on each other in the end."""
        return max(1, self.part.variant.coats)


def subject(bench: Bench, now: Instant, lamp: str = "") -> Subject:
    """Return the part at hand with its coat, or a stand-in by the first recipe.

    Raises
    ------
    UnknownError
        If no recipe with a coat, or no lot for it, is on file.
    """
    candidates = [bench.focused, *bench.in_flight]
    for part in candidates:
        if part is not None and part.variant.coats and part.variant.finish == "coat":
            recipe = bench.recipe_of(part)
            lot = _coat_lot(bench, part, recipe)
            return Subject(part, recipe, lamp or part.lamp, lot)
    for recipe in bench.recipes.values():
        if recipe.coats:
            part = stand_in(bench, now, recipe)
            return Subject(part, recipe, lamp or part.lamp, part.coat_lot)
    message = "No recipe with a coat is on file: benchassist import FILE."
    raise UnknownError(message)


def stand_in(bench: Bench, now: Instant, recipe: Recipe) -> Part:
    """Return a part without a code that goes by ``recipe`` through what is on file."""
    lot = _lot_of(bench, recipe.coat_material)
    box = next(iter(bench.boxes.values()), None)
    rule = recipe.rule or (box.rule if box else CountRule())
    try:
        route = build_route(recipe, recipe.usual_variant, rule)
    except RouteError:
        route = ()
    return Part(
        code="",
        recipe=recipe.id,
        variant=recipe.usual_variant,
        route=route,
        at=0,
        phase=Ready(now),
        print_lot=_lot_of(bench, recipe.material),
        coat_lot=lot,
        stain_lot="",
        lamp=next(iter(bench.lamps), ""),
        box=box.code if box else "",
        vessel=next(iter(bench.vessels), ""),
        peg="",
        due=None,
        taken=now,
        entered=now,
    )


def _coat_lot(bench: Bench, part: Part, recipe: Recipe) -> str:
    layer = part.stage.layer if part.stage.layer.startswith("coat") else "coat-1"
    return lot_for(part, layer) or _lot_of(bench, recipe.coat_material)


def _lot_of(bench: Bench, material: str) -> str:
    return next(
        (lot.code for lot in bench.lots.values() if lot.material == material), ""
    )


def second_half_s(bench: Bench, found: Subject) -> float:
    """Return how long the second half lasts on one side, in seconds.

    Raises
    ------
    UnknownError
        If the box is not on file.
    """
    box = bench.boxes.get(found.part.box)
    if box is None:
        message = "No curing box is chosen for this part."
        raise UnknownError(message)
    planned = [stage.plan for stage in found.part.route if stage.half == SUBMERGED]
    if planned:
        return max(planned) / box.rate_hz
    return found.recipe.total / 2 / box.rate_hz
