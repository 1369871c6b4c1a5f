"""The route of one part: an ordered list of stages, built once at intake.

A stage that the variant leaves out is absent, never "0 s". The order is the
trade's usual one (common practice, no source). Nothing here knows time or state.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.domain.halves import Halves, remainder, split
from benchassist.domain.library import CountRule, Recipe, Variant
from benchassist.value import replace, value

SUBMERGED = 2  # the half that is cured under cover, from the newest coat's view
MOST_LAYERS = 3  # stain passes, and coats; common practice, no source
DRY_COVER = "dry-cover"  # what is not coated dries for the box before its cover
DISINFECT_S = 180  # [s] common practice, no source; the product's label rules


@value
class Stage:
    """One stage of a part's route.

    ``key`` is unique within the route. ``min_s``/``max_s`` bound a timed stage
    (0: no bound). ``plan`` is the count owed by a box stage, ``runs`` how the
    box is set to give it.
    """

    key: str
    kind: str
    title: str
    min_s: int = 0
    max_s: int = 0
    side: str = ""
    half: int = 0
    layer: str = ""
    plan: int = 0
    runs: tuple[int, ...] = ()


class RouteError(ValueError):
    """The variant asks for a route that the trade does not allow."""


def build_route(recipe: Recipe, variant: Variant, rule: CountRule) -> tuple[Stage, ...]:
    """Return the stages of a part, in order, with unique keys.

    Parameters
    ----------
    recipe
        The recipe revision pinned to the part.
    variant
        What this part leaves out or adds.
    rule
        The counts the curing box can be set to.

    Raises
    ------
    RouteError
        If the layers do not go together, or a count cannot be set on the box.
    """
    _check(recipe, variant)
    try:
        stages = tuple(_stages(recipe, variant, recipe.rule or rule))
    except ValueError as error:
        raise RouteError(str(error)) from error
    seen: dict[str, int] = {}
    unique = []
    for stage in stages:
        seen[stage.key] = seen.get(stage.key, 0) + 1
        again = seen[stage.key] > 1
        key = f"{stage.key}-{seen[stage.key]}" if again else stage.key
        unique.append(replace(stage, key=key))
    return tuple(unique)


def _check(recipe: Recipe, variant: Variant) -> None:
    most = range(MOST_LAYERS + 1)
    if variant.stain_passes not in most or variant.coats not in most:
        msg = f"Stain passes and coats: 0 to {MOST_LAYERS} of each."
        raise RouteError(msg)
    coated = variant.finish == "coat" and variant.coats > 0
    under = variant.cover == "nitrogen" and variant.finish != "none"
    if under and recipe.purge_s <= 0:
        msg = f"{recipe.title} has no purge time: nitrogen needs one, correct it."
        raise RouteError(msg)
    if variant.stain_passes and not coated:
        msg = "A stain needs at least one coat over it: add a coat or leave it out."
        raise RouteError(msg)
    if variant.back_from_mouth and not coated:
        msg = "A part back from a mouth is cured again only with a new coat: add one."
        raise RouteError(msg)
    unknown = set(variant.faces) - {face.title for face in recipe.faces}
    if unknown:
        msg = f"{recipe.title} has no face called “{min(unknown)}”."
        raise RouteError(msg)
    if coated and not recipe.spots:
        msg = f"{recipe.title} names no faces that could be coated: correct the recipe."
        raise RouteError(msg)


def _stages(recipe: Recipe, variant: Variant, rule: CountRule) -> Iterator[Stage]:
    if variant.finish == "none":
        yield from _from_the_printer(recipe)
        yield from _box("cure", 1, recipe, _whole(recipe, rule))
        yield from _by_hand(recipe)
        yield Stage("checks", "checks", "Checks and release")
        return
    halves = _halves(recipe, rule)
    if variant.back_from_mouth:
        yield Stage("disinfect", "disinfect", "Disinfect, rinse", min_s=DISINFECT_S)
        yield Stage("abrade", "abrade", "Abrade and clean")
    else:
        yield from _from_the_printer(recipe)
        yield from _box("half-1", 1, recipe, halves.first)
        yield from _by_hand(recipe)
        kind = "abrade" if recipe.abrade else "clean"
        yield Stage(kind, kind, "Abrade and clean" if recipe.abrade else "Clean")
    yield from _layers(recipe, variant)
    yield from _covered(recipe, variant, halves.second)
    if variant.finish == "polish":
        yield Stage("polish", "polish", "Polish")
    yield Stage("checks", "checks", "Checks and release")


def _whole(recipe: Recipe, rule: CountRule) -> tuple[int, ...]:
    """Return the fewest runs that give the whole count at once."""
    return remainder(
        recipe.total,
        0,
        step=rule.step,
        max_run=rule.max_run or None,
        programs=rule.programs,
    )


def _halves(recipe: Recipe, rule: CountRule) -> Halves:
    halves = split(
        recipe.total,
        step=rule.step,
        max_run=rule.max_run or None,
        programs=rule.programs,
    )
    if not halves.first:
        msg = (
            f"{recipe.title}: {recipe.total} cannot be given in two halves on this "
            "box. Choose a box with finer counts or correct the recipe."
        )
        raise RouteError(msg)
    return halves


def _by_hand(recipe: Recipe) -> Iterator[Stage]:
    yield Stage("supports", "supports", "Supports off")
    if recipe.refine:
        yield Stage("refine", "refine", "Refine")
    yield Stage("fit", "fit", "Fit, contacts, bite on the model")


def _layers(recipe: Recipe, variant: Variant) -> Iterator[Stage]:
    if variant.finish != "coat" or variant.coats == 0:
        # No brush waits for it to dry, but the box does.
        yield Stage(DRY_COVER, "dry", "Dry", min_s=recipe.dry_before_box_s)
        return
    yield Stage("dry-coat", "dry", "Dry", min_s=recipe.dry_before_coat_s)
    yield Stage("mount", "mount", "Mount on a peg")
    for n in range(1, variant.stain_passes + 1):
        yield Stage(f"stain-{n}", "stain", f"Stain, pass {n}", layer=f"stain-{n}")
    for n in range(1, variant.coats + 1):
        yield Stage(f"coat-{n}", "coat", f"Coat {n}", layer=f"coat-{n}")


def _covered(
    recipe: Recipe, variant: Variant, runs: tuple[int, ...]
) -> Iterator[Stage]:
    if variant.hold_between:
        yield Stage("hold", "hold", "Hold between halves")
    if variant.cover == "nitrogen":
        yield Stage("purge", "purge", "Nitrogen purge", min_s=recipe.purge_s)
        yield from _box("half-2", SUBMERGED, recipe, runs)
        return
    yield Stage("submerge", "submerge", "Submerge", min_s=recipe.degas_s)
    yield from _box("half-2", SUBMERGED, recipe, runs)
    yield Stage("rinse", "rinse", "Rinse", min_s=recipe.rinse_s)
    yield Stage("dry-end", "dry", "Dry", min_s=recipe.dry_after_rinse_s)


def _from_the_printer(recipe: Recipe) -> Iterator[Stage]:
    for n, bath in enumerate(recipe.washes, start=1):
        yield Stage(f"wash-{n}", "wash", bath.title, min_s=bath.min_s, max_s=bath.max_s)
    yield Stage("dry-box", "dry", "Dry", min_s=recipe.dry_before_box_s)


def _box(key: str, half: int, recipe: Recipe, runs: tuple[int, ...]) -> Iterator[Stage]:
    names = {"cure": "Whole cure", "half-1": "First half", "half-2": "Second half"}
    for n, side in enumerate(recipe.sides):
        title = f"{names[key]}, side {side}" if side else names[key]
        if n:
            yield Stage(f"flip-{half}", "flip", f"Flip to side {side}", side=side)
        yield Stage(
            f"{key}{side and '-' + side}",
            "box",
            title,
            side=side,
            half=half,
            plan=sum(runs),
            runs=runs,
        )


def unique(behind: tuple[Stage, ...], ahead: tuple[Stage, ...]) -> tuple[Stage, ...]:
    """Return a route of what is behind and ahead, each key once."""
    taken = {stage.key for stage in behind}
    route = list(behind)
    for stage in ahead:
        key, number = stage.key, 1
        while key in taken:
            number += 1
            key = f"{stage.key}-{number}"
        taken.add(key)
        route.append(replace(stage, key=key))
    return tuple(route)
