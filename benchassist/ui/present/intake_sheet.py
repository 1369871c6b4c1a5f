"""The three sheets of an intake: what, how, where, each with what it comes to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit_on
from benchassist.domain.mishaps.rework import COAT_UM
from benchassist.domain.plan import steps_of
from benchassist.domain.route import RouteError, build_route
from benchassist.domain.trays import KEYED
from benchassist.domain.words import listed
from benchassist.ui.present import intake
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.intake import IntakeDraft
from benchassist.ui.present.intake_words import due_words, good_to
from benchassist.ui.present.sheet import (
    FillIn,
    GoTo,
    Sheet,
    SheetLine,
    SheetRow,
    Step,
    Turn,
    WayStage,
    way_lines,
)
from benchassist.ui.view import Option
from benchassist.value import replace, value

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench
    from benchassist.ui.view import Tone

JOBS = {False: "a new part", True: "back from the mouth"}
NAMES = {
    "job": "Job",
    "recipe": "Kind",
    "count": "How many",
    "code": "First code",
    "jaw": "Jaw",
    "teeth": "Tooth",
    "shade": "Shade",
    "prescriber": "For",
    "due": "For when",
    "stains": "Stain",
    "coats": "Coats",
    "finish": "Finish",
    "cover": "Second half",
    "print_lot": "Print lot",
    "coat_lot": "Coat lot",
    "stain_lot": "Stain lot",
    "lamp": "Lamp",
    "box": "Box",
    "vessel": "Vessel",
    "together": "Together",
}
TITLES = {"what": "What", "how": "How", "where": "Where"}
FINISH_WORDS = {"coat": "coat", "polish": "polish instead", "none": "no glaze"}
WAY_WORDS = {
    "glycerine": "under glycerine, same day",
    "glycerine later": "under glycerine, held between",
    "nitrogen": "in nitrogen",
}
NEVER_A_NAME = "Case code of the first part, such as EX-41; never a name"
ASKED = {
    "code": NEVER_A_NAME,
    "teeth": "Tooth as two digits; one for each with commas: 12,11,21,22",
    "shade": "Shade as the practice writes it",
    "prescriber": "Code of who it is for, such as EX-P2; never a name",
    "due": "For when: 14:00, Fri 14:00 or 2026-05-15 14:00",
}


@value
class TakeParts:
    """All parts of a draft are taken in: the act at the end of the sheet."""

    draft: IntakeDraft


def sheet(bench: Bench, draft: IntakeDraft, now: Instant) -> Sheet:
    """Return the sheet of the step a draft is at."""
    rows = {"what": _what, "how": _how, "where": _where}[draft.step](bench, draft, now)
    return Sheet(
        title="New parts",
        quiet="",
        right=_right(bench, draft),
        rows=_keyed(rows),
        lines=_lines(bench, draft, now),
        options=_options(bench, draft, now),
        steps=_steps(draft),
        line=_foot(draft),
        error=draft.error,
        framed=draft.framed,
    )


def _right(bench: Bench, draft: IntakeDraft) -> str:
    parts = draft.parts
    if not parts:
        return "nothing is taken in yet"
    recipe = bench.recipes.get(draft.recipe)
    kind = recipe.item_class if recipe else "part"
    if len(parts) == 1:
        return f"{kind}, {parts[0]}"
    return f"{len(parts)} × {kind}, {parts[0]} to {parts[-1]}"


def _steps(draft: IntakeDraft) -> tuple[Step, ...]:
    at = intake.STEPS.index(draft.step)
    return tuple(
        Step(TITLES[step], "done" if n < at else "now" if n == at else "later", step)
        for n, step in enumerate(intake.STEPS)
    )


# --- what -----------------------------------------------------------------------


def _what(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetRow, ...]:
    recipe = bench.recipes.get(draft.recipe)
    title = recipe.title if recipe else "no recipe on file"
    note = f"{recipe.id}, {recipe.status}" if recipe else "file your materials first"
    codes = draft.parts
    more = f"counts on to {codes[-1]}" if len(codes) > 1 else "typed or scanned"
    return (
        _turn(draft, "recipe", title, note),
        _turn(draft, "count", str(draft.count), "up to 8 at once"),
        _type(draft, "code", draft.code, more),
        _turn(draft, "jaw", draft.jaw or "–", "upper or lower"),
        _type(draft, "teeth", draft.teeth, "two digits each"),
        _type(draft, "shade", draft.shade, ""),
        _type(draft, "prescriber", draft.prescriber, "a code"),
        _type(draft, "due", intake.when(draft, now), "day and hour"),
        _turn(draft, "job", JOBS[draft.variant.back_from_mouth], "back: coated again"),
    )


# --- how ------------------------------------------------------------------------


def _how(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetRow, ...]:
    recipe, variant = bench.recipes[draft.recipe], draft.variant
    usual, coated = recipe.usual_variant, variant.finish == "coat"
    count = variant.stain_passes
    passes = f"{count} pass{'es' if count > 1 else ''}" if count else "none"
    told = {
        "stains": (passes, str(recipe.stain_passes)),
        "coats": (str(variant.coats) if coated else "none", str(recipe.coats)),
        "finish": (FINISH_WORDS[variant.finish], FINISH_WORDS[usual.finish]),
        "cover": (
            WAY_WORDS[intake.way_of(variant)]
            if variant.finish != "none"
            else "one whole cure",
            WAY_WORDS[intake.way_of(usual)],
        ),
    }
    same = {
        "stains": variant.stain_passes == recipe.stain_passes,
        "coats": variant.coats == recipe.coats,
        "finish": variant.finish == usual.finish,
        "cover": intake.way_of(variant) == intake.way_of(usual),
    }
    rows = [_of_recipe(draft, row, told[row], same=same[row]) for row in told]
    rows += [
        _lot(bench, draft, "print_lot", now),
        _lot(bench, draft, "coat_lot", now),
        _lamp(bench, draft),
        _thing(draft, "box"),
        _vessel(bench, draft, now),
        _lot(bench, draft, "stain_lot", now),
    ]
    needed = {
        "coat_lot": coated,
        "lamp": coated,
        "vessel": _under(draft),
        "stain_lot": coated and variant.stain_passes > 0,
    }
    return tuple(row for row in rows if needed.get(row.name, True))


def _under(draft: IntakeDraft) -> bool:
    return draft.variant.finish != "none" and draft.variant.cover == "glycerine"


def _of_recipe(
    draft: IntakeDraft, row: str, told: tuple[str, str], *, same: bool
) -> SheetRow:
    """Return a row of the recipe: what it says now, and what the recipe says."""
    note = "recipe" if same else f"recipe says {told[1]}"
    if not same and row == "coats" and draft.reason:
        note = f"{note}; why: {draft.reason}"
    return _turn(draft, row, told[0], note, "quiet" if same else "attention")


def _lot(bench: Bench, draft: IntakeDraft, row: str, now: Instant) -> SheetRow:
    code = getattr(draft, row)
    if not code:
        return _thing(draft, row)
    told = good_to(bench, code, now)
    pressing = "ends in" in told or "expired" in told or "put away" in told
    if row in draft.used:
        told = f"last used, {told}"
    return _turn(draft, row, code, told, "attention" if pressing else "quiet")


def _lamp(bench: Bench, draft: IntakeDraft) -> SheetRow:
    if not draft.lamp or not draft.coat_lot:
        return _thing(draft, "lamp")
    recipe = bench.recipes[draft.recipe]
    found = judge_lamp(bench, draft.lamp, draft.coat_lot, recipe.planned_tack_s)
    tones: dict[str, Tone] = {"pass": "good", "marginal": "attention", "fail": "stop"}
    told = f"{found.level.upper()}: {found.reason}"
    return _turn(draft, "lamp", draft.lamp, told, tones[found.level])


def _thing(draft: IntakeDraft, row: str) -> SheetRow:
    code = getattr(draft, row)
    if not code:
        return _turn(draft, row, "open", "choose one", "attention")
    return _turn(draft, row, code, "last used" if row in draft.used else "")


def _vessel(bench: Bench, draft: IntakeDraft, now: Instant) -> SheetRow:
    code, fill = draft.vessel, bench.fills.get(draft.vessel)
    if not code:
        return _thing(draft, "vessel")
    most = int(limit_on(bench, "glycerine_immersions", now))
    if fill is None:
        return _turn(draft, "vessel", code, "not filled", "attention")
    then = fill.immersions + draft.count
    told = f"{fill.immersions} of {most} used"
    if then > most:
        told = (
            f"{fill.immersions} of {most}, {draft.count} more: {then - most} too many"
        )
    return _turn(draft, "vessel", code, told, "attention" if then > most else "quiet")


# --- where ----------------------------------------------------------------------


def _where(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetRow, ...]:
    del bench, now
    told = "one press for a basket"
    rows = [_turn(draft, "together", draft.together, told)]
    if draft.together == "by hand":
        for n, code in enumerate(draft.parts):
            basket = f"basket {draft.baskets[n] + 1}"
            rows.append(_turn(draft, f"basket-{n}", basket, "", name=code))
    for n, tray in enumerate(draft.trays):
        inside = [c for c, b in zip(draft.parts, draft.baskets, strict=True) if b == n]
        key = f"F{tray}" if tray <= KEYED else f"Shift F{tray - KEYED}"
        note = f"key {key}, kept until it is closed"
        name = f"Tray of {inside[0]}" + (f" + {len(inside) - 1}" if inside[1:] else "")
        rows.append(_turn(draft, f"tray-{n}", str(tray), note, name=name))
    return tuple(rows)


def _turn(
    draft: IntakeDraft,
    row: str,
    told: str,
    note: str,
    tone: Tone = "quiet",
    *,
    name: str = "",
) -> SheetRow:
    """Return a row to be turned; its key is given with its place."""
    option = Option(name or NAMES[row], "", Turn(row, 1 if draft.framed == row else 0))
    return SheetRow(row, option, told, note=note, tone=tone)


def _type(draft: IntakeDraft, row: str, told: str, note: str) -> SheetRow:
    asked = draft.error if draft.error and draft.framed == row else ASKED[row]
    option = Option(NAMES[row], "", Gap(FillIn(row), "value"), needs_text=asked)
    return SheetRow(row, option, told or "–", note=note, turns=False)


def _keyed(rows: tuple[SheetRow, ...]) -> tuple[SheetRow, ...]:
    """Return rows with their digits, in the order of the screen."""
    keys = "1234567890"
    return tuple(
        replace(row, option=replace(row.option, key=keys[n : n + 1]))
        for n, row in enumerate(rows)
    )


# --- beside and below -------------------------------------------------------------


def _lines(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetLine, ...]:
    if draft.step == "how":
        return _way(bench, draft, now)
    if not draft.parts:
        return (
            SheetLine("NEW TAGS", mark="head"),
            SheetLine("A code, never a name. Type or scan the first,"),
            SheetLine("the rest count on; one used before is refused."),
        )
    teeth = intake.teeth_of(draft)
    out = [SheetLine("NEW TAGS", mark="head")]
    for n, code in enumerate(draft.parts):
        told = [f"tooth {teeth[n]}" if teeth[n] else "", draft.shade, draft.jaw]
        out.append(SheetLine(code, ", ".join(each for each in told if each), "tag"))
    if draft.step == "where":
        out.append(SheetLine("", mark="line"))
        for n, tray in enumerate(draft.trays):
            inside = tuple(
                code
                for code, basket in zip(draft.parts, draft.baskets, strict=True)
                if basket == n
            )
            out.append(SheetLine(f"Tray {tray}", f"{len(inside)} in: {listed(inside)}"))
    return tuple(out)


def _way(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetLine, ...]:
    recipe, variant = bench.recipes[draft.recipe], draft.variant
    try:
        route = build_route(recipe, variant, intake.rule_of(bench, draft))
    except RouteError as error:
        return SheetLine("NOT SO", mark="head"), SheetLine(str(error), tone="stop")
    out = [SheetLine("THEIR WAY", mark="head")]
    takes = _takes(bench, draft, now)
    over = set()
    if variant.finish == "coat":
        over = {f"coat-{n}" for n in range(recipe.coats + 1, variant.coats + 1)}
    out += way_lines(
        tuple(
            WayStage(
                stage.title,
                takes.get(stage.key, 0),
                "new" if stage.key in over else "same",
                f"{stage.plan}" if stage.plan else "",
            )
            for stage in route
        )
    )
    if variant.finish == "coat" and variant.coats:
        low, high = (um * variant.coats for um in COAT_UM)
        both = f"{low} to {high} µm a surface, {2 * low} to {2 * high} between two"
        out.append(SheetLine("", mark="line"))
        out.append(SheetLine(both, tone="attention" if over else "plain"))
        out.append(SheetLine("Never on a fitting surface, 0.5 mm off the margin."))
    if found := ready(bench, draft, now):
        out.append(found)
    return tuple(out)


def _takes(bench: Bench, draft: IntakeDraft, now: Instant) -> dict[str, int]:
    """Return ms by stage, by taking one part in on a bench that is thrown away."""
    made = intake.tried(bench, draft, now)
    if made is None:
        return {}
    then, code = made
    part = then.parts[code]
    steps = steps_of(then, part, part.route, now)
    return {step.key: step.takes_ms for step in steps}


def _ready(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[str, bool]:
    """Return when one part would be done if begun now, and whether that is too late."""
    made = intake.tried(bench, draft, now)
    if made is None:
        return "", False
    then, code = made
    part = then.parts[code]
    steps = steps_of(then, part, part.route, now)
    ready = now.plus(sum(step.takes_ms for step in steps))
    late = draft.due is not None and ready.since(draft.due) > 0
    told = f"begun now, ready {due_words(ready, now)}"
    if draft.due is None:
        return told, False
    fits = "misses" if late else "fits"
    return f"{told}, for {due_words(draft.due, now)}: {fits}", late


def _options(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[Option, ...]:
    like: tuple[Option, ...] = ()
    found = intake.batch(bench)
    if draft.step == "what" and found:
        kind = bench.recipe_of(found[-1]).item_class
        told = f"Like the last: {len(found)} × {kind}"
        like = (Option(told, "0", GoTo("like")),)
    if draft.step == "what":
        if not draft.code:
            code = Option(
                "First code", "Enter", Gap(FillIn("code"), "value"),
                tone="attention", needs_text=draft.error or NEVER_A_NAME,
            )  # fmt: skip
            return code, *like
        return Option("Go on: how", "Enter", GoTo("how"), tone="attention"), *like
    if draft.step == "how":
        asks = intake.why_asked(bench, draft, now)
        if asks and not draft.reason:
            why = Option(
                f"{asks} Say why", "Enter", Gap(FillIn("reason"), "value"),
                tone="attention", needs_text="Why? It stays with the part.",
            )  # fmt: skip
            return (why,)
        return (Option("Go on: where", "Enter", GoTo("where"), tone="attention"),)
    many = draft.count > 1
    told = f"Take {draft.count} parts in" if many else f"Take {draft.code} in"
    return (Option(told, "Enter", TakeParts(draft), tone="attention"),)


def _foot(draft: IntakeDraft) -> str:
    if draft.step == "where":
        return "Left and right turn the framed row. A tray is kept until it is closed."
    return "Left and right turn the framed row; a digit frames it, or asks for words."


def ready(bench: Bench, draft: IntakeDraft, now: Instant) -> SheetLine | None:
    """Return the line that says whether the promise can be kept."""
    told, late = _ready(bench, draft, now)
    if not told:
        return None
    return SheetLine(told, tone="attention" if late else "good")
