"""State from events about what was put right.

A correction itself changes no state here: the parts it concerns are folded anew from
their history (``anew``), which takes their entries and not this one alone.
"""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Triple, lamp_day_key
from benchassist.value import replace


@on(ev.FillRecounted)
def _fill(bench: Bench, entry: ev.Entry, event: ev.FillRecounted) -> Bench:
    fill = replace(bench.fills[event.vessel], immersions=event.immersions)
    return bench.put("fills", event.vessel, fill)


@on(ev.LampRecounted)
def _lamp(bench: Bench, entry: ev.Entry, event: ev.LampRecounted) -> Bench:
    whole = lamp_day_key(event.who, event.day)
    one = lamp_day_key(event.who, event.day, event.lamp)
    return replace(
        bench,
        lamp_on_ms=_with(bench.lamp_on_ms, whole, event.light_ms),
        lamp_on_by_lamp_ms=_with(bench.lamp_on_by_lamp_ms, one, event.light_ms),
    )


def _with(sums: dict[Triple, int], key: Triple, ms: int) -> dict[Triple, int]:
    left = {**sums, key: sums.get(key, 0) + ms}
    return {each: sum_ms for each, sum_ms in left.items() if sum_ms > 0}
