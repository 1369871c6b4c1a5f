"""The draft of an intake: what was chosen so far, and what is offered in advance.

Each value is from the recipe, the shelf, or the part before. Nothing is written.
"""

from __future__ import annotations

from dataclasses import field
from datetime import timedelta

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain.library import Recipe, Variant
from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit_on
from benchassist.domain.shape import PartShape
from benchassist.domain.shelf import LotRole, fitting, offered
from benchassist.domain.state import Bench, Part
from benchassist.mesh.reading import Unit
from benchassist.ui.present.intake_words import due_from
from benchassist.ui.present.variants import boxes
from benchassist.ui.words import say
from benchassist.value import replace, value

MOST = 8  # parts at once: as many tags as a screen shows
SAME_BATCH_MS = 60_000  # [ms] parts taken in so close were taken in together
STEPS = ("what", "how", "where")


@value
class IntakeDraft:
    """What was chosen so far; ``given`` marks what differs from what was offered.

    ``teeth`` has one text for all, or one for each with commas; ``baskets`` says for
    each part which basket it goes into, ``trays`` which tray a basket gets (0: free).
    ``printed`` is the day of the printing (``YYYY-MM-DD``; empty: today).
    """

    step: str = "what"
    recipe: str = ""
    count: int = 1
    code: str = ""
    jaw: str = ""
    teeth: str = ""
    shade: str = ""
    prescriber: str = ""
    due: Instant | None = None
    variant: Variant = field(default_factory=Variant)
    print_lot: str = ""
    printed: str = ""
    coat_lot: str = ""
    stain_lot: str = ""
    lamp: str = ""
    box: str = ""
    vessel: str = ""
    reason: str = ""
    together: str = "one basket"
    baskets: tuple[int, ...] = ()
    trays: tuple[int, ...] = ()
    framed: str = "recipe"
    error: str = ""
    file: str = ""  # of the print, where it was read
    unit: Unit = "mm"
    shape: PartShape | None = None
    used: tuple[str, ...] = ()  # rows whose value is that of the part before

    @property
    def parts(self) -> tuple[str, ...]:
        """Return the codes of the parts, the first counted on."""
        if not self.code:
            return ()
        return tuple(
            codes.counted_on(self.code, n) if n else self.code
            for n in range(self.count)
        )


def begun(bench: Bench, now: Instant) -> IntakeDraft:
    """Return an empty draft, filled from recipe and shelf for the usual part."""
    last = _last(bench)
    first = last.recipe if last else next(iter(recipes(bench)), "")
    draft = IntakeDraft(recipe=first, framed="code" if first else "recipe")
    return offered_for(bench, draft, now)


def recipes(bench: Bench) -> tuple[str, ...]:
    """Return the newest revision of each recipe."""
    newest: dict[str, Recipe] = {}
    for recipe in bench.recipes.values():
        if ("recipe", recipe.code) in bench.retired:
            continue
        known = newest.get(recipe.code)
        if known is None or recipe.revision > known.revision:
            newest[recipe.code] = recipe
    return tuple(recipe.id for recipe in newest.values())


def _last(bench: Bench) -> Part | None:
    """Return the part that was taken in last, of a recipe that is still on file."""
    taken = [part for part in bench.parts.values() if part.recipe in recipes(bench)]
    return max(taken, key=lambda part: part.taken.wall_ms, default=None)


def batch(bench: Bench) -> tuple[Part, ...]:
    """Return the parts that were taken in together last."""
    last = _last(bench)
    if last is None:
        return ()
    return tuple(
        part
        for part in bench.parts.values()
        if part.recipe == last.recipe
        and abs(last.taken.since(part.taken)) < SAME_BATCH_MS
    )[-MOST:]


def like_last(bench: Bench, draft: IntakeDraft, now: Instant) -> IntakeDraft:
    """Return the draft filled like the parts before, but for code and teeth."""
    found = batch(bench)
    if not found:
        return replace(draft, error=say("No part was taken in before."))
    last = found[-1]
    due = None
    if last.due is not None:
        hour = last.due.local()
        due = _at(now, hour.date(), f"{hour:%H:%M}")
    return offered_for(
        bench,
        replace(
            draft,
            recipe=last.recipe,
            count=len(found),
            code=draft.code or _next_code(bench, last.code, len(found)),
            jaw=last.jaw,
            shade=last.shade,
            prescriber=last.prescriber,
            due=due,
            framed="code",
        ),
        now,
        like=last,
    )


def _next_code(bench: Bench, code: str, count: int) -> str:
    """Return the first code behind ``code`` from which ``count`` are free."""
    for by in range(1, len(bench.parts) + 2):
        first = codes.counted_on(code, by)
        if not any(codes.counted_on(first, n) in bench.parts for n in range(count)):
            return first
    return ""


def _at(now: Instant, day: object, hour: str) -> Instant | None:
    """Return that hour of a day still to come, tomorrow's where it has passed."""
    try:
        return due_from(f"{day} {hour}", now)
    except ValueError:
        return due_from(f"{now.local().date() + timedelta(days=1)} {hour}", now)


def offered_for(
    bench: Bench, draft: IntakeDraft, now: Instant, like: Part | None = None
) -> IntakeDraft:
    """Fill lots and equipment: as last used where that still fits, else the shelf's."""
    recipe = bench.recipes.get(draft.recipe)
    if recipe is None:
        return draft
    last = like or _used(bench, recipe)
    variant = like.variant if like else recipe.usual_variant
    given: dict[str, str] = {}
    used = []
    roles: tuple[LotRole, ...] = ("print", "coat", "stain")
    for role in roles:
        name = f"{role}_lot"
        found = fitting(bench, recipe, role, now)
        before = getattr(last, name) if last else ""
        given[name] = before if before in found else next(iter(found), "")
        used += [name] * (before in found)
    for name, found in (
        ("lamp", _lamps(bench, recipe, given["coat_lot"])),
        ("box", boxes(bench, recipe)),
        ("vessel", vessels(bench, draft.count, now)),
    ):
        before = getattr(last, name) if last else ""
        given[name] = before if before in found else next(iter(found), "")
        used += [name] * (before in found)
    return replace(draft, variant=variant, used=tuple(used), **given)


def _used(bench: Bench, recipe: Recipe) -> Part | None:
    taken = [part for part in bench.parts.values() if part.recipe == recipe.id]
    return max(taken, key=lambda part: part.taken.wall_ms, default=None)


def _lamps(bench: Bench, recipe: Recipe, lot: str) -> tuple[str, ...]:
    """Return the lamps, those that set this recipe's coat in its time in front."""
    if not lot:
        return offered(bench, "lamp")

    def rank(lamp: str) -> tuple[int, float]:
        answer = judge_lamp(bench, lamp, lot, recipe.planned_tack_s)
        return ("pass", "marginal", "fail").index(answer.level), answer.high_s

    return tuple(sorted(offered(bench, "lamp"), key=rank))


def vessels(bench: Bench, count: int, now: Instant) -> tuple[str, ...]:
    """Return the vessels, those that still take so many parts in front."""
    most = limit_on(bench, "glycerine_immersions", now)

    def full(code: str) -> bool:
        fill = bench.fills.get(code)
        return fill is None or bool(fill.spoilt) or fill.immersions + count > most

    return tuple(sorted(offered(bench, "vessel"), key=full))
