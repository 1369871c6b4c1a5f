"""What the passing of time, a restart or a fault of the program brings."""

from __future__ import annotations

from benchassist.clock import MS, Instant, Now
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.coat import lit_ms
from benchassist.domain.deciders import coupon
from benchassist.domain.deciders.coat import broken, walked
from benchassist.domain.deciders.common import leave
from benchassist.domain.deciders.people import idle
from benchassist.domain.deciders.table import decides
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Decision
from benchassist.domain.queue import stay_ms
from benchassist.domain.runs import counts_after
from benchassist.domain.standing import front
from benchassist.domain.state import Bench, Brushing, Part, Run, Soaking, Walking
from benchassist.domain.wet import overdue


@decides(cm.Tick)
def tick(bench: Bench, command: cm.Tick, now: Instant) -> Decision:
    """Let time pass: paced spots end, bubbles have left, a due part comes forward."""
    stalled = command.gap_ms > limit(bench, "stall_ms")
    watched = now.plus(-command.gap_ms) if stalled else now
    out: list[ev.Event] = []
    for part in bench.in_flight:
        if isinstance(part.phase, Walking):
            out.extend(_walk_on(bench, part, now, watched, stalled=stalled))
        elif (
            part.stage.kind == "submerge"
            and isinstance(part.phase, Soaking)
            and stay_ms(part, part.phase, now) >= part.stage.min_s * MS
        ):
            out.extend(leave(part, now))
    out.extend(coupon.passing(bench, watched, now, stalled=stalled))
    out.extend(idle(bench, now))
    if out:
        return tuple(out)
    due = front(bench, now)
    return (ev.FocusMoved(due),) if due else ()


def _walk_on(
    bench: Bench, part: Part, now: Instant, watched: Instant, *, stalled: bool
) -> tuple[ev.Event, ...]:
    done, after = walked(bench, part, now, watched)
    walk = after.phase
    if not isinstance(walk, Walking):
        return done
    between = bool(done) or now.since(walk.lit) < 0
    if between and not walk.looked and overdue(bench, after, walk, now):
        # A spot that is lit is lit whole; before the next one the coat is looked at.
        return (*done, ev.WalkPaused(part.code, walk.spot, "wet limit"))
    if not stalled:
        return done
    lit = lit_ms(walk, watched)
    return (*done, *broken(after, walk, "stall", lit))


@decides(cm.Reopen)
def reopen(bench: Bench, command: cm.Reopen, now: Instant) -> Decision:
    """Open an existing journal: waits go on, runs and spots are asked about."""
    out: list[ev.Event] = [
        ev.ProgramOpened(command.program_version, command.last_heartbeat)
    ]
    beat = command.last_heartbeat
    out.extend(
        event
        for run in bench.runs.values()
        if run.interrupted is None
        for event in _interrupted(bench, run, beat)
    )
    for part in bench.in_flight:
        phase = part.phase
        if isinstance(phase, Walking):
            lit = lit_ms(phase, beat) if beat else 0
            out.extend(broken(part, phase, "program was away", lit))
        elif isinstance(phase, Brushing):
            out.append(ev.WalkPaused(part.code, phase.first, "program was away"))
    if bench.coupon is not None and bench.coupon.lit is not None:
        at = beat or bench.coupon.lit
        out.extend(coupon.stopped(bench.coupon, at, "program was away"))
    out.extend(coupon.expired(bench, now))
    return tuple(out)


def _interrupted(
    bench: Bench, run: Run, beat: Instant | None
) -> tuple[ev.RunInterrupted, ...]:
    """Return the bounds left by the last sign of life and the one that never came.

    An entry is a sign of life like a heartbeat. Without a heartbeat, or where entries
    went on without one, nobody knows when the program went away: it may have lived
    to the run's end.
    """
    box = bench.boxes[run.box]
    if beat is None:
        return (ev.RunInterrupted(run.run, 0, run.planned),)
    alive = Now.at(beat, bench.boots)
    every_ms = int(limit(bench, "heartbeat_s") * MS)
    beating = True
    if bench.latest is not None and (late_ms := -alive.since(bench.latest)) > 0:
        alive, beating = Now.at(bench.latest, bench.boots), late_ms <= every_ms
    low = counts_after(run, box, alive.since(run.started))
    if low >= run.planned:
        return ()  # it was due before the program went away: the usual question
    next_ms = max(0, alive.most_since(run.started)) + every_ms
    high = counts_after(run, box, next_ms) if beating else run.planned
    return (ev.RunInterrupted(run.run, low, high),)


@decides(cm.NoteWallStep)
def wall_step(bench: Bench, command: cm.NoteWallStep, now: Instant) -> Decision:
    """Write the step of the wall clock down; within a boot nothing rests on it."""
    return (ev.WallClockStepped(command.step_ms),)


@decides(cm.NoteGap)
def gap(bench: Bench, command: cm.NoteGap, now: Instant) -> Decision:
    """Write down that nobody watched for a while."""
    return (ev.NobodyWatched(command.gap_ms),)


@decides(cm.NoteFault)
def fault(bench: Bench, command: cm.NoteFault, now: Instant) -> Decision:
    """Write a fault of the program down."""
    return (ev.ProgramFaulted(command.fault, command.digest),)
