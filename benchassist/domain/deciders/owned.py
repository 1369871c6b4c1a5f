"""The shelf by hand: things entered, changed, read by other eyes, retired."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.filing import file_library
from benchassist.domain.deciders.table import decides
from benchassist.domain.library import (
    Box,
    Lamp,
    Material,
    Meter,
    Recipe,
    Vessel,
)
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.shelf import WHERE, revisions
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import listed
from benchassist.value import replace

Thing = Material | Recipe | Lamp | Box | Vessel | Meter
KINDS: dict[type[Thing], ev.ShelfKind] = {
    Material: "material",
    Recipe: "recipe",
    Lamp: "lamp",
    Box: "box",
    Vessel: "vessel",
    Meter: "meter",
}


@decides(cm.FileThing)
def file_thing(bench: Bench, command: cm.FileThing, now: Instant) -> Decision:
    """Enter or change one thing, by the rules of a whole library."""
    thing, reason = command.thing, command.reason.strip()
    kind = KINDS[type(thing)]
    if isinstance(thing, Recipe):
        thing = _next(bench, thing)
    old = on_file(bench, kind, thing.code)
    if _same(old, thing):
        return Refusal("unchanged", f"{thing.code} is on file exactly so already.")
    if old is not None and not reason:
        return Refusal("no-reason", f"Reason: say why {thing.code} changes.")
    if isinstance(old, Box) and isinstance(thing, Box) and old.unit != thing.unit:
        return Refusal(
            "unit",
            f"{old.code} counts {old.unit}: what was credited is in that unit.",
            remedy="Enter the other box under a code of its own, and retire this one.",
        )
    library = replace(cm.FileLibrary(), **{WHERE[kind]: (thing,)})
    filed = granted(file_library(bench, library, now))
    return tuple(replace(each, reason=reason) for each in filed)


def _next(bench: Bench, recipe: Recipe) -> Recipe:
    """Return a recipe under the revision that comes next."""
    newest = max(
        (each.revision for each in revisions(bench, recipe.code)),
        default=0,
    )
    return replace(recipe, revision=newest + 1)


def _same(old: Thing | None, new: Thing) -> bool:
    if isinstance(old, Recipe) and isinstance(new, Recipe):
        return old == replace(new, revision=old.revision)
    return old == new


def on_file(bench: Bench, kind: ev.ShelfKind, code: str) -> Thing | None:
    """Return a thing as it is on file, of a recipe its newest revision."""
    if kind == "recipe":
        found = revisions(bench, code)
        return found[-1] if found else None
    things: dict[str, Thing] = getattr(bench, WHERE[kind])
    return things.get(code) if kind in KINDS.values() else None


@decides(cm.CheckThing)
def check_thing(bench: Bench, command: cm.CheckThing, now: Instant) -> Decision:
    """Note a second pair of eyes; whoever entered it is not one."""
    filed = bench.filed.get((command.kind, command.code))
    if filed is None:
        return Refusal(
            "no-thing", f"The {command.kind} “{command.code}” is not on file."
        )
    if filed.by == bench.operator:
        return Refusal(
            "same-eyes",
            f"{bench.operator} entered {command.code}: a check wants other eyes.",
            remedy="Let another operator take the station (O), read it, and check it.",
        )
    return (ev.ThingChecked(command.kind, command.code),)


@decides(cm.RetireThing)
def retire(bench: Bench, command: cm.RetireThing, now: Instant) -> Decision:
    """Take a thing from what is offered; never from under a part that needs it."""
    kind, code, reason = command.kind, command.code, command.reason.strip()
    if (kind, code) in bench.retired:
        day = bench.retired[kind, code]
        return Refusal("retired", f"{code} was retired on {day} already.")
    bath = kind == "bath" and code in bench.baths
    if not (bath or kind == "operator" or on_file(bench, kind, code)):
        return Refusal("no-thing", f"The {kind} “{code}” is not on file.")
    if not reason:
        return Refusal("no-reason", f"Reason: say why {code} is used no more.")
    return _needed(bench, kind, code) or (ev.ThingRetired(kind, code, reason),)


def _needed(bench: Bench, kind: ev.ShelfKind, code: str) -> Refusal | None:
    """Return what still needs a thing, if anything does."""
    if kind == "operator":
        holds = code == bench.operator
        told = f"{code} works here now: let another take the station first, key O."
        return Refusal("in-use", told) if holds else None
    if kind == "material":
        lots = tuple(
            lot.code
            for lot in bench.lots.values()
            if lot.material == code and lot.code not in bench.closed_lots
        )
        told = f"{listed(lots)} of {code} still on the shelf: put away first, key L."
        return Refusal("in-use", told) if lots else None
    parts = tuple(part.code for part in bench.in_flight if _has(part, kind, code))
    if not parts:
        return None
    told = f"{listed(parts)} in work with {code}."
    return Refusal("in-use", told, remedy="Give those parts another one first, key C.")


def _has(part: Part, kind: ev.ShelfKind, code: str) -> bool:
    # A part keeps the recipe revision that it was taken in by.
    planned = {"lamp": part.lamp, "box": part.box, "vessel": part.vessel}
    return planned.get(kind) == code or (kind == "vessel" and part.immersed_in == code)
