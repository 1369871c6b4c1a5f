"""State from events about lights: equipment corrected, trials, glasses, dishes."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.coupon import changed, explained
from benchassist.domain.evolve.owned import filed
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Dish
from benchassist.value import replace

NEW_LIGHT = "the box has another light on file since"
NEW_WALL = "the vessel has another wall on file since"
LIGHT_GATES = ("light-check", "box-light", "lamp-reading-age")


@on(ev.LampDefined)
def _lamp(bench: Bench, entry: ev.Entry, event: ev.LampDefined) -> Bench:
    found = event.lamp
    old = bench.lamps.get(found.code)
    if old and old.curve != found.curve:
        bench = explained(bench, found.code)
    bench = judged_anew(bench, found.code) if old != found else bench
    bench = bench.put("lamps", found.code, found)
    return filed(bench, entry, "lamp", found.code)


@on(ev.BoxDefined)
def _box(bench: Bench, entry: ev.Entry, event: ev.BoxDefined) -> Bench:
    found = event.box
    old = bench.boxes.get(found.code)
    bench = judged_anew(bench, found.code) if old != found else bench
    if old and old.curve != found.curve:
        about = found.code
        bench = changed(bench, lambda coupon: coupon.box == about, NEW_LIGHT)
    bench = bench.put("boxes", found.code, found)
    return filed(bench, entry, "box", found.code)


@on(ev.VesselDefined)
def _vessel(bench: Bench, entry: ev.Entry, event: ev.VesselDefined) -> Bench:
    found = event.vessel
    old = bench.vessels.get(found.code)
    bench = judged_anew(bench, found.code) if old != found else bench
    if old and old.curve != found.curve:
        about = found.code
        bench = changed(bench, lambda coupon: coupon.vessel == about, NEW_WALL)
    bench = bench.put("vessels", found.code, found)
    return filed(bench, entry, "vessel", found.code)


def judged_anew(bench: Bench, code: str) -> Bench:
    """Return the bench on which no hand has accepted the light of ``code`` yet.

    What was accepted was the answer of another light.
    """
    kept = {
        (gate, scope): numbers
        for (gate, scope), numbers in bench.accepted.items()
        if gate not in LIGHT_GATES or code not in scope.split(", ")
    }
    things = {
        (gate, scope): each
        for (gate, scope), each in bench.accepted_things.items()
        if code not in scope.split(", ")
    }
    return replace(bench, accepted=kept, accepted_things=things)


@on(ev.WorkingCurveFitted)
def _fitted(bench: Bench, entry: ev.Entry, event: ev.WorkingCurveFitted) -> Bench:
    key = (event.lamp, event.material)
    return bench.put("working_curves", key, event)


@on(ev.GlassesShown)
def _glasses(bench: Bench, entry: ev.Entry, event: ev.GlassesShown) -> Bench:
    return bench.put("glasses", event.who, event)


@on(ev.SmearTested)
def _smear(bench: Bench, entry: ev.Entry, event: ev.SmearTested) -> Bench:
    key = (event.material, event.light)
    return bench.put("smears", key, event)


@on(ev.DishChanged)
def _dish(bench: Bench, entry: ev.Entry, event: ev.DishChanged) -> Bench:
    others = bench.without("dishes", event.lot)
    if event.to == "thrown away":
        return others
    since = entry.at if event.to == "open" else None
    dish = Dish(event.lot, event.light, event.klx, since, event.spent_klx_s)
    return others.put("dishes", event.lot, dish)
