"""Places on the shelf of a box: a draft in rows, drawn beside, one hold."""

from __future__ import annotations

import re

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.outcome import Refusal
from benchassist.domain.shape import MOST_PLACES, BoxPlace, BoxPlan
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.domain.words import sentences
from benchassist.ui.present.fill import held
from benchassist.ui.present.sheet import (
    FillIn,
    Sheet,
    Turn,
    turn_row,
    turned,
    typed_row,
)
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import replace, value

TWO = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*[x×*,;/ ]\s*(\d+(?:[.,]\d+)?)\s*")
USUAL = (200.0, 150.0)  # [mm] of a shelf nobody has measured yet
FOOT = (60.0, 60.0)  # [mm] of what stands on it


@value
class PickShelf:
    """Take the photo of the shelf in a file; an empty path asks with a picker."""

    path: str = ""


@value
class PlacesDraft:
    """What was drawn so far; ``at`` is the place to be moved."""

    box: str = ""
    plan: BoxPlan = BoxPlan(*USUAL)
    foot: tuple[float, float] = FOOT
    thing: str = ""
    at: str = "P1"
    framed: str = "many"
    error: str = ""


def begun(bench: Bench, box: str = "") -> PlacesDraft:
    """Return the draft of a box: as it is drawn, else two places on a usual shelf."""
    box = box or next(iter(offered(bench, "box")), "")
    plan = bench.box_plans.get(box)
    if plan is not None:
        foot = FOOT
        if plan.places:
            foot = (plan.places[0].wide_mm, plan.places[0].deep_mm)
        return PlacesDraft(box, plan, foot)
    thing = next(iter(bench.vessel_sizes), "")
    draft = PlacesDraft(box, foot=_foot(bench, thing), thing=thing)
    return replace(draft, plan=laid_out(draft, 2))


def _foot(bench: Bench, thing: str) -> tuple[float, float]:
    size = bench.vessel_sizes.get(thing)
    return (size.wide_mm, size.deep_mm) if size else FOOT


def laid_out(draft: PlacesDraft, count: int) -> BoxPlan:
    """Return the shelf with so many places spread evenly, in the fewest rows."""
    plan, (wide, deep) = draft.plan, draft.foot
    across = max(1, min(count, int(plan.wide_mm // max(wide, 1.0))))
    rows = -(-count // across)
    across = -(-count // rows)
    places = tuple(
        BoxPlace(
            f"P{n + 1}",
            round((n % across + 0.5) * plan.wide_mm / across, 1),
            round((n // across + 0.5) * plan.deep_mm / rows, 1),
            wide,
            deep,
        )
        for n in range(count)
    )
    return replace(plan, places=places)


def done(bench: Bench, draft: PlacesDraft, did: object) -> PlacesDraft:
    """Return the draft after a hand turned a row or typed into one."""
    draft = replace(draft, error="")
    match did:
        case Turn(row=row, by=by):
            return _turned(bench, replace(draft, framed=row), row, by)
        case FillIn(row=row, value=typed):
            return _typed(replace(draft, framed=row), row, typed)
        case _:
            return draft


def _turned(bench: Bench, draft: PlacesDraft, row: str, by: int) -> PlacesDraft:
    count = len(draft.plan.places)
    if not by:
        return draft
    if row == "box":
        box = turned(offered(bench, "box"), draft.box, by)
        return replace(begun(bench, box), framed=row)
    if row == "many":
        wanted = min(MOST_PLACES, max(1, count + by))
        return replace(draft, plan=laid_out(draft, wanted))
    if row == "thing":
        thing = turned(("", *bench.vessel_sizes), draft.thing, by)
        changed = replace(draft, thing=thing, foot=_foot(bench, thing))
        return replace(changed, plan=laid_out(changed, max(1, count)))
    if row == "at":
        names = tuple(place.name for place in draft.plan.places)
        return replace(draft, at=turned(names, draft.at, by))
    return draft


def _typed(draft: PlacesDraft, row: str, typed: str) -> PlacesDraft:
    found = TWO.fullmatch(typed)
    if found is None:
        told = say("Two numbers in mm, such as 200 x 150.")
        return replace(draft, error=told)
    first, second = (float(each.replace(",", ".")) for each in found.groups())
    count = max(1, len(draft.plan.places))
    if row == "shelf":
        plan = replace(draft.plan, wide_mm=first, deep_mm=second)
        changed = replace(draft, plan=plan)
        return replace(changed, plan=laid_out(changed, count))
    if row == "foot":
        changed = replace(draft, foot=(first, second), thing="")
        return replace(changed, plan=laid_out(changed, count))
    places = tuple(
        replace(place, x_mm=first, y_mm=second) if place.name == draft.at else place
        for place in draft.plan.places
    )
    return replace(draft, plan=replace(draft.plan, places=places))


def sheet(bench: Bench, draft: PlacesDraft, now: Instant) -> Sheet:
    """Return the page of places."""
    plan = draft.plan
    command = cm.DrawPlaces(draft.box, plan)
    refusal = decide(bench, command, now)
    place = next((each for each in plan.places if each.name == draft.at), None)
    told = f"{place.x_mm:g}, {place.y_mm:g}" if place else "–"
    wide, deep = draft.foot
    ask = say("Width and depth in mm, such as 200 x 150")
    shelf, foot = f"{plan.wide_mm:g} × {plan.deep_mm:g}", f"{wide:g} × {deep:g}"
    many, framed = str(len(plan.places)), draft.framed
    middle = say("From the left, from the front")
    rows = (
        turn_row("box", say("Box"), draft.box, "", framed, "1"),
        typed_row("shelf", say("Shelf, mm"), shelf, ask, key="2"),
        turn_row("thing", say("What stands"), draft.thing or "–", "", framed, "3"),
        typed_row("foot", say("Footprint"), foot, ask, key="4"),
        turn_row("many", say("How many"), many, "", framed, "5"),
        turn_row("at", say("Place"), draft.at, say("to be moved"), framed, "6"),
        typed_row("spot", say("Its middle"), told, middle, key="7"),
    )
    photo = say("Photo of the shelf: {kept}", kept=plan.photo[:8] or say("none"))
    options = [Option(photo, "8", PickShelf())]
    error = draft.error
    if isinstance(refusal, Refusal):
        error = error or sentences(refusal.message, refusal.remedy)
    elif bench.box_plans.get(draft.box) != plan:
        options.insert(0, held(say("Places so"), command))
    return Sheet(
        title=say("Places on a box's shelf"),
        quiet=say("apart, none shading another; the light is not even"),
        right="",
        rows=rows,
        lines=(),
        options=tuple(options),
        line=say("Left and right turn the framed row. The front is below."),
        error=error,
        framed=draft.framed,
    )
