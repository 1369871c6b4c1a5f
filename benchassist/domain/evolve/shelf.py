"""State from events about materials, lots, recipes and readings."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.coupon import changed, explained
from benchassist.domain.evolve.owned import filed
from benchassist.domain.evolve.table import on
from benchassist.domain.kept import Looked
from benchassist.domain.library import Recipe
from benchassist.domain.state import Bench, Fill, Reading

NEW_REVISION = "the instructions have another revision since"


@on(ev.CurveFiled)
def _curve(bench: Bench, entry: ev.Entry, event: ev.CurveFiled) -> Bench:
    return bench.put("curves", event.curve.digest, event.curve)


@on(ev.MaterialDefined)
def _material(bench: Bench, entry: ev.Entry, event: ev.MaterialDefined) -> Bench:
    found = event.material
    old = bench.materials.get(found.code)
    if old and old != found:
        bench = explained(bench, found.code)
    if old and old.revision != found.revision:
        about = found.code
        bench = changed(bench, lambda coupon: coupon.material == about, NEW_REVISION)
    bench = bench.put("materials", found.code, found)
    return filed(bench, entry, "material", found.code)


@on(ev.LotReceived)
def _lot(bench: Bench, entry: ev.Entry, event: ev.LotReceived) -> Bench:
    return bench.put("lots", event.lot.code, event.lot)


@on(ev.LotClosed)
def _lot_closed(bench: Bench, entry: ev.Entry, event: ev.LotClosed) -> Bench:
    return bench.put("closed_lots", event.lot, entry.at.day())


@on(ev.RecipeDefined)
def _recipe(bench: Bench, entry: ev.Entry, event: ev.RecipeDefined) -> Bench:
    found: Recipe = event.recipe
    of_code = [each for each in bench.recipes.values() if each.code == found.code]
    if any(each.ifu_revision != found.ifu_revision for each in of_code):
        about = {found.coat_material, *found.stain_materials}
        bench = changed(bench, lambda coupon: coupon.material in about, NEW_REVISION)
    bench = bench.put("recipes", found.id, found)
    return filed(bench, entry, "recipe", found.code)


@on(ev.LampReadingTaken)
def _reading(bench: Bench, entry: ev.Entry, event: ev.LampReadingTaken) -> Bench:
    looked = bench.routines.get("lamp-reading", {})
    looked = {**looked, event.lamp: Looked(entry.at, good=True)}
    bench = bench.put("routines", "lamp-reading", looked)
    return bench.put("readings", event.lamp, Reading(event.reading, entry.at))


@on(ev.GlycerineFilled)
def _filled(bench: Bench, entry: ev.Entry, event: ev.GlycerineFilled) -> Bench:
    fill = Fill(event.lot, event.immersions, entry.at)
    return bench.put("fills", event.vessel, fill)
