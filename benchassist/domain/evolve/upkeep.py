"""State from events about bottles, baths, lamps and routine checks."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.coupon import changed
from benchassist.domain.evolve.light import judged_anew
from benchassist.domain.evolve.table import on
from benchassist.domain.kept import OVERNIGHT, Bath, Bottle, BoxKept, Keeping, Looked
from benchassist.domain.state import Bench
from benchassist.value import replace

NEW_LAMP = "the box has a new lamp since"
SERVICED = {
    "repaired": "the lamp was repaired since",
    "tip changed": "the lamp has another tip since",
}


@on(ev.KeepingSet)
def _keeping(bench: Bench, entry: ev.Entry, event: ev.KeepingSet) -> Bench:
    keeping = Keeping(
        event.open_days,
        event.decanted_days,
        event.stir_min,
        event.document,
        event.revision,
    )
    return bench.put("keeping", event.material, keeping)


@on(ev.BottleHandled)
def _handled(bench: Bench, entry: ev.Entry, event: ev.BottleHandled) -> Bench:
    bottle = bench.bottles.get(event.lot, Bottle())
    if event.act == "opened":
        bottle = replace(bottle, opened=bottle.opened or entry.at)
    elif event.act == "decanted":
        # What is decanted comes out of an open bottle.
        opened = bottle.opened or entry.at
        bottle = replace(bottle, opened=opened, decanted=entry.at)
    else:
        bottle = replace(bottle, stirred=entry.at)
    return bench.put("bottles", event.lot, bottle)


@on(ev.BathFilled)
def _filled(bench: Bench, entry: ev.Entry, event: ev.BathFilled) -> Bench:
    bath = Bath(event.litres, event.lot, entry.at)
    return bench.put("baths", event.bath, bath)


@on(ev.BathMoved)
def _moved(bench: Bench, entry: ev.Entry, event: ev.BathMoved) -> Bench:
    moved = bench.baths[event.bath]
    return bench.without("baths", event.bath).put("baths", event.to, moved)


@on(ev.BathMeasured)
def _measured(bench: Bench, entry: ev.Entry, event: ev.BathMeasured) -> Bench:
    bath = replace(bench.baths[event.bath], percent=event.percent, washed={}, areas={})
    return bench.put("baths", event.bath, bath)


@on(ev.GlycerineSeen)
def _seen(bench: Bench, entry: ev.Entry, event: ev.GlycerineSeen) -> Bench:
    good = event.seen == "clear"
    bench = _looked(bench, "glycerine-look", event.vessel, Looked(entry.at, good=good))
    fill = bench.fills[event.vessel]
    # What looks otherwise is not used again; what was spoilt before stays so.
    spoilt = fill.spoilt or ("" if good else event.seen)
    percent = event.percent or fill.percent
    fill = replace(fill, spoilt=spoilt, percent=percent)
    return bench.put("fills", event.vessel, fill)


@on(ev.BoxRead)
def _box_read(bench: Bench, entry: ev.Entry, event: ev.BoxRead) -> Bench:
    kept = bench.boxes_kept.get(event.box, BoxKept())
    match event.what:
        case "life counter":
            kept = replace(kept, counter=event.value, given=0.0)
        case "light":
            kept = replace(kept, first=kept.first or event.value, last=event.value)
        case "full run":
            kept = replace(kept, rate=event.value)
        case "new lamp":
            kept = BoxKept(counter=event.value, born=event.value)
            about = event.box
            bench = changed(bench, lambda coupon: coupon.box == about, NEW_LAMP)
    kept = replace(kept, read=entry.at)
    return bench.put("boxes_kept", event.box, kept)


@on(ev.LampServiced)
def _serviced(bench: Bench, entry: ev.Entry, event: ev.LampServiced) -> Bench:
    if event.act == "tip cleaned":
        return _looked(bench, "lamp-tip", event.lamp, Looked(entry.at, good=True))
    # What was read or tried before is another lamp's; a coupon with a reading waits
    # for the next one to say whether it still holds.
    about = event.lamp
    tabs = {pair: each for pair, each in bench.tabs.items() if about not in pair}
    bench = replace(bench.without("readings", about), tabs=tabs)
    bench = judged_anew(bench, about)
    return changed(
        bench,
        lambda coupon: coupon.lamp == about and not coupon.reading,
        SERVICED[event.act],
    )


@on(ev.RoutineDone)
def _routine(bench: Bench, entry: ev.Entry, event: ev.RoutineDone) -> Bench:
    looked = Looked(entry.at, event.good, event.note)
    return _looked(bench, event.routine, event.thing, looked)


def _looked(bench: Bench, routine: str, thing: str, looked: Looked) -> Bench:
    of_it = {**bench.routines.get(routine, {}), thing: looked}
    if routine == OVERNIGHT:  # who has left is not asked of
        of_it = {code: each for code, each in of_it.items() if code in bench.parts}
    return bench.put("routines", routine, of_it)
