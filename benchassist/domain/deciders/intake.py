"""The store, the library, equipment, and taking parts in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import find
from benchassist.domain.deciders.table import decides
from benchassist.domain.gates import example_data
from benchassist.domain.library import CountRule
from benchassist.domain.limits import LIMITS
from benchassist.domain.outcome import Decision, Refusal
from benchassist.domain.route import RouteError, build_route
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Ready

if TYPE_CHECKING:
    from benchassist.clock import Instant


@decides(cm.CreateStore)
def create_store(bench: Bench, command: cm.CreateStore, now: Instant) -> Decision:
    """Begin a journal: its kind first, then every limit with its source."""
    del now
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


@decides(cm.FileLibrary)
def file_library(bench: Bench, command: cm.FileLibrary, now: Instant) -> Decision:
    """File a library: all of it, or nothing and the first thing amiss."""
    del now
    refusal = _amiss(bench, command)
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
        *(ev.CouponRecorded(*each) for each in command.coupons),
        *(
            ev.LimitSet(code, value, LIMITS[code].unit, "the practice", reason)
            for code, value, reason in command.limits
        ),
    )


def _amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    known = set(bench.materials) | {each.code for each in command.materials}
    lots = set(bench.lots) | {each.code for each in command.lots}
    for lot in command.lots:
        if lot.material not in known:
            return _missing(f"lot {lot.code}", "material", lot.material)
        for parent, _ in lot.parents:
            if parent not in lots:
                return _missing(f"lot {lot.code}", "parent lot", parent)
    return _recipe_amiss(bench, command, known) or _setting_amiss(bench, command)


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


def _setting_amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    lamps = set(bench.lamps) | {each.code for each in command.lamps}
    for lamp, _ in command.readings:
        if lamp not in lamps:
            return _missing("a reading", "lamp", lamp)
    for code, _, _ in command.limits:
        if code not in LIMITS:
            return Refusal("no-such-limit", f"There is no limit called “{code}”.")
    return None


def _missing(what: str, kind: str, code: str) -> Refusal:
    return Refusal("library", f"{what} names {kind} “{code}”, which is not on file.")


@decides(cm.ClaimStation)
def claim(bench: Bench, command: cm.ClaimStation, now: Instant) -> Decision:
    """Take the station."""
    del bench, now
    if not command.who.strip():
        return Refusal("no-operator", "Type an operator code first, such as OP-1.")
    return (ev.OperatorClaimed(command.who.strip()),)


@decides(cm.TakeIn)
def take_in(bench: Bench, command: cm.TakeIn, now: Instant) -> Decision:
    """Take a part in, with its recipe revision pinned and its route built."""
    del now
    code = command.part.strip()
    refusal = _unfit(bench, command, code)
    if refusal:
        return refusal
    recipe = bench.recipes[command.recipe]
    variant = command.variant or recipe.usual_variant
    box = bench.boxes.get(command.box)
    if box is not None and box.unit != recipe.unit:
        return Refusal(
            "unit",
            f"{recipe.id} counts {recipe.unit}, but {box.code} counts {box.unit}.",
        )
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
    )
    chosen = ev.PartChosen(code)
    first = route[0]
    if STAGES[first.kind].mode != "dry":
        return taken, chosen
    # Nothing is washed here: the clock of drying runs from the moment of intake.
    return (
        taken,
        chosen,
        ev.StageStarted(first.key, first.kind, (code,), by_itself=True),
    )


def _unfit(bench: Bench, command: cm.TakeIn, code: str) -> Refusal | None:
    if not code:
        return Refusal("no-code", "Give the part a code, never a name.")
    if code in bench.parts:
        return Refusal("code-taken", f"{code} is already on this bench.")
    if command.recipe not in bench.recipes:
        return Refusal("no-recipe", f"Recipe “{command.recipe}” is not on file.")
    for role, lot in (
        ("print", command.print_lot),
        ("coat", command.coat_lot),
        ("stain", command.stain_lot),
    ):
        if lot and lot not in bench.lots:
            return Refusal("no-lot", f"The {role} lot “{lot}” is not on file.")
    for found, kind, on_file in (
        (command.lamp, "lamp", bench.lamps.keys()),
        (command.box, "box", bench.boxes.keys()),
        (command.vessel, "vessel", bench.vessels.keys()),
    ):
        if found and found not in on_file:
            return Refusal("no-equipment", f"The {kind} “{found}” is not on file.")
    lots = (command.print_lot, command.coat_lot, command.stain_lot)
    verdict = example_data.judge(bench, bench.recipes[command.recipe], lots)
    if verdict.level == "fail":
        return Refusal("example-data", verdict.sentence, (), verdict.remedy)
    return None


@decides(cm.ChoosePart)
def choose(bench: Bench, command: cm.ChoosePart, now: Instant) -> Decision:
    """Bring a part to the front."""
    del now
    part = find(bench, command.part)
    if isinstance(part, Refusal):
        return part
    return () if bench.focus == part.code else (ev.PartChosen(part.code),)


@decides(cm.FormBasket)
def form_basket(bench: Bench, command: cm.FormBasket, now: Instant) -> Decision:
    """Put parts together that stand ready at the same stage."""
    del now
    codes = tuple(dict.fromkeys(command.parts))
    if len(codes) < 2:  # noqa: PLR2004 - a basket is more than one
        return Refusal("basket", "A basket needs two parts or more.")
    stages = set()
    for code in codes:
        part = find(bench, code)
        if isinstance(part, Refusal):
            return part
        if not isinstance(part.phase, Ready):
            return Refusal("basket", f"{code} is busy; put it in when it is ready.")
        stages.add((part.stage.key, part.stage.min_s, part.stage.max_s))
    if len(stages) > 1:
        return Refusal("basket", "These parts are not at one and the same stage.")
    return (ev.BasketFormed(f"B-{bench.baskets_formed + 1}", codes),)


@decides(cm.ChooseEquipment)
def choose_equipment(
    bench: Bench, command: cm.ChooseEquipment, now: Instant
) -> Decision:
    """Use another lamp, box or vessel for a part."""
    del now
    part = find(bench, command.part)
    if isinstance(part, Refusal):
        return part
    on_file = {
        "lamp": bench.lamps.keys(),
        "box": bench.boxes.keys(),
        "vessel": bench.vessels.keys(),
    }
    if command.code not in on_file[command.role]:
        return Refusal(
            "no-equipment", f"The {command.role} “{command.code}” is not on file."
        )
    if command.role == "vessel" and part.immersed_in:
        return Refusal("immersed", f"{part.code} lies in {part.immersed_in} already.")
    if command.role == "box":
        unlike = _unlike_box(bench, part.box, command.code)
        if unlike:
            return unlike
    return (ev.EquipmentChosen(part.code, command.role, command.code),)


def _unlike_box(bench: Bench, old: str, new: str) -> Refusal | None:
    before, after = bench.boxes.get(old), bench.boxes[new]
    if before and (before.rule != after.rule or before.unit != after.unit):
        return Refusal(
            "box-differs",
            f"{new} is set in other counts than {old}; the part's plan was made "
            f"for {old}.",
        )
    return None


@decides(cm.ChooseLot)
def choose_lot(bench: Bench, command: cm.ChooseLot, now: Instant) -> Decision:
    """Use another lot for a part."""
    del now
    part = find(bench, command.part)
    if isinstance(part, Refusal):
        return part
    if command.lot not in bench.lots:
        return Refusal("no-lot", f"The lot “{command.lot}” is not on file.")
    verdict = example_data.judge(bench, bench.recipe_of(part), (command.lot,))
    if verdict.level == "fail":
        return Refusal("example-data", verdict.sentence, (), verdict.remedy)
    return (ev.LotChosen(part.code, command.role, command.lot),)


@decides(cm.SetLimit)
def set_limit(bench: Bench, command: cm.SetLimit, now: Instant) -> Decision:
    """Set a limit, where the practice may, with its reason."""
    del bench, now
    found = LIMITS.get(command.code)
    if found is None:
        return Refusal("no-such-limit", f"There is no limit called “{command.code}”.")
    if not command.reason.strip():
        return Refusal("no-reason", f"Say why “{found.title}” is changed.")
    loosens = (found.tighten == "down" and command.value > found.default) or (
        found.tighten == "up" and command.value < found.default
    )
    if loosens or command.value < 0:
        return Refusal(
            "limit-loosened",
            f"“{found.title}” may not be set to {command.value:g} {found.unit}: "
            f"the default is {found.default:g} and may only be made stricter.",
        )
    return (
        ev.LimitSet(
            command.code, command.value, found.unit, "the practice", command.reason
        ),
    )


@decides(cm.ReadLamp)
def read_lamp(bench: Bench, command: cm.ReadLamp, now: Instant) -> Decision:
    """Enter a lamp reading."""
    del now
    if command.lamp not in bench.lamps:
        return Refusal("no-equipment", f"The lamp “{command.lamp}” is not on file.")
    if not 0 < command.reading < 1e6:  # noqa: PLR2004 - beyond any meter's scale
        return Refusal("reading", "The reading must be a number above 0.")
    return (ev.LampReadingTaken(command.lamp, command.reading),)


@decides(cm.RecordCoupon)
def record_coupon(bench: Bench, command: cm.RecordCoupon, now: Instant) -> Decision:
    """Enter the result of a coupon."""
    del now
    if command.lamp not in bench.lamps or command.material not in bench.materials:
        return Refusal("no-equipment", "The coupon names a lamp or material unknown.")
    return (ev.CouponRecorded(command.lamp, command.material, command.passed),)


@decides(cm.FillGlycerine)
def fill(bench: Bench, command: cm.FillGlycerine, now: Instant) -> Decision:
    """Empty a vessel and fill it anew."""
    del now
    if command.vessel not in bench.vessels:
        return Refusal("no-equipment", f"Vessel “{command.vessel}” is not on file.")
    if not command.lot.strip():
        return Refusal("no-lot", "Type the lot of the fresh glycerine.")
    inside = [
        part.code for part in bench.in_flight if part.immersed_in == command.vessel
    ]
    if inside:
        return Refusal("immersed", f"{', '.join(inside)} still lies in it.")
    return (ev.GlycerineFilled(command.vessel, command.lot.strip()),)
