"""State from what a new store took over from a damaged one."""

from __future__ import annotations

from collections.abc import Iterable

from benchassist.domain import events as ev
from benchassist.domain.evolve.table import on
from benchassist.domain.kept import Bath, Looked
from benchassist.domain.state import (
    Acceptance,
    Bench,
    Fill,
    Pair,
    Reading,
    Tested,
    Validation,
)
from benchassist.value import replace


@on(ev.CarriedForward)
def _carried(bench: Bench, entry: ev.Entry, event: ev.CarriedForward) -> Bench:
    del entry
    return replace(
        bench,
        readings={lamp: Reading(found, at) for lamp, found, at in event.readings},
        tested=_tested(event),
        coupons_begun=event.coupons_begun,
        tabs={(a, b): (s, day) for a, b, s, day in event.tabs},
        trials=_by_pair(event.trials),
        against={(each.lamp, each.material): each for each in event.against},
        working_curves={
            (lamp, material): ev.WorkingCurveFitted(lamp, material, points, numbers)
            for lamp, material, points, numbers in event.working_curves
        },
        glasses={each.who: each for each in event.glasses},
        smears={(each.material, each.light): each for each in event.smears},
        fills={
            vessel: Fill(lot, count, at, spoilt, percent)
            for vessel, lot, count, at, spoilt, percent in event.fills
        },
        baths={
            code: Bath(litres, lot, filled, dict(washed), percent)
            for code, litres, lot, filled, percent, washed in event.baths
        },
        bottles=dict(event.bottles),
        keeping=dict(event.keeping),
        meters={each.code: each for each in event.meters},
        boxes_kept=dict(event.boxes_kept),
        filed={(kind, code): each for kind, code, each in event.filed},
        vessel_sizes=dict(event.vessel_sizes),
        box_plans=dict(event.box_plans),
        photos_before=dict(event.photos),
        retired={(kind, code): day for kind, code, day in event.retired},
        routines=_routines(event),
        closed_lots=dict(event.closed_lots),
        code_shapes=dict(event.code_shapes),
        levels=dict(event.levels),
        accepted_things={
            (gate, thing): Acceptance(until, numbers)
            for gate, thing, until, numbers in event.accepted
        },
        validated={
            code: Validation(found, until, record)
            for code, found, until, record in event.validated
        },
        lamp_on_ms={(d, w, lamp): ms for d, w, lamp, ms in event.lamp_on if not lamp},
        lamp_on_by_lamp_ms={
            (d, w, lamp): ms for d, w, lamp, ms in event.lamp_on if lamp
        },
    )


def _tested(event: ev.CarriedForward) -> dict[Pair, tuple[Tested, ...]]:
    found: dict[Pair, tuple[Tested, ...]] = {}
    for coupon, day, until in event.tested:
        key = (coupon.lamp, coupon.material)
        found[key] = (*found.get(key, ()), Tested(coupon, day, until))
    return found


def _by_pair(
    events: Iterable[ev.CouponRecorded],
) -> dict[Pair, tuple[ev.CouponRecorded, ...]]:
    found: dict[Pair, tuple[ev.CouponRecorded, ...]] = {}
    for each in events:
        key = (each.lamp, each.material)
        found[key] = (*found.get(key, ()), each)
    return found


def _routines(event: ev.CarriedForward) -> dict[str, dict[str, Looked]]:
    found: dict[str, dict[str, Looked]] = {}
    for routine, thing, looked in event.routines:
        found.setdefault(routine, {})[thing] = looked
    return found
