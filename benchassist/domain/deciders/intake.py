"""Taking parts in."""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.clock import Instant
from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import drying, find
from benchassist.domain.deciders.equipment import needs_shelf
from benchassist.domain.deciders.lots import (
    lots_of,
    printed_amiss,
    printed_late,
    unfit_lot,
)
from benchassist.domain.deciders.table import decides
from benchassist.domain.gates import example_data
from benchassist.domain.ledger import bounds
from benchassist.domain.library import CountRule, Recipe, Variant
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.route import RouteError, build_route
from benchassist.domain.shelf import absent, fitting, offered, other_unit
from benchassist.domain.state import BODY, Bench, Closed
from benchassist.domain.trays import first_free, lies_in
from benchassist.domain.words import listed
from benchassist.value import shared

TYPED = ("tooth", "prescriber", "shade", "reason")
BITE_AGAIN = "bite again"  # every coat raises it


@decides(cm.TakeIn)
def take_in(bench: Bench, command: cm.TakeIn, now: Instant) -> Decision:
    """Take a part in, with its recipe revision pinned and its route built."""
    code = command.part.strip()
    printed = command.printed.strip() or now.day()
    granted(_unfit(bench, command, code, now) or printed_amiss(printed, now))
    recipe = bench.recipes[command.recipe]
    variant = command.variant or recipe.usual_variant
    box = bench.boxes.get(command.box)
    if box is not None and box.unit != recipe.unit:
        return other_unit(recipe, box)
    try:
        route = build_route(recipe, variant, box.rule if box else CountRule())
    except RouteError as error:
        return Refusal("route", str(error))
    taken = ev.PartTaken(
        **shared(command, ev.PartTaken)
        | {
            "part": code,
            "recipe": recipe.id,
            "variant": variant,
            "route": route,
            "before": _before(bench, command, recipe),
            "tray": command.tray or first_free(bench),
            "jaw": command.jaw or codes.tooth_jaw(bench, command.tooth.strip()),
            "printed": printed,
        }
        | {name: getattr(command, name).strip() for name in TYPED}
    )
    owes: tuple[ev.Event, ...] = printed_late(bench, code, command.print_lot, printed)
    if variant.back_from_mouth:
        again = ev.CheckAdded(code, BITE_AGAIN, "back from a mouth, coated again")
        owes = (again, *owes)
    if code not in bench.parts:
        photos = bench.photos_before.get(code, ())
        owes += tuple(ev.PhotoKept(code, digest) for digest in photos)
    # Where nothing is washed the clock of drying runs from the moment of intake.
    return taken, *owes, ev.PartChosen(code), *drying(code, route)


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
    if tooth and (told := codes.tooth_amiss(bench, tooth)):
        return Refusal("tooth", told)
    jaw = codes.tooth_jaw(bench, tooth)
    if command.jaw and jaw and command.jaw != jaw:
        return Refusal("tooth", f"Tooth {tooth} stands in the {jaw} jaw.")
    return None


def _not_on_file(bench: Bench, command: cm.TakeIn) -> Refusal | None:
    if command.recipe not in bench.recipes:
        return Refusal("no-recipe", f"Recipe “{command.recipe}” is not on file.")
    recipe = bench.recipes[command.recipe]
    granted(absent(bench, "recipe", recipe.code))
    needs_shelf(bench, command)
    verdict = example_data.judge(bench, recipe, ())
    if verdict.level == "fail":
        return Refusal("example-data", verdict.sentence, remedy=verdict.remedy)
    for role, lot in lots_of(command):
        granted(unfit_lot(bench, recipe, role, lot))
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
    return () if bench.focus == part.code else (ev.PartChosen(part.code),)
