"""The three sheets of an intake: what, how, where, each with what it comes to."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.gates.lot_expiry import expired_at_printing
from benchassist.domain.library import Recipe
from benchassist.domain.light import judge_lamp
from benchassist.domain.limits import limit_on
from benchassist.domain.mishaps.rework import COAT_UM
from benchassist.domain.plan import Step as Ahead
from benchassist.domain.plan import steps_of
from benchassist.domain.route import RouteError, build_route
from benchassist.domain.state import Bench
from benchassist.domain.trays import KEYED
from benchassist.domain.words import Typed, listed
from benchassist.ui.present import intake, slip, variants
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.intake_draft import STEPS, IntakeDraft, batch
from benchassist.ui.present.intake_words import due_words, good_to, printed_words
from benchassist.ui.present.sheet import (
    FillIn,
    GoTo,
    Sheet,
    SheetLine,
    SheetRow,
    Step,
    Turn,
    WayStage,
    turn_row,
    typed_row,
    way_lines,
)
from benchassist.ui.present.shown import TONES
from benchassist.ui.present.variants import FINISH_WORDS
from benchassist.ui.view import Option, Tone
from benchassist.ui.words import say
from benchassist.value import replace, value

JOBS = {False: say("a new part"), True: say("back from the mouth")}
NAMES = variants.NAMES | {
    "job": say("Job"),
    "recipe": say("Kind"),
    "count": say("How many"),
    "code": say("First code"),
    "teeth": say("Tooth or jaw"),
    "file": say("Print file"),
    "shade": say("Shade"),
    "prescriber": say("For"),
    "due": say("For when"),
    "stains": say("Stain"),
    "printed": say("Printed"),
    "together": say("Together"),
}
TITLES = {"what": say("What"), "how": say("How"), "where": say("Where")}
WAY_WORDS = {
    "glycerine": say("under glycerine, same day"),
    "glycerine later": say("under glycerine, held between"),
    "nitrogen": say("in nitrogen"),
}
NEVER_A_NAME = say("Case code of the first part, such as EX-41; never a name")
ASKED = {
    "code": NEVER_A_NAME,
    "teeth": say("Tooth as two digits, one for each: 12,11,21,22; or upper, lower"),
    "shade": say("Shade as the practice writes it"),
    "prescriber": say("Code of who it is for, such as EX-P2; never a name"),
    "printed": say("Day of the printing: today, yesterday, Mon or 2026-05-14"),
    "due": say("For when: 14:00, Fri 14:00 or 2026-05-15 14:00"),
}


@value
class PickPrint:
    """Look for the print file of the part that is taken in."""


@value
class TakeParts:
    """All parts of a draft are taken in: the act at the end of the sheet."""

    draft: IntakeDraft


def sheet(bench: Bench, draft: IntakeDraft, now: Instant) -> Sheet:
    """Return the sheet of the step a draft is at."""
    rows = {"what": _what, "how": _how, "where": _where}[draft.step](bench, draft, now)
    return Sheet(
        title=say("New parts"),
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
        return say("nothing is taken in yet")
    recipe = bench.recipes.get(draft.recipe)
    kind = recipe.item_class if recipe else "part"
    if len(parts) == 1:
        return f"{kind}, {parts[0]}"
    return say(
        "{many} × {kind}, {parts} to {parts2}",
        many=len(parts),
        kind=kind,
        parts=parts[0],
        parts2=parts[-1],
    )


def _steps(draft: IntakeDraft) -> tuple[Step, ...]:
    at = STEPS.index(draft.step)
    return tuple(
        Step(TITLES[step], "done" if n < at else "now" if n == at else "later", step)
        for n, step in enumerate(STEPS)
    )


def _recipe_words(recipe: Recipe) -> str:
    says = recipe.status if recipe.status == "as IFU" else say("not as IFU")
    return f"{recipe.id}, {says}"


# --- what -----------------------------------------------------------------------


def _what(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetRow, ...]:
    recipe = bench.recipes.get(draft.recipe)
    title = recipe.title if recipe else say("no recipe on file")
    note = _recipe_words(recipe) if recipe else say("file your materials first")
    codes = draft.parts
    more = (
        say("counts on to {codes}", codes=codes[-1])
        if len(codes) > 1
        else say("typed or scanned")
    )
    return (
        _turn(draft, "recipe", title, note),
        _turn(draft, "count", str(draft.count), say("up to 8 at once")),
        _type(draft, "code", draft.code, more),
        _type(draft, "teeth", _teeth(draft), say("two digits, or upper, lower")),
        _type(draft, "shade", draft.shade, ""),
        _type(draft, "prescriber", draft.prescriber, say("a code")),
        _type(draft, "due", intake.when(draft, now), say("day and hour")),
        _turn(
            draft, "job", JOBS[draft.variant.back_from_mouth], say("back: coated again")
        ),
        _file(draft),
    )


def _teeth(draft: IntakeDraft) -> str:
    return ", ".join(each for each in (draft.teeth, draft.jaw) if each)


def _file(draft: IntakeDraft) -> SheetRow:
    """Return the row of the print file: it asks for one, then turns its unit."""
    told, note = slip.file_words(draft.shape, draft.unit, draft.count)
    asks = draft.count == 1 and draft.shape is None
    act: object = PickPrint() if asks else Turn("file", int(draft.framed == "file"))
    return SheetRow(
        "file", Option(NAMES["file"], "", act), told, note=note, turns=not asks
    )


# --- how ------------------------------------------------------------------------


def _how(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetRow, ...]:
    recipe, variant = bench.recipes[draft.recipe], draft.variant
    usual, coated = recipe.usual_variant, variant.finish == "coat"
    count = variant.stain_passes
    passes = (
        say("{count} pass{it}", count=count, it="es" if count > 1 else "")
        if count
        else "none"
    )
    told = {
        "stains": (passes, str(recipe.stain_passes)),
        "coats": (str(variant.coats) if coated else "none", str(recipe.coats)),
        "finish": (FINISH_WORDS[variant.finish], FINISH_WORDS[usual.finish]),
        "cover": (
            WAY_WORDS[intake.way_of(variant)]
            if variant.finish != "none"
            else say("one whole cure"),
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
        _printed(bench, draft, now),
        _lot(bench, draft, "coat_lot", now),
        _lamp(bench, draft),
        _thing(draft, "box"),
        _vessel(bench, draft, now),
        _lot(bench, draft, "stain_lot", now),
    ]
    needed = {
        "coat_lot": coated,
        "lamp": coated,
        "vessel": intake.under(variant),
        "stain_lot": coated and variant.stain_passes > 0,
    }
    return tuple(row for row in rows if needed.get(row.name, True))


def _of_recipe(
    draft: IntakeDraft, row: str, told: tuple[str, str], *, same: bool
) -> SheetRow:
    """Return a row of the recipe: what it says now, and what the recipe says."""
    note = "recipe" if same else say("recipe says {told}", told=told[1])
    if not same and row == "coats" and draft.reason:
        note = say("{note}; why: {reason}", note=note, reason=Typed(draft.reason))
    return _turn(draft, row, told[0], note, "quiet" if same else "attention")


def _printed(bench: Bench, draft: IntakeDraft, now: Instant) -> SheetRow:
    """Return the row of the printing, by whose day the print lot is judged."""
    printed = draft.printed or now.day()
    last = expired_at_printing(bench, draft.print_lot, printed)
    note = say("its lot counts that day")
    if last:
        note = say("lot expired on {last}: a deviation", last=last)
    tone: Tone = "attention" if last else "quiet"
    return _type(draft, "printed", printed_words(printed, now), note, tone)


def _lot(bench: Bench, draft: IntakeDraft, row: str, now: Instant) -> SheetRow:
    code = getattr(draft, row)
    if not code:
        return _thing(draft, row)
    day = draft.printed if row == "print_lot" else ""
    told, pressing = good_to(bench, code, now, day)
    if row in draft.used:
        told = say("last used, {told}", told=told)
    return _turn(draft, row, code, told, "attention" if pressing else "quiet")


def _lamp(bench: Bench, draft: IntakeDraft) -> SheetRow:
    if not draft.lamp or not draft.coat_lot:
        return _thing(draft, "lamp")
    recipe = bench.recipes[draft.recipe]
    found = judge_lamp(bench, draft.lamp, draft.coat_lot, recipe.planned_tack_s)
    told = f"{found.level.upper()}: {found.reason}"
    return _turn(draft, "lamp", draft.lamp, told, TONES[found.level])


def _thing(draft: IntakeDraft, row: str) -> SheetRow:
    code = getattr(draft, row)
    if not code:
        return _turn(draft, row, "open", say("choose one"), "attention")
    return _turn(draft, row, code, say("last used") if row in draft.used else "")


def _vessel(bench: Bench, draft: IntakeDraft, now: Instant) -> SheetRow:
    code, fill = draft.vessel, bench.fills.get(draft.vessel)
    if not code:
        return _thing(draft, "vessel")
    most = int(limit_on(bench, "glycerine_immersions", now))
    if fill is None:
        return _turn(draft, "vessel", code, say("not filled"), "attention")
    then = fill.immersions + draft.count
    told = say("{immersions} of {most} used", immersions=fill.immersions, most=most)
    if then > most:
        told = say(
            "{immersions} of {most}, {count} more: {then} too many",
            immersions=fill.immersions,
            most=most,
            count=draft.count,
            then=then - most,
        )
    return _turn(draft, "vessel", code, told, "attention" if then > most else "quiet")


# --- where ----------------------------------------------------------------------


def _where(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetRow, ...]:
    del bench, now
    told = say("one press for a basket")
    rows = [_turn(draft, "together", draft.together, told)] * (draft.count > 1)
    if draft.together == "by hand":
        for n, code in enumerate(draft.parts):
            basket = say("basket {baskets}", baskets=draft.baskets[n] + 1)
            rows.append(_turn(draft, f"basket-{n}", basket, "", name=code))
    for n, tray in enumerate(draft.trays):
        inside = [c for c, b in zip(draft.parts, draft.baskets, strict=True) if b == n]
        key = f"F{tray}" if tray <= KEYED else f"Shift F{tray - KEYED}"
        note = say("key {key}, kept until it is closed", key=key)
        name = say("Tray of {inside}", inside=inside[0]) + (
            f" + {len(inside) - 1}" if inside[1:] else ""
        )
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
    found = turn_row(row, name or NAMES[row], told, note, draft.framed)
    return replace(found, tone=tone)


def _type(
    draft: IntakeDraft, row: str, told: str, note: str, tone: Tone = "quiet"
) -> SheetRow:
    asked = draft.error if draft.error and draft.framed == row else ASKED[row]
    return replace(typed_row(row, NAMES[row], told, asked, note=note), tone=tone)


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
            SheetLine(say("NEW TAGS"), mark="head"),
            SheetLine(say("A code, never a name. Type or scan the first,")),
            SheetLine(say("the rest count on; one used before is refused.")),
        )
    teeth = intake.teeth_of(draft)
    out = [SheetLine(say("NEW TAGS"), mark="head")]
    for n, code in enumerate(draft.parts):
        told = [
            say("tooth {teeth}", teeth=teeth[n]) if teeth[n] else "",
            draft.shade,
            draft.jaw,
        ]
        out.append(SheetLine(code, ", ".join(each for each in told if each), "tag"))
    if draft.step == "where":
        out.append(SheetLine("", mark="line"))
        for n, tray in enumerate(draft.trays):
            inside = tuple(
                code
                for code, basket in zip(draft.parts, draft.baskets, strict=True)
                if basket == n
            )
            out.append(
                SheetLine(
                    say("Tray {tray}", tray=tray),
                    say("{many} in: {list}", many=len(inside), list=listed(inside)),
                )
            )
    return tuple(out)


def _way(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[SheetLine, ...]:
    recipe, variant = bench.recipes[draft.recipe], draft.variant
    try:
        route = build_route(recipe, variant, intake.rule_of(bench, draft))
    except RouteError as error:
        return SheetLine(say("NOT SO"), mark="head"), SheetLine(str(error), tone="stop")
    out = [SheetLine(say("THEIR WAY"), mark="head")]
    steps = _steps_ahead(bench, draft, now)
    takes = {step.key: step.takes_ms for step in steps}
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
        both = say(
            "{low} to {high} µm a surface, {it} to {it2} between two",
            low=low,
            high=high,
            it=2 * low,
            it2=2 * high,
        )
        out.append(SheetLine("", mark="line"))
        out.append(SheetLine(both, tone="attention" if over else "plain"))
        out.append(SheetLine(say("Never on a fitting surface, 0.5 mm off the margin.")))
    return (*out, *_ready(draft, steps, now))


def _steps_ahead(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[Ahead, ...]:
    """Return the way of one part, taken in on a bench that is thrown away."""
    made = intake.tried(bench, draft, now)
    if made is None:
        return ()
    then, code = made
    part = then.parts[code]
    return steps_of(then, part, part.route, now)


def _ready(
    draft: IntakeDraft, steps: tuple[Ahead, ...], now: Instant
) -> tuple[SheetLine, ...]:
    """Return the line that says whether the promise can be kept."""
    if not steps:
        return ()
    ready = now.plus(sum(step.takes_ms for step in steps))
    told = say("begun now, ready {due_words}", due_words=due_words(ready, now))
    late = draft.due is not None and ready.since(draft.due) > 0
    if draft.due is not None:
        told = say(
            "{told}, for {due_words}: {fits}",
            told=told,
            due_words=due_words(draft.due, now),
            fits="misses" if late else "fits",
        )
    return (SheetLine(told, tone="attention" if late else "good"),)


def _options(bench: Bench, draft: IntakeDraft, now: Instant) -> tuple[Option, ...]:
    like: tuple[Option, ...] = ()
    found = batch(bench)
    if draft.step == "what" and found:
        kind = bench.recipe_of(found[-1]).item_class
        told = say("Like the last: {many} × {kind}", many=len(found), kind=kind)
        like = (Option(told, "0", GoTo("like")),)
    if draft.step == "what":
        if not draft.code:
            code = Option(
                say("First code"), "Enter", Gap(FillIn("code"), "value"),
                tone="attention", needs_text=draft.error or NEVER_A_NAME,
            )  # fmt: skip
            return code, *like
        return Option(say("Go on: how"), "Enter", GoTo("how"), tone="attention"), *like
    if draft.step == "how":
        asks = intake.why_asked(bench, draft, now)
        if asks and not draft.reason:
            why = Option(
                say("{asks} Say why", asks=asks),
                "Enter", Gap(FillIn("reason"), "value"),
                tone="attention", needs_text=say("Why? It stays with the part."),
            )  # fmt: skip
            return (why,)
        return (Option(say("Go on: where"), "Enter", GoTo("where"), tone="attention"),)
    many = draft.count > 1
    told = (
        say("Take {count} parts in", count=draft.count)
        if many
        else say("Take {code} in", code=draft.code)
    )
    return (Option(told, "Enter", TakeParts(draft), tone="attention"),)


def _foot(draft: IntakeDraft) -> str:
    if draft.step == "where":
        return say(
            "Left and right turn the framed row. A tray is kept until it is closed."
        )
    return say(
        "Left and right turn the framed row; a digit frames it, or asks for words."
    )
