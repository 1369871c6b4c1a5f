"""New parts in three steps: what, how, where; filled in advance, nothing written.

What a hand does to a draft, what it comes to, and what is amiss with it.
"""

from __future__ import annotations

from collections.abc import Callable

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.deciders.intake import gaps, more_layers
from benchassist.domain.evolve import after
from benchassist.domain.library import CountRule, Variant
from benchassist.domain.outcome import Refusal
from benchassist.domain.shelf import LotRole, fitting, offered
from benchassist.domain.state import Bench
from benchassist.domain.trays import lies_in
from benchassist.domain.words import sentences
from benchassist.ui.present import slip
from benchassist.ui.present.intake_draft import (
    MOST,
    STEPS,
    IntakeDraft,
    like_last,
    offered_for,
    recipes,
)
from benchassist.ui.present.intake_trays import TOGETHER, moved, other_tray, placed
from benchassist.ui.present.intake_words import due_from, due_words, printed_from
from benchassist.ui.present.sheet import FillIn, GoTo, Turn, turned
from benchassist.ui.present.variants import FINISHES, boxes, coats, stains
from benchassist.ui.words import say
from benchassist.value import replace, shared

# --- what a hand does -------------------------------------------------------------


def done(bench: Bench, draft: IntakeDraft, did: object, now: Instant) -> IntakeDraft:
    """Return the draft after a hand turned a row, typed into one, or went on."""
    draft = replace(draft, error="")
    match did:
        case GoTo(step="like"):
            return like_last(bench, draft, now)
        case GoTo(step=step):
            return _gone(bench, draft, step, now)
        case Turn(row=row, by=0):
            return replace(draft, framed=row)
        case Turn(row=row, by=by):
            return _turned(bench, replace(draft, framed=row), row, by, now)
        case FillIn(row=row, value=typed):
            return _typed(bench, replace(draft, framed=row), row, typed.strip(), now)
        case _:
            return draft


WAYS = ("glycerine", "glycerine later", "nitrogen")


def _gone(bench: Bench, draft: IntakeDraft, step: str, now: Instant) -> IntakeDraft:
    """Go to another step; forward only past one that has nothing amiss."""
    if STEPS.index(step) > STEPS.index(draft.step):
        wrong = amiss(bench, draft, now)
        if wrong is not None:
            row, told = wrong
            return replace(draft, framed=row, error=told)
    where = "together" if draft.count > 1 else "tray-0"
    framed = {"what": "code", "how": "coats", "where": where}[step]
    if step == "where" and len(draft.baskets) != draft.count:
        draft = placed(bench, draft, draft.together)
    return replace(draft, step=step, framed=framed)


CODED: dict[str, codes.CodeKind] = {"code": "part", "prescriber": "prescriber"}
READS: dict[str, Callable[[str, Instant], object]] = {
    "due": due_from,
    "printed": printed_from,
}


def _typed(
    bench: Bench, draft: IntakeDraft, row: str, typed: str, now: Instant
) -> IntakeDraft:
    year = now.local().year
    kind = CODED.get(row)
    wrong = codes.amiss(bench, kind, typed, year=year) if kind else None
    if row == "prescriber" and not typed:
        wrong = None
    if wrong is not None:
        return replace(draft, error=sentences(wrong.message, wrong.remedy))
    back = draft.variant.back_from_mouth  # under the code it had
    if row == "code" and typed in bench.parts and not back:
        there = say("{typed} is already on this bench.", typed=typed)
        return replace(draft, error=there)
    if row == "teeth":
        teeth, jaw = slip.read(typed)
        told = slip.amiss(bench, teeth)
        return (
            replace(draft, error=told) if told else replace(draft, teeth=teeth, jaw=jaw)
        )
    if row in READS:
        try:
            return replace(draft, **{row: READS[row](typed, now)})
        except ValueError as error:
            return replace(draft, error=str(error))
    return replace(draft, **{row: typed})


def _turned(
    bench: Bench, draft: IntakeDraft, row: str, by: int, now: Instant
) -> IntakeDraft:
    if row in VARIANTS:
        variant = replace(draft.variant, **VARIANTS[row](bench, draft, by))
        return replace(draft, variant=variant)
    if row == "recipe":
        chosen = turned(recipes(bench), draft.recipe, by)
        return offered_for(bench, replace(draft, recipe=chosen), now)
    if row == "count":
        many = min(MOST, max(1, draft.count + by))
        return replace(draft, count=many, baskets=(), file="", shape=None)
    if row == "file":
        return replace(draft, unit=slip.next_unit(draft.unit, by))
    if row == "together":
        return placed(bench, draft, turned(TOGETHER, draft.together, by))
    return _turned_thing(bench, draft, row, by, now)


def _turned_thing(
    bench: Bench, draft: IntakeDraft, row: str, by: int, now: Instant
) -> IntakeDraft:
    if row.startswith("basket-"):
        return moved(bench, draft, int(row.removeprefix("basket-")), by)
    if row.startswith("tray-"):
        return other_tray(bench, draft, int(row.removeprefix("tray-")), by)
    values = choices(bench, draft, row, now)
    return replace(draft, **{row: turned(values, getattr(draft, row), by)})


def _finish(bench: Bench, draft: IntakeDraft, by: int) -> dict[str, object]:
    variant, recipe = draft.variant, bench.recipes[draft.recipe]
    finish = turned(FINISHES, variant.finish, by)
    if finish != "coat":
        return {"finish": finish, "coats": 0, "stain_passes": 0}
    return {"finish": finish, "coats": variant.coats or recipe.coats or 1}


def _way(bench: Bench, draft: IntakeDraft, by: int) -> dict[str, object]:
    del bench
    way = turned(WAYS, way_of(draft.variant), by)
    cover = "nitrogen" if way == "nitrogen" else "glycerine"
    return {"cover": cover, "hold_between": way == "glycerine later"}


def _job(bench: Bench, draft: IntakeDraft, by: int) -> dict[str, object]:
    """Turn between a new part and one that is back: that one is coated again."""
    del by
    if draft.variant.back_from_mouth:
        return {"back_from_mouth": False}
    coats = draft.variant.coats or bench.recipes[draft.recipe].coats or 1
    return {"back_from_mouth": True, "finish": "coat", "coats": coats}


VARIANTS: dict[str, Callable[[Bench, IntakeDraft, int], dict[str, object]]] = {
    "job": _job,
    "coats": lambda _bench, draft, by: coats(draft.variant, by),
    "stains": lambda _bench, draft, by: stains(draft.variant, by),
    "finish": _finish,
    "cover": _way,
}


def way_of(variant: Variant) -> str:
    """Return how the second half is given, as one of the ways to turn to."""
    if variant.cover == "nitrogen":
        return "nitrogen"
    return "glycerine later" if variant.hold_between else "glycerine"


def choices(
    bench: Bench, draft: IntakeDraft, row: str, now: Instant
) -> tuple[str, ...]:
    """Return what a row can be turned to; the last is to leave it open."""
    recipe = bench.recipes[draft.recipe]
    if row.endswith("_lot"):
        role: LotRole = row.removesuffix("_lot")  # type: ignore[assignment]
        printed = draft.printed if role == "print" else ""
        found = fitting(bench, recipe, role, now, printed)
    elif row == "box":
        found = boxes(bench, recipe)
    else:
        found = offered(bench, "lamp" if row == "lamp" else "vessel")
    return (*found, "")


# --- what it comes to ----------------------------------------------------------------


def commands(bench: Bench, draft: IntakeDraft) -> tuple[cm.Command, ...]:
    """Return the acts that take all parts in, baskets behind them."""
    parts, teeth = draft.parts, teeth_of(draft)
    baskets = draft.baskets if len(draft.baskets) == draft.count else (0,) * draft.count
    trays = draft.trays or (0,)
    out: list[cm.Command] = []
    for n, code in enumerate(parts):
        first = baskets.index(baskets[n]) == n
        out.append(
            _take(bench, draft, code, teeth[n], trays[baskets[n]] if first else 0)
        )
    if draft.shape is not None and len(parts) == 1:
        out.append(cm.MeasurePart(parts[0], draft.shape))
    for basket in dict.fromkeys(baskets):
        inside = tuple(code for n, code in enumerate(parts) if baskets[n] == basket)
        if len(inside) > 1:
            out.append(cm.FormBasket(inside))
    return tuple(out)


def teeth_of(draft: IntakeDraft) -> tuple[str, ...]:
    """Return the tooth of each part; one text stands for all."""
    told = [each.strip() for each in draft.teeth.split(",")]
    if len(told) == draft.count:
        return tuple(told)
    return (draft.teeth.replace(" ", ""),) * draft.count


def _take(
    bench: Bench, draft: IntakeDraft, code: str, tooth: str, tray: int
) -> cm.TakeIn:
    variant = draft.variant
    coated = variant.finish == "coat" and variant.coats > 0
    return cm.TakeIn(
        **shared(draft, cm.TakeIn)
        | {
            "part": code,
            "coat_lot": draft.coat_lot if coated else "",
            "stain_lot": draft.stain_lot if coated and variant.stain_passes else "",
            "lamp": draft.lamp if coated else "",
            "vessel": draft.vessel if under(variant) else "",
            "tray": tray if not lies_in(bench, tray) else 0,
            "jaw": "" if codes.tooth_jaw(bench, tooth) else draft.jaw,
            "tooth": tooth,
        }
    )


def under(variant: Variant) -> bool:
    """Return whether the second half is given under glycerine."""
    return variant.finish != "none" and variant.cover == "glycerine"


def refused(bench: Bench, draft: IntakeDraft, now: Instant) -> Refusal | None:
    """Return the first refusal of all the acts, tried one after the other unwritten."""
    for command in commands(bench, draft):
        decision = decide(bench, command, now)
        if isinstance(decision, Refusal):
            return decision
        if isinstance(decision, tuple):
            for event in decision:
                bench = after(bench, event, now)
    return None


def tried(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[Bench, str] | None:
    """Return a bench on which the first part was taken in, and its code; unwritten."""
    code = draft.code or "A-1"
    asked = replace(_take(bench, draft, code, "", 0), reason=draft.reason or "…")
    decision = decide(bench, asked, now)
    if not isinstance(decision, tuple):
        return None
    for event in decision:
        bench = after(bench, event, now)
    return bench, code


def why_asked(bench: Bench, draft: IntakeDraft, now: Instant) -> str:
    """Return what departs from the recipe or is left open, in words; else nothing."""
    recipe = bench.recipes.get(draft.recipe)
    if recipe is None:
        return ""
    more = more_layers(recipe, draft.variant)
    if more:
        return more
    open_ones = [
        told for _, told, _ in gaps(bench, _take(bench, draft, "", "", 0), now)
    ]
    return f"{open_ones[0]}." if open_ones else ""


ROWS = {
    "code": "code", "code-taken": "code", "no-code": "code", "tooth": "teeth",
    "tray": "together", "no-recipe": "recipe", "more-layers": "coats",
    "lot-material": "coat_lot", "no-lot": "coat_lot", "unit": "box", "route": "coats",
    "printed": "printed",
    "example-data": "recipe", "no-operator": "recipe",
}  # fmt: skip


def amiss(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[str, str] | None:
    """Return the row that is amiss at this step and what to write, if any is."""
    if not draft.recipe:
        return "recipe", say("No recipe is on file: file your materials first.")
    if not draft.code:
        return "code", say(
            "Type the code of the first part, such as EX-41; never a name."
        )
    asks = why_asked(bench, draft, now)
    if draft.step == "how" and asks and not draft.reason:
        return "reason", asks
    tried = draft if draft.reason or not asks else replace(draft, reason="…")
    found = refused(bench, tried, now)
    if found is None:
        return None
    row = ROWS.get(found.code, draft.framed)
    if draft.step == "what" and row not in ("code", "teeth", "recipe"):
        return None  # of the next step
    return row, sentences(found.message, found.remedy)


def rule_of(bench: Bench, draft: IntakeDraft) -> CountRule:
    """Return the counts the chosen box can be set to."""
    box = bench.boxes.get(draft.box)
    return box.rule if box else CountRule()


def when(draft: IntakeDraft, now: Instant) -> str:
    """Return for when the parts are promised, in words."""
    return due_words(draft.due, now) or say("not promised")


def at_fault(draft: IntakeDraft, code: str, told: str) -> IntakeDraft:
    """Return the draft with the frame on the row that a refusal is about."""
    row = ROWS.get(code, draft.framed)
    step = draft.step
    if row in ("code", "teeth", "recipe"):
        step = "what"
    elif row in ("coats", "coat_lot", "box", "printed"):
        step = "how"
    return replace(draft, step=step, framed=row, error=told)
