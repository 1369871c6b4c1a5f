"""New parts in three steps: what, how, where; filled in advance, nothing written.

A draft is a plain value. Each row says where its value is from: the recipe, the shelf,
or the part before. Several parts at once count their codes on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from datetime import timedelta

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.deciders.intake import gaps, more_layers
from benchassist.domain.evolve import after
from benchassist.domain.library import CountRule, Recipe, Variant
from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit_on
from benchassist.domain.outcome import Refusal
from benchassist.domain.route import MOST_LAYERS
from benchassist.domain.shape import PartShape
from benchassist.domain.shelf import LotRole, fitting, offered
from benchassist.domain.state import Bench, Part
from benchassist.domain.trays import first_free, lies_in
from benchassist.domain.words import sentences
from benchassist.mesh.reading import Unit
from benchassist.ui.present import slip
from benchassist.ui.present.intake_words import due_from, due_words, printed_from
from benchassist.ui.present.sheet import FillIn, GoTo, Turn, turned
from benchassist.ui.words import say
from benchassist.value import replace, value

MOST = 8  # parts at once: as many tags as a screen shows
SAME_BATCH_MS = 60_000  # [ms] parts taken in so close were taken in together
STEPS = ("what", "how", "where")
FINISHES = ("coat", "polish", "none")
WAYS = ("glycerine", "glycerine later", "nitrogen")
TOGETHER = ("one basket", "each alone", "by hand")
HOURS = ("08:30", "10:00", "11:30", "13:00", "14:00", "15:30", "17:00")


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
    return _offered(bench, draft, now)


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
    return _offered(
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


def _offered(
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


def boxes(bench: Bench, recipe: Recipe) -> tuple[str, ...]:
    """Return the boxes that count as the recipe does."""
    found = (bench.boxes[code] for code in offered(bench, "box"))
    return tuple(box.code for box in found if box.unit == recipe.unit)


def vessels(bench: Bench, count: int, now: Instant) -> tuple[str, ...]:
    """Return the vessels, those that still take so many parts in front."""
    most = limit_on(bench, "glycerine_immersions", now)

    def full(code: str) -> bool:
        fill = bench.fills.get(code)
        return fill is None or bool(fill.spoilt) or fill.immersions + count > most

    return tuple(sorted(offered(bench, "vessel"), key=full))


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


def _gone(bench: Bench, draft: IntakeDraft, step: str, now: Instant) -> IntakeDraft:
    """Go to another step; forward only past one that has nothing amiss."""
    if STEPS.index(step) > STEPS.index(draft.step):
        wrong = amiss(bench, draft, now)
        if wrong is not None:
            row, told = wrong
            return replace(draft, framed=row, error=told)
    framed = {"what": "code", "how": "coats", "where": "together"}[step]
    if step == "where" and len(draft.baskets) != draft.count:
        draft = _placed(bench, draft, draft.together)
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
        return _offered(bench, replace(draft, recipe=chosen), now)
    if row == "count":
        many = min(MOST, max(1, draft.count + by))
        return replace(draft, count=many, baskets=(), file="", shape=None)
    if row == "file":
        at = slip.UNITS.index(draft.unit) + by
        return replace(draft, unit=slip.UNITS[at % len(slip.UNITS)])
    if row == "together":
        return _placed(bench, draft, turned(TOGETHER, draft.together, by))
    return _turned_thing(bench, draft, row, by, now)


def _turned_thing(
    bench: Bench, draft: IntakeDraft, row: str, by: int, now: Instant
) -> IntakeDraft:
    if row.startswith("basket-"):
        return _moved(bench, draft, int(row.removeprefix("basket-")), by)
    if row.startswith("tray-"):
        return _tray(bench, draft, int(row.removeprefix("tray-")), by)
    values = choices(bench, draft, row, now)
    return replace(draft, **{row: turned(values, getattr(draft, row), by)})


def _coats(bench: Bench, draft: IntakeDraft, by: int) -> dict[str, object]:
    del bench
    values = tuple(str(n) for n in range(1, MOST_LAYERS + 1))
    return {"coats": int(turned(values, str(draft.variant.coats), by))}


def _stains(bench: Bench, draft: IntakeDraft, by: int) -> dict[str, object]:
    del bench
    values = tuple(str(n) for n in range(MOST_LAYERS + 1))
    return {"stain_passes": int(turned(values, str(draft.variant.stain_passes), by))}


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
    "coats": _coats,
    "stains": _stains,
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


# --- baskets and trays --------------------------------------------------------------


def _placed(bench: Bench, draft: IntakeDraft, together: str) -> IntakeDraft:
    alone = together == "each alone"
    baskets = tuple(range(draft.count)) if alone else (0,) * draft.count
    return _with_trays(bench, replace(draft, together=together, baskets=baskets))


def _moved(bench: Bench, draft: IntakeDraft, part: int, by: int) -> IntakeDraft:
    """Carry a part to the next basket, a new one behind the last included."""
    baskets = list(draft.baskets)
    most = min(max(baskets) + 1, draft.count - 1)
    baskets[part] = (baskets[part] + by) % (most + 1)
    kept = sorted(set(baskets))
    tight = tuple(kept.index(each) for each in baskets)
    return _with_trays(bench, replace(draft, together="by hand", baskets=tight))


def _with_trays(bench: Bench, draft: IntakeDraft) -> IntakeDraft:
    """Give each basket a tray: the one it had, or the first that is free."""
    trays: list[int] = []
    for n in range(max(draft.baskets, default=-1) + 1):
        had = draft.trays[n] if n < len(draft.trays) else 0
        if not had or had in trays or lies_in(bench, had):
            had = _free(bench, trays)
        trays.append(had)
    return replace(draft, trays=tuple(trays))


def _free(bench: Bench, but: list[int], above: int = 0) -> int:
    taken = {part.tray for part in bench.in_flight} | set(but)
    top = first_free(bench) + len(taken) + above + 1
    return next(n for n in range(above + 1, top + 1) if n not in taken)


def _tray(bench: Bench, draft: IntakeDraft, basket: int, by: int) -> IntakeDraft:
    trays = list(draft.trays)
    others = [tray for n, tray in enumerate(trays) if n != basket]
    taken = {part.tray for part in bench.in_flight} | set(others)
    most = max(12, len(taken) + 1)
    free = tuple(n for n in range(1, most + 1) if n not in taken)
    at = free.index(trays[basket]) if trays[basket] in free else 0
    trays[basket] = free[(at + by) % len(free)]
    return replace(draft, trays=tuple(trays))


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
        part=code,
        recipe=draft.recipe,
        print_lot=draft.print_lot,
        coat_lot=draft.coat_lot if coated else "",
        stain_lot=draft.stain_lot if coated and variant.stain_passes else "",
        lamp=draft.lamp if coated else "",
        box=draft.box,
        vessel=draft.vessel if _under(variant) else "",
        due=draft.due,
        variant=variant,
        tray=tray if not lies_in(bench, tray) else 0,
        jaw="" if codes.tooth_jaw(bench, tooth) else draft.jaw,  # type: ignore[arg-type]  # of JAWS
        tooth=tooth,
        prescriber=draft.prescriber,
        shade=draft.shade,
        reason=draft.reason,
        printed=draft.printed,
    )


def _under(variant: Variant) -> bool:
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
