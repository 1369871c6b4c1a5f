"""State from events about the day ahead."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench
from benchassist.value import replace


@on(ev.PartOrdered)
def _ordered(bench: Bench, entry: ev.Entry, event: ev.PartOrdered) -> Bench:
    wishes = {**bench.wishes, event.part: event.wish}
    open_ = {part.code for part in bench.in_flight}
    kept = {
        code: wish
        for code, wish in wishes.items()
        if code in open_ and wish != "as due"
    }
    return replace(bench, wishes=kept, kept_in_turn={})


@on(ev.PutBackRefused)
def _refused(bench: Bench, entry: ev.Entry, event: ev.PutBackRefused) -> Bench:
    return bench.put("kept_in_turn", event.part, event.beside)
