"""State from events about the store and the program itself."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.dark import Dark, dark_between, placed, stepped
from benchassist.domain.evolve.common import without_days_gone
from benchassist.domain.evolve.table import on
from benchassist.domain.state import Bench, Store, Validation
from benchassist.value import replace

BOOTS_KEPT = 100  # nothing in flight is older; what is older is judged by its label
UNSEEN_MS = 2000  # [ms] the least step of the wall clock that counts as one


def over_boot(bench: Bench, entry: ev.Entry) -> Bench:
    """Return the bench with a new boot placed; all evidence of it is in the entries.

    Nobody watches the wall clock while the program is closed: at an opening within
    a boot it is held against the monotonic reading.
    """
    last, at, event = bench.latest, entry.at, entry.event
    if last is None:
        return bench
    if last.boot != at.boot:
        beat = event.last_heartbeat if isinstance(event, ev.ProgramOpened) else None
        return _after_dark(bench, dark_between(last, at, beat))
    if isinstance(event, ev.ProgramOpened):
        return _after_step(bench, at.wall_ms - last.wall_ms - at.since(last))
    return bench


def _after_dark(bench: Bench, dark: Dark) -> Bench:
    boots = placed(bench.boots, dark)
    kept = dict(list(boots.items())[-BOOTS_KEPT:])
    return replace(bench, boots=kept, dark=dark)


def _after_step(bench: Bench, step_ms: int) -> Bench:
    """Return the bench after the wall clock was set: only the dark rests on it."""
    if bench.dark is None or abs(step_ms) <= UNSEEN_MS:
        return bench
    return _after_dark(bench, stepped(bench.dark, step_ms))


@on(ev.StoreCreated)
def _store_created(bench: Bench, entry: ev.Entry, event: ev.StoreCreated) -> Bench:
    store = Store(event.kind, event.store_id, event.station, event.zone)
    return replace(bench, store=store)


@on(ev.ProgramOpened)
def _program_opened(bench: Bench, entry: ev.Entry, event: ev.ProgramOpened) -> Bench:
    # What was in a hand is not any more; what was claimed by hand still is.
    claims = {key: claim for key, claim in bench.claims.items() if claim.lasting}
    after = without_days_gone(bench, entry.at.day())
    return replace(after, lamp_session=None, claims=claims)


@on(ev.WallClockStepped)
def _wall_step(bench: Bench, entry: ev.Entry, event: ev.WallClockStepped) -> Bench:
    return _after_step(bench, event.step_ms)


@on(ev.DarkTold)
def _dark_told(bench: Bench, entry: ev.Entry, event: ev.DarkTold) -> Bench:
    if bench.dark is None or bench.dark.boot != event.boot:
        return bench
    dark = replace(bench.dark, told=(event.low_ms, event.high_ms))
    return _after_dark(bench, dark)


@on(
    ev.Corrected,  # its parts are folded anew, see ``anew``
    ev.DamageAccepted,
    ev.DoseNoticed,
    ev.NobodyWatched,
    ev.ProgramFaulted,
    ev.StateKept,
    ev.StoreContinued,
    ev.TextBlanked,
)
def _nothing_changes(bench: Bench, entry: ev.Entry, event: ev.Event) -> Bench:
    return bench


@on(ev.OperatorClaimed)
def _operator(bench: Bench, entry: ev.Entry, event: ev.OperatorClaimed) -> Bench:
    return replace(
        bench, operator=event.who, lamp_session=None, unconfirmed=False, handed=None
    )


@on(ev.CommandRefused)
def _refused(bench: Bench, entry: ev.Entry, event: ev.CommandRefused) -> Bench:
    pressed = int(entry.channel == "pedal")
    after = replace(bench, refused_presses=bench.refused_presses + pressed)
    return _counter_ahead(after, event) if event.code == "counter-ahead" else after


def _counter_ahead(bench: Bench, event: ev.CommandRefused) -> Bench:
    """Return the bench that has asked whether a box was begun earlier."""
    runs = {
        name: replace(run, ahead=True) if event.part in run.parts else run
        for name, run in bench.runs.items()
    }
    return replace(bench, runs=runs)


@on(ev.LimitSet)
def _limit(bench: Bench, entry: ev.Entry, event: ev.LimitSet) -> Bench:
    bench = bench.without("validated", event.code)
    return bench.put("limits", event.code, event.value)


@on(ev.LimitValidated)
def _validated(bench: Bench, entry: ev.Entry, event: ev.LimitValidated) -> Bench:
    found = Validation(event.value, event.until, event.record)
    return bench.put("validated", event.code, found)


@on(ev.CodeShapeSet)
def _code_shape(bench: Bench, entry: ev.Entry, event: ev.CodeShapeSet) -> Bench:
    return bench.put("code_shapes", event.kind, event.shape)
