"""Bottles: which lot a part gets, another one in mid-coat, one that is empty."""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import deviation, find, needs_reason
from benchassist.domain.deciders.table import decides
from benchassist.domain.gates import example_data
from benchassist.domain.gates.lot_expiry import (
    PRINTED_LATE,
    expired_at_printing,
    last_day,
)
from benchassist.domain.library import Recipe
from benchassist.domain.outcome import Decision, Refusal
from benchassist.domain.shelf import LotRole, allowed, fitting
from benchassist.domain.state import Bench, Walking
from benchassist.domain.words import is_day, listed


@decides(cm.ChooseLot)
def choose_lot(bench: Bench, command: cm.ChooseLot, now: Instant) -> Decision:
    """Use another lot for a part; in mid-coat the layer then holds both."""
    part = find(bench, command.part)
    if isinstance(part.phase, Walking) and part.stage.layer.startswith(command.role):
        return Refusal(
            "lit",
            f"{part.phase.lamp} is at work on {part.code}.",
            remedy="Take the other bottle when this segment is tacked, or pause first.",
            part=part.code,
        )
    recipe = bench.recipe_of(part)
    return (
        unfit_lot(bench, recipe, command.role, command.lot)
        or gone(bench, recipe, command.role, command.lot, now)
        or (ev.LotChosen(part.code, command.role, command.lot),)
    )


@decides(cm.CloseLot)
def close_lot(bench: Bench, command: cm.CloseLot, now: Instant) -> Decision:
    """Put a bottle away for good; parts it was laid on keep it on their record."""
    if command.lot not in bench.lots:
        return Refusal("no-lot", f"The lot “{command.lot}” is not on file.")
    if command.lot in bench.closed_lots:
        return Refusal("lot-closed", f"{command.lot} was put away already.")
    needs_reason(command.reason, "Say why it is put away: empty, old, dirty.")
    return (ev.LotClosed(command.lot, command.reason.strip()),)


def lots_of(asked: cm.TakeIn | cm.ChangePart) -> Iterator[tuple[LotRole, str]]:
    """Yield the lots that a command names, each with its role."""
    named: tuple[tuple[LotRole, str], ...] = (
        ("print", asked.print_lot),
        ("coat", asked.coat_lot),
        ("stain", asked.stain_lot),
    )
    yield from (each for each in named if each[1])


def unfit_lot(bench: Bench, recipe: Recipe, role: LotRole, lot: str) -> Refusal | None:
    """Return why a lot is not taken for a part of this recipe, None when it is."""
    if lot not in bench.lots:
        return Refusal("no-lot", f"The {role} lot “{lot}” is not on file.")
    verdict = example_data.judge(bench, recipe, (lot,))
    if verdict.level == "fail":
        return Refusal("example-data", verdict.sentence, remedy=verdict.remedy)
    return _unlike(bench, recipe, role, lot)


def _unlike(bench: Bench, recipe: Recipe, role: LotRole, lot: str) -> Refusal | None:
    """Return why a lot is of another material than the recipe says, if it is."""
    wanted = allowed(recipe, role)
    if not wanted or bench.lots[lot].material in wanted:
        return None
    return Refusal(
        "lot-material",
        f"{lot} is {bench.lots[lot].material}; {recipe.id} wants {', '.join(wanted)} "
        f"as its {role} material.",
        remedy="Take a lot of that material, or another recipe.",
    )


def gone(
    bench: Bench, recipe: Recipe, role: LotRole, lot: str, now: Instant
) -> Refusal | None:
    """Return why a bottle cannot be used today; a print is judged by its own day."""
    if role == "print":
        return None
    others = tuple(each for each in fitting(bench, recipe, role, now) if each != lot)
    remedy = f"In date: {listed(others)}." if others else "Open a bottle in date."
    if lot in bench.closed_lots:
        told = f"{lot} was put away on {bench.closed_lots[lot]}."
        return Refusal("lot-closed", told, remedy=remedy)
    last = last_day(bench, lot)
    if last < now.day():
        told = f"Lot {lot} expired on {last}."
        return Refusal("lot-expiry", told, remedy=remedy)
    return None


def printed_amiss(printed: str, now: Instant) -> Refusal | None:
    """Return why this is no day on which a part can have been printed."""
    if not is_day(printed):
        return Refusal("printed", f"“{printed}” is no day: type it as 2026-05-14.")
    if printed > now.day():
        return Refusal("printed", f"It cannot have been printed on {printed} yet.")
    return None


def printed_late(
    bench: Bench, part: str, lot: str, printed: str
) -> tuple[ev.DeviationOpened, ...]:
    """Return the deviation of a part whose lot was past its day when it was printed."""
    last = expired_at_printing(bench, lot, printed)
    if not last:
        return ()
    text = f"Lot {lot} had expired on {last}; printed on {printed}."
    return (deviation(bench, PRINTED_LATE, (part,), text),)
