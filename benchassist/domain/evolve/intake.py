"""State from events about parts taken in, chosen and equipped."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.common import before, unbasketed, unloaded
from benchassist.domain.evolve.table import on
from benchassist.domain.state import (
    BODY,
    WET,
    Acceptance,
    Bench,
    Exposure,
    Part,
    Ready,
    pin_of,
)
from benchassist.domain.trays import first_free, lies_in
from benchassist.value import replace, shared


@on(ev.PartTaken)
def _taken(bench: Bench, entry: ev.Entry, event: ev.PartTaken) -> Bench:
    before = bench.parts.get(event.part)  # back from a mouth under its own code
    told = shared(event, Part) | {
        "tray": event.tray or first_free(bench),
        "printed": event.printed or entry.at.day(),
    }
    part = Part(
        **told,
        code=event.part,
        at=0,
        phase=Ready(entry.at),
        taken=entry.at,
        entered=entry.at,
        facing=bench.recipes[event.recipe].sides[0],
        shape=before.shape if before else None,
        photos=before.photos if before else (),
        exposures=tuple(
            Exposure(
                layers=(BODY,),
                side=side,
                half=0,
                low=low,
                high=high,
                unit=bench.recipes[event.recipe].unit,
                evidence="computed",
                run="before",
            )
            for side, low, high in event.before
        ),
    )
    return bench.with_part(part)


@on(ev.PartChosen)
def _chosen(bench: Bench, entry: ev.Entry, event: ev.PartChosen) -> Bench:
    chosen = _in_front(bench, event.part)
    return replace(chosen, pinned=pin_of(bench.parts[event.part]))


@on(ev.FocusMoved)
def _moved(bench: Bench, entry: ev.Entry, event: ev.FocusMoved) -> Bench:
    return _in_front(bench, event.part)


def _in_front(bench: Bench, part: str) -> Bench:
    """Return the bench with a part in front; a coupon test steps back for it."""
    coupon = bench.coupon and replace(bench.coupon, front=False)
    return replace(bench, focus=part, coupon=coupon)


@on(ev.BasketFormed)
def _basket(bench: Bench, entry: ev.Entry, event: ev.BasketFormed) -> Bench:
    tray = bench.parts[event.parts[0]].tray
    behind = set(lies_in(bench, tray)) - set(event.parts)
    free = first_free(bench)
    if len(behind) >= len(event.parts):
        tray = free  # the fewer are laid into another tray
    moved = {
        code: replace(bench.parts[code], basket=event.basket, tray=tray)
        for code in event.parts
    }
    if tray != free:
        moved |= {code: replace(bench.parts[code], tray=free) for code in behind}
    formed = replace(
        unbasketed(bench, event.parts),
        baskets_formed=bench.baskets_formed + 1,
        parts={**bench.parts, **moved},
    )
    return formed.put("baskets", event.basket, event.parts)


@on(ev.EquipmentChosen)
def _equipment(bench: Bench, entry: ev.Entry, event: ev.EquipmentChosen) -> Bench:
    part = bench.parts[event.part]
    match event.role:
        case "lamp":
            part = replace(part, lamp=event.code)
        case "box":
            part = replace(part, box=event.code)
            bench = unloaded(bench, event.part)
        case "vessel":
            part = replace(part, vessel=event.code)
    return bench.with_part(part)


@on(ev.LotChosen)
def _lot_chosen(bench: Bench, entry: ev.Entry, event: ev.LotChosen) -> Bench:
    part = bench.parts[event.part]
    layer = part.stage.layer
    if isinstance(part.phase, WET) and layer.startswith(event.role):
        # The brush goes on with it: the layer holds both.
        work = part.work[layer].brushed(event.lot)
        part = replace(part, work={**part.work, layer: work})
    match event.role:
        case "print":
            part = replace(part, print_lot=event.lot)
        case "coat":
            part = replace(part, coat_lot=event.lot)
        case "stain":
            part = replace(part, stain_lot=event.lot)
    return bench.with_part(part)


@on(ev.GateAccepted)
def _accepted(bench: Bench, entry: ev.Entry, event: ev.GateAccepted) -> Bench:
    key = (event.gate, event.scope)
    return bench.put("accepted", key, event.numbers)


@on(ev.ThingAccepted)
def _thing_accepted(bench: Bench, entry: ev.Entry, event: ev.ThingAccepted) -> Bench:
    key = (event.gate, event.scope)
    taken = Acceptance(event.until, event.numbers)
    return bench.put("accepted_things", key, taken)


@on(ev.BasketLeft)
def _basket_left(bench: Bench, entry: ev.Entry, event: ev.BasketLeft) -> Bench:
    part = replace(bench.parts[event.part], basket="", tray=event.tray)
    return unbasketed(bench.with_part(part), (part.code,))


@on(ev.PartChanged)
def _part_changed(bench: Bench, entry: ev.Entry, event: ev.PartChanged) -> Bench:
    part = bench.parts[event.part]
    after = replace(part.given(event), at=event.at)
    if after.stage.key != part.stage.key:
        phase = before(after.stage, entry.at)
        after = replace(after, phase=phase, entered=entry.at, hands_ms=0)
    if event.route != part.route:
        after = replace(after, checks={})  # what was checked was another part
    return unloaded(bench.with_part(after), after.code)


@on(ev.StageReopened)
def _reopened(bench: Bench, entry: ev.Entry, event: ev.StageReopened) -> Bench:
    part = replace(
        bench.parts[event.part],
        at=event.at,
        phase=Ready(entry.at),
        entered=entry.at,
        hands_ms=0,
        checks={},
    )
    if part.stage.kind == "dry":
        part = replace(part, dry_since=entry.at)
    return unloaded(bench.with_part(part), part.code)
