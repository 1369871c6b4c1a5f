"""The store, and what is filed in it: the library as a whole."""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.limits import limit_amiss
from benchassist.domain.deciders.table import decides
from benchassist.domain.library import Box, Lamp, Material, Recipe, Vessel
from benchassist.domain.limits import LIMITS, OWN_TIME
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.state import Bench
from benchassist.value import replace

WHY = Refusal("no-reason", "Say who decides this, and why.")
EXAMPLE = "EX-"  # what every invented code begins with


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
        *((command.carried,) if command.carried else ()),
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
def file_library(
    bench: Bench, command: cm.FileLibrary, now: Instant
) -> tuple[ev.Event, ...] | Refusal:
    """File a library: all of it, or nothing and the first thing amiss."""
    granted(
        _example_amiss(bench, command)
        or _codes_amiss(bench, command)
        or _amiss(bench, command)
    )
    return (
        *(ev.CurveFiled(each) for each in command.curves),
        *(ev.MaterialDefined(each) for each in command.materials),
        *(ev.LotReceived(each) for each in command.lots),
        *(ev.LampDefined(each) for each in command.lamps),
        *(ev.BoxDefined(each) for each in command.boxes),
        *(ev.VesselDefined(each) for each in command.vessels),
        *(ev.MeterDefined(each) for each in command.meters),
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


def _things(
    command: cm.FileLibrary,
) -> tuple[Material | Lamp | Box | Vessel | Recipe, ...]:
    return (
        *command.materials,
        *command.lamps,
        *command.boxes,
        *command.vessels,
        *command.recipes,
    )


def _example_amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    """Return why an invented thing is not filed among real ones."""
    if bench.store is None or bench.store.kind != "real":
        return None
    marked = _things(command)
    named = (each.code for each in (*marked, *command.meters, *command.lots))
    found = (
        *(each.code for each in marked if each.example),
        *(code for code in named if code.upper().startswith(EXAMPLE)),
    )
    if not found:
        return None
    return Refusal(
        "example-data",
        f"{found[0]} is an invented example: a real bench takes none.",
        remedy="Look at examples with --demo or --training; file your own here.",
    )


def _codes_amiss(bench: Bench, command: cm.FileLibrary) -> Refusal | None:
    """Return why a code in the library cannot stand in the record."""
    named: tuple[tuple[codes.CodeKind, str], ...] = (
        *(("equipment", each.code) for each in (*_things(command), *command.meters)),
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
        if not (fast and code in OWN_TIME):
            granted(limit_amiss(code, wanted))
    return None


def _missing(what: str, kind: str, code: str) -> Refusal:
    return Refusal("library", f"{what} names {kind} “{code}”, which is not on file.")
