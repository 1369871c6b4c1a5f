"""State from events about the store and the program itself."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.evolve.common import without_days_gone
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Store, Validation
from benchassist.value import replace


@on(ev.StoreCreated)
def _store_created(bench: Bench, entry: ev.Entry, event: ev.StoreCreated) -> Bench:
    del entry
    store = Store(event.kind, event.store_id, event.station, event.zone)
    return replace(bench, store=store)


@on(ev.ProgramOpened)
def _program_opened(bench: Bench, entry: ev.Entry, event: ev.ProgramOpened) -> Bench:
    del event
    # What was in a hand is not any more; what was claimed by hand still is.
    claims = {key: claim for key, claim in bench.claims.items() if claim.lasting}
    after = without_days_gone(bench, entry.at.day())
    return replace(after, lamp_session=None, claims=claims)


@on(ev.WallClockStepped)
def _wall_step(bench: Bench, entry: ev.Entry, event: ev.WallClockStepped) -> Bench:
    del entry, event
    return bench


@on(ev.TextBlanked)
def _blanked(bench: Bench, entry: ev.Entry, event: ev.TextBlanked) -> Bench:
    del entry, event
    return bench


@on(ev.StoreContinued)
def _continued(bench: Bench, entry: ev.Entry, event: ev.StoreContinued) -> Bench:
    del entry, event
    return bench


@on(ev.DamageAccepted)
def _accepted(bench: Bench, entry: ev.Entry, event: ev.DamageAccepted) -> Bench:
    del entry, event
    return bench


@on(ev.StateKept)
def _kept(bench: Bench, entry: ev.Entry, event: ev.StateKept) -> Bench:
    del entry, event
    return bench


@on(ev.ProgramFaulted)
def _faulted(bench: Bench, entry: ev.Entry, event: ev.ProgramFaulted) -> Bench:
    del entry, event
    return bench


@on(ev.OperatorClaimed)
def _operator(bench: Bench, entry: ev.Entry, event: ev.OperatorClaimed) -> Bench:
    del entry
    return replace(
        bench, operator=event.who, lamp_session=None, unconfirmed=False, handed=None
    )


@on(ev.CommandRefused)
def _refused(bench: Bench, entry: ev.Entry, event: ev.CommandRefused) -> Bench:
    del event
    pressed = int(entry.channel == "pedal")
    return replace(bench, refused_presses=bench.refused_presses + pressed)


@on(ev.LimitSet)
def _limit(bench: Bench, entry: ev.Entry, event: ev.LimitSet) -> Bench:
    del entry
    validated = {
        code: each for code, each in bench.validated.items() if code != event.code
    }
    limits = {**bench.limits, event.code: event.value}
    return replace(bench, limits=limits, validated=validated)


@on(ev.LimitValidated)
def _validated(bench: Bench, entry: ev.Entry, event: ev.LimitValidated) -> Bench:
    del entry
    found = Validation(event.value, event.until, event.record)
    return replace(bench, validated={**bench.validated, event.code: found})


@on(ev.CodeShapeSet)
def _code_shape(bench: Bench, entry: ev.Entry, event: ev.CodeShapeSet) -> Bench:
    del entry
    shapes = {**bench.code_shapes, event.kind: event.shape}
    return replace(bench, code_shapes=shapes)
