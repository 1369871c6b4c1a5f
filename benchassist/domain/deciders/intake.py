"""The store, the library, equipment, and taking parts in."""

from __future__ import annotations

from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import find
from benchassist.domain.deciders.limits import limit_amiss
from benchassist.domain.deciders.lots import printed_amiss, printed_late, unfit_lot
from benchassist.domain.deciders.table import decides
from benchassist.domain.events import ShelfKind
from benchassist.domain.gates import example_data
from benchassist.domain.ledger import bounds
from benchassist.domain.library import (
    Box,
    CountRule,
    Lamp,
    Material,
    Recipe,
    Variant,
    Vessel,
)
from benchassist.domain.limits import LIMITS, OWN_TIME
from benchassist.domain.outcome import Decision, Refusal
from benchassist.domain.route import RouteError, build_route
from benchassist.domain.shelf import absent, fitting, offered
from benchassist.domain.stages import STAGES
from benchassist.domain.state import BODY, Bench, Closed, Part, Walking
from benchassist.domain.trays import first_free, lies_in
from benchassist.domain.words import listed
from benchassist.value import replace

WHY = Refusal("no-reason", "Say who decides this, and why.")
BITE_AGAIN = "bite again"  # every coat raises it
EXAMPLE = "EX-"  # what every invented code begins with
LONGEST_TACK_S = 3600  # [s] nobody holds a lamp for longer


@decides(cm.CreateStore)
def create_store(bench: Bench, command: cm.CreateStore, now: Instant) -> Decision:
    """Begin a journal: its kind first, then every limit with its source."""
    if bench.store is not None:
        return Refusal("store-exists", "This journal already has its kind.")
    created = ev.StoreCreated(
        command.kind, command.store_id, command.station, command.zone
    )
    limits = (
        ev.LimitSet(limit.code, limit.default, limit.unit, limit.source)
        for limit in LIMITS.values()
    )
    return (created, *limits)


@decides(cm.ContinueStore)
def continue_store(bench: Bench, command: cm.ContinueStore, now: Instant) -> Decision:
    """Say in a new store which damaged one it goes on from, and why."""
    if not command.reason.strip():
        return WHY
    return (
        ev.StoreContinued(
            command.store,
            command.first,
            command.seq,
            command.hash,
            command.folder,
            command.reason.strip(),
        ),
    )


@decides(cm.AcceptDamage)
def accept_damage(bench: Bench, command: cm.AcceptDamage, now: Instant) -> Decision:
    """Put on record that the owner saw what is damaged and goes on."""
    if not command.reason.strip():
        return WHY
    return (
        ev.DamageAccepted(
            command.entries, command.findings, command.aside, command.reason.strip()
        ),
    )


@decides(cm.FileLibrary)
def file_library(bench: Bench, command: cm.FileLibrary, now: Instant) -> Decision:
    """File a library: all of it, or nothing and the first thing amiss."""
    refusal = (
        _example_amiss(bench, command)
        or _codes_amiss(bench, command)
        or _amiss(bench, command)
    )
    if refusal:
        return refusal
    return (
        *(ev.CurveFiled(each) for each in command.curves),
        *(ev.MaterialDefined(each) for each in command.materials),
        *(ev.LotReceived(each) for each in command.lots),
        *(ev.LampDefined(each) for each in command.lamps),
        *(ev.BoxDefined(each) for each in command.boxes),
        *(ev.VesselDefined(each) for each in command.vessels),
        *(ev.RecipeDefined(each) for each in command.recipes),
        *(ev.LampReadingTaken(*each) for each in command.readings),
        *(ev.GlycerineFilled(*each) for each in command.fills),
        *(
            ev.CouponFinished(
                replace(coupon, id=f"T-{bench.coupons_begun + n}"), day or now.day()
            )
            for n, (coupon, day) in enumerate(command.coupons, start=1)
        ),
        *(
            ev.LimitSet(code, value, LIMITS[code].unit, "the practice", reason)
            for code, value, reason in command.limits
        ),
    )


def _example_amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    """Return why an invented thing is not filed among real ones."""
    if bench.store is None or bench.store.kind != "real":
        return None
    marked: tuple[Material | Lamp | Box | Vessel | Recipe, ...] = (
        *command.materials,
        *command.lamps,
        *command.boxes,
        *command.vessels,
        *command.recipes,
    )
    named = (each.code for each in (*marked, *command.lots))
    found = (
        *(each.code for each in marked if each.example),
        *(code for code in named if code.upper().startswith(EXAMPLE)),
    )
    if not found:
        return None
    return Refusal(
        "example-data",
        f"{found[0]} is an invented example: a real bench takes none.",
        (),
        "Look at examples with --demo or --training; file your own here.",
    )


def _codes_amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    """Return why a code in the library cannot stand in the record."""
    things: tuple[Material | Lamp | Box | Vessel | Recipe, ...] = (
        *command.materials,
        *command.lamps,
        *command.boxes,
        *command.vessels,
        *command.recipes,
    )
    named: tuple[tuple[codes.CodeKind, str], ...] = (
        *(("equipment", each.code) for each in things),
        *(("lot", each.code) for each in command.lots),
    )
    wrong = (codes.amiss(bench, kind, code) for kind, code in named)
    return next((each for each in wrong if each), None)


def _amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    known = set(bench.materials) | {each.code for each in command.materials}
    lots = bench.lots | {each.code: each for each in command.lots}
    for lot in command.lots:
        if lot.material not in known:
            return _missing(f"lot {lot.code}", "material", lot.material)
        for parent, _ in lot.parents:
            if parent not in lots:
                return _missing(f"lot {lot.code}", "parent lot", parent)
    mixed = {lot.code: [parent for parent, _ in lot.parents] for lot in lots.values()}
    try:
        TopologicalSorter(mixed).prepare()
    except CycleError as error:
        return Refusal("library", f"lot {error.args[1][0]} is mixed from itself.")
    return (
        _curve_amiss(bench, command)
        or _recipe_amiss(bench, command, known)
        or _setting_amiss(bench, command, known)
    )


def _curve_amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    curves = set(bench.curves) | {each.digest for each in command.curves}
    lit: tuple[Lamp | Box | Vessel, ...] = (
        *command.lamps,
        *command.boxes,
        *command.vessels,
    )
    for each in lit:
        if each.curve and each.curve not in curves:
            return _missing(each.code, "curve", each.curve)
    return None


def _recipe_amiss(
    bench: Bench, command: cm.FileLibrary, known: set[str]
) -> Refusal | None:
    for recipe in command.recipes:
        if recipe.material not in known:
            return _missing(f"recipe {recipe.id}", "material", recipe.material)
        old = bench.recipes.get(recipe.id)
        if old is not None and old != recipe:
            return Refusal(
                "recipe-pinned",
                f"{recipe.id} is already on file with other values; "
                "give the changed recipe a higher revision.",
            )
    return None


def _setting_amiss(
    bench: Bench, command: cm.FileLibrary, known: set[str]
) -> Refusal | None:
    lamps = set(bench.lamps) | {each.code for each in command.lamps}
    vessels = set(bench.vessels) | {each.code for each in command.vessels}
    boxes = set(bench.boxes) | {each.code for each in command.boxes}
    for what, kind, code, on_file in (
        *(("a reading", "lamp", lamp, lamps) for lamp, _ in command.readings),
        *(
            ("a coupon", kind, code, on_file)
            for each, _ in command.coupons
            for kind, code, on_file in (
                ("lamp", each.lamp, lamps),
                ("material", each.material, known),
                ("box", each.box, boxes),
                ("vessel", each.vessel, vessels),
            )
        ),
        *(("a fill", "vessel", vessel, vessels) for vessel, _, _ in command.fills),
    ):
        if code not in on_file:
            return _missing(what, kind, code)
    fast = bench.store is not None and bench.store.kind == "training"
    for code, wanted, _ in command.limits:
        # What hands and machine take stays their own time on a clock that runs fast.
        refusal = None if fast and code in OWN_TIME else limit_amiss(code, wanted)
        if refusal:
            return refusal
    return None


def _missing(what: str, kind: str, code: str) -> Refusal:
    return Refusal("library", f"{what} names {kind} “{code}”, which is not on file.")


@decides(cm.TakeIn)
def take_in(bench: Bench, command: cm.TakeIn, now: Instant) -> Decision:
    """Take a part in, with its recipe revision pinned and its route built."""
    code = command.part.strip()
    printed = command.printed.strip() or now.day()
    refusal = _unfit(bench, command, code, now) or printed_amiss(printed, now)
    if refusal:
        return refusal
    recipe = bench.recipes[command.recipe]
    variant = command.variant or recipe.usual_variant
    box = bench.boxes.get(command.box)
    if box is not None and box.unit != recipe.unit:
        return _other_unit(recipe, box)
    try:
        route = build_route(recipe, variant, box.rule if box else CountRule())
    except RouteError as error:
        return Refusal("route", str(error))
    taken = ev.PartTaken(
        part=code,
        recipe=recipe.id,
        variant=variant,
        route=route,
        print_lot=command.print_lot,
        coat_lot=command.coat_lot,
        stain_lot=command.stain_lot,
        lamp=command.lamp,
        box=command.box,
        vessel=command.vessel,
        peg=command.peg,
        due=command.due,
        before=_before(bench, command, recipe),
        tray=command.tray or first_free(bench),
        jaw=command.jaw,
        tooth=command.tooth.strip(),
        prescriber=command.prescriber.strip(),
        shade=command.shade.strip(),
        reason=command.reason.strip(),
        printed=printed,
    )
    owes: tuple[ev.Event, ...] = printed_late(bench, code, command.print_lot, printed)
    if variant.back_from_mouth:
        again = ev.CheckAdded(code, BITE_AGAIN, "back from a mouth, coated again")
        owes = (again, *owes)
    chosen = ev.PartChosen(code)
    first = route[0]
    if STAGES[first.kind].mode != "dry":
        return taken, *owes, chosen
    # Nothing is washed here: the clock of drying runs from the moment of intake.
    return (
        taken,
        *owes,
        chosen,
        ev.StageStarted(first.key, first.kind, (code,), by_itself=True),
    )


def used_before(bench: Bench, command: cm.TakeIn, closed: str) -> Refusal | None:
    """Return why a code is not taken in again, though the bench has forgotten it.

    ``closed`` is the day on which the record says that a part of this code was
    closed, "" for none. A part that comes back from a mouth keeps its code.
    """
    code = command.part.strip()
    back = command.variant is not None and command.variant.back_from_mouth
    if not closed or code in bench.parts or back:
        return None
    return Refusal(
        "code-used",
        f"{code} is the code of a part that was closed on {closed}.",
        remedy="Give this part a code of its own; or choose “back from the mouth”.",
    )


def _before(
    bench: Bench, command: cm.TakeIn, recipe: Recipe
) -> tuple[tuple[str, int, int], ...]:
    """Return what each side's body had before: as kept here, or as told."""
    old = bench.parts.get(command.part.strip())
    if old is not None:
        return tuple(
            (side, *bounds(old, layer=BODY, side=side)) for side in recipe.sides
        )
    told = command.before
    return tuple((side, told, told) for side in recipe.sides) if told else ()


def _comes_back(bench: Bench, command: cm.TakeIn, code: str) -> bool:
    """Return whether a released part comes back under its own code."""
    phase = bench.parts[code].phase
    back = command.variant is not None and command.variant.back_from_mouth
    return back and isinstance(phase, Closed) and phase.how == "released"


def _unfit(bench: Bench, command: cm.TakeIn, code: str, now: Instant) -> Refusal | None:
    if not code:
        return Refusal("no-code", "Give the part a code, never a name.")
    if command.before < 0:
        return Refusal("before", "What it had before cannot be below 0.")
    like = next(
        (each for each in bench.parts if each.casefold() == code.casefold()), ""
    )
    if like and not (like == code and _comes_back(bench, command, code)):
        # Two codes that differ in capitals alone are one on a label and in a mouth.
        return Refusal("code-taken", f"{like} is already on this bench.")
    year = now.local().year
    return (
        (codes.amiss(bench, "part", code, year=year))
        or _slip_amiss(bench, command, year)
        or _tray_amiss(bench, command.tray)
        or _not_on_file(bench, command)
        or _departs(bench, command, now)
    )


def _slip_amiss(bench: Bench, command: cm.TakeIn, year: int) -> Refusal | None:
    """Return why what the slip says cannot be kept so."""
    who = command.prescriber.strip()
    if who and (wrong := codes.amiss(bench, "prescriber", who, year=year)):
        return wrong
    tooth = command.tooth.strip()
    if tooth and not codes.is_short(tooth):
        return Refusal("tooth", "Write the tooth as its two digits, such as 12.")
    return None


def _not_on_file(bench: Bench, command: cm.TakeIn) -> Refusal | None:
    if command.recipe not in bench.recipes:
        return Refusal("no-recipe", f"Recipe “{command.recipe}” is not on file.")
    recipe = bench.recipes[command.recipe]
    named: tuple[tuple[ShelfKind, str], ...] = (
        ("recipe", recipe.code),
        ("lamp", command.lamp),
        ("box", command.box),
        ("vessel", command.vessel),
    )
    for kind, found in named:
        if found and (missing := absent(bench, kind, found)):
            return missing
    verdict = example_data.judge(bench, recipe, ())
    if verdict.level == "fail":
        return Refusal("example-data", verdict.sentence, (), verdict.remedy)
    for role, lot in (
        ("print", command.print_lot),
        ("coat", command.coat_lot),
        ("stain", command.stain_lot),
    ):
        if lot and (wrong := unfit_lot(bench, recipe, role, lot)):  # type: ignore[arg-type]
            return wrong
    return None


def _departs(bench: Bench, command: cm.TakeIn, now: Instant) -> Refusal | None:
    """Return what departs from the recipe or is left open without a reason."""
    if command.reason.strip():
        return None
    recipe = bench.recipes[command.recipe]
    variant = command.variant or recipe.usual_variant
    told = more_layers(recipe, variant)
    if told:
        return Refusal(
            "more-layers", told, (), "Say why; the reason stays with the part."
        )
    for role, missing, choices in gaps(bench, command, now):
        remedy = f"Choose {listed(choices)}" if choices else f"None fits: file a {role}"
        return Refusal(
            "gap", f"{missing}.", (), f"{remedy}, or say why it is left open."
        )
    return None


def more_layers(recipe: Recipe, variant: Variant) -> str:
    """Return in words what a variant lays on beyond its recipe, or nothing."""
    if variant.back_from_mouth:
        return ""  # what is laid then is asked by the mouth, not by the recipe
    for what, asked, says in (
        ("coat", variant.coats, recipe.coats),
        ("stain pass", variant.stain_passes, recipe.stain_passes),
    ):
        if variant.finish == "coat" and asked > says:
            return f"{recipe.id} says {says} {what}: {asked} were asked for."
    return ""


def gaps(
    bench: Bench, command: cm.TakeIn, now: Instant
) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield what an intake leaves open that its route needs: role, words, choices."""
    recipe = bench.recipes[command.recipe]
    variant = command.variant or recipe.usual_variant
    coated = variant.finish == "coat" and variant.coats > 0
    if not command.print_lot and not variant.back_from_mouth:
        yield (
            "print lot",
            "No print lot is chosen",
            fitting(bench, recipe, "print", now, command.printed),
        )
    if coated and not command.coat_lot:
        yield "coat lot", "No coat lot is chosen", fitting(bench, recipe, "coat", now)
    if coated and variant.stain_passes and not command.stain_lot:
        stains = fitting(bench, recipe, "stain", now)
        yield "stain lot", "No stain lot is chosen", stains
    if coated and not command.lamp:
        yield "lamp", "No lamp is chosen", offered(bench, "lamp")
    if not command.box:
        yield "box", "No curing box is chosen", offered(bench, "box")
    under = variant.finish != "none" and variant.cover == "glycerine"
    if under and not command.vessel:
        yield "vessel", "No vessel is chosen", offered(bench, "vessel")


def _tray_amiss(bench: Bench, tray: int) -> Refusal | None:
    if tray < 0:
        return Refusal("tray", "Trays count from 1.")
    taken = lies_in(bench, tray)
    if not taken:
        return None
    return Refusal(
        "tray",
        f"Tray {tray} holds {listed(taken)}.",
        (("tray", tray),),
        f"Tray {first_free(bench)} is free.",
    )


@decides(cm.ChoosePart)
def choose(bench: Bench, command: cm.ChoosePart, now: Instant) -> Decision:
    """Bring a part to the front."""
    part = find(bench, command.part)
    if isinstance(part, Refusal):
        return part
    return () if bench.focus == part.code else (ev.PartChosen(part.code),)


@decides(cm.ChooseEquipment)
def choose_equipment(
    bench: Bench, command: cm.ChooseEquipment, now: Instant
) -> Decision:
    """Use another lamp, box or vessel for a part."""
    part = find(bench, command.part)
    if isinstance(part, Refusal):
        return part
    missing = absent(bench, command.role, command.code)
    if missing:
        return missing
    if command.role == "lamp" and isinstance(part.phase, Walking):
        return Refusal(
            "lit",
            f"{part.phase.lamp} is at work on {part.code}.",
            (),
            "Pause the walk first; the spot then starts whole.",
            part=part.code,
        )
    if command.role == "vessel" and part.immersed_in:
        return Refusal("immersed", f"{part.code} lies in {part.immersed_in} already.")
    if command.role == "box":
        unlike = _unlike_box(bench, part, bench.boxes[command.code])
        if unlike:
            return unlike
    return (ev.EquipmentChosen(part.code, command.role, command.code),)


def _unlike_box(bench: Bench, part: Part, box: Box) -> Refusal | None:
    recipe = bench.recipe_of(part)
    if box.unit != recipe.unit:
        return _other_unit(recipe, box)
    try:
        route = build_route(recipe, part.variant, box.rule)
    except RouteError:
        route = ()
    runs = {(stage.half, stage.side): stage.runs for stage in route}
    ahead = [stage for stage in part.route[part.at :] if stage.kind == "box"]
    if all(runs.get((stage.half, stage.side)) == stage.runs for stage in ahead):
        return None
    return Refusal(
        "box-differs",
        f"{box.code} cannot be set to the counts that {part.code} was planned for.",
        (),
        "Use a box that can, or take the part in anew for this one.",
        part=part.code,
    )


def _other_unit(recipe: Recipe, box: Box) -> Refusal:
    return Refusal(
        "unit", f"{recipe.id} counts {recipe.unit}, but {box.code} counts {box.unit}."
    )


@decides(cm.ReadLamp)
def read_lamp(bench: Bench, command: cm.ReadLamp, now: Instant) -> Decision:
    """Enter a lamp reading."""
    if command.lamp not in bench.lamps:
        return Refusal("no-equipment", f"The lamp “{command.lamp}” is not on file.")
    if not 0 < command.reading < 1e6:  # noqa: PLR2004 - beyond any meter's scale
        return Refusal("reading", "The reading must be a number above 0.")
    return (ev.LampReadingTaken(command.lamp, command.reading),)


@decides(cm.RecordCoupon)
def record_coupon(bench: Bench, command: cm.RecordCoupon, now: Instant) -> Decision:
    """Enter the result of a coupon."""
    if command.lamp not in bench.lamps or command.material not in bench.materials:
        return Refusal("no-equipment", "The coupon names a lamp or material unknown.")
    if not 0 <= command.tack_s <= LONGEST_TACK_S:
        return Refusal("tack", f"No tack lasts {command.tack_s:g} s; type seconds.")
    if command.passed and command.how:
        return Refusal("coupon", "A coupon that passed did not fail in any way.")
    return (
        ev.CouponRecorded(
            command.lamp,
            command.material,
            command.passed,
            float(command.tack_s),
            command.how,
        ),
    )


@decides(cm.FillGlycerine)
def fill(bench: Bench, command: cm.FillGlycerine, now: Instant) -> Decision:
    """Empty a vessel and fill it anew."""
    if command.vessel not in bench.vessels:
        return Refusal("no-equipment", f"Vessel “{command.vessel}” is not on file.")
    if not command.lot.strip():
        return Refusal("no-lot", "Type the lot of the fresh glycerine.")
    wrong = codes.amiss(bench, "lot", command.lot.strip())
    if wrong:
        return wrong
    inside = [
        part.code for part in bench.in_flight if part.immersed_in == command.vessel
    ]
    if inside:
        return Refusal("immersed", f"{', '.join(inside)} still lies in it.")
    return (ev.GlycerineFilled(command.vessel, command.lot.strip()),)
