"""State from events about deviations, holds, checks and release."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.common import (
    advice_taken,
    before,
    unbasketed,
    unloaded,
    with_phase,
    without_days_gone,
)
from benchassist.domain.evolve.people import freed
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Closed, Deviation, OnHold
from benchassist.value import replace


@on(ev.DeviationOpened)
def _deviation(bench: Bench, entry: ev.Entry, event: ev.DeviationOpened) -> Bench:
    found = Deviation(event.deviation, event.rule, event.parts, event.text, entry.at)
    opened = replace(bench, deviations_opened=bench.deviations_opened + 1)
    return opened.put("deviations", found.id, found)


@on(ev.DeviationClosed)
def _deviation_closed(
    bench: Bench, entry: ev.Entry, event: ev.DeviationClosed
) -> Bench:
    found = replace(bench.deviations[event.deviation], decision=event.decision)
    return bench.put("deviations", found.id, found)


@on(ev.PartHeld)
def _held(bench: Bench, entry: ev.Entry, event: ev.PartHeld) -> Bench:
    after = unloaded(bench, event.part)
    return with_phase(after, (event.part,), OnHold(entry.at))


@on(ev.HoldEnded)
def _hold_ended(bench: Bench, entry: ev.Entry, event: ev.HoldEnded) -> Bench:
    stage = bench.parts[event.part].stage
    return with_phase(bench, (event.part,), before(stage, entry.at))


@on(ev.CheckRecorded)
def _checked(bench: Bench, entry: ev.Entry, event: ev.CheckRecorded) -> Bench:
    part = bench.parts[event.part]
    checks = {**part.checks, event.check: event.passed}
    return bench.with_part(replace(part, checks=checks))


@on(ev.PartReleased)
def _released(bench: Bench, entry: ev.Entry, event: ev.PartReleased) -> Bench:
    return _close(bench, event.part, Closed(entry.at, "released"))


@on(ev.PartScrapped)
def _scrapped(bench: Bench, entry: ev.Entry, event: ev.PartScrapped) -> Bench:
    return _close(bench, event.part, Closed(entry.at, "scrapped"))


def _close(bench: Bench, code: str, phase: Closed) -> Bench:
    after = with_phase(unloaded(bench, code), (code,), phase)
    after = advice_taken(freed(after, code, closed=True), code)
    after = without_days_gone(after, phase.at.day())  # the program may run for weeks
    return unbasketed(after, (code,))
