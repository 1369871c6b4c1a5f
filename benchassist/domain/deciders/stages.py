"""Timed stages, hand work, flips, holds, and undoing a start."""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.common import (
    deviation,
    find,
    gates_of,
    leave,
    not_at,
    together,
)
from benchassist.domain.deciders.table import decides
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.queue import need, stay_ms
from benchassist.domain.quiet import waits_with
from benchassist.domain.runs import counts_after
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    Bench,
    InRun,
    OnHold,
    Part,
    Ready,
    Soaking,
    Start,
)
from benchassist.domain.sure import at_most, sure
from benchassist.domain.words import clock, listed, minutes, sentences

DRY_CODES = {"dry-box": "dry-before-box", "dry-coat": "dry-before-coat"}


@decides(cm.StartStage)
def start(bench: Bench, command: cm.StartStage, now: Instant) -> Decision:
    """Start a timed stage for the whole basket."""
    part = find(bench, command.part)
    if STAGES[part.stage.kind].mode != "soak" or not isinstance(part.phase, Ready):
        return not_at(part, "be started")
    granted(gates_of(bench, part, now))
    return (ev.StageStarted(part.stage.key, part.stage.kind, bench.basket_of(part)),)


@decides(cm.TakeOut)
def take_out(
    bench: Bench, command: cm.TakeOut, now: Instant
) -> tuple[ev.Event, ...] | Refusal:
    """Take a basket out: never before the shortest stay, count in = count out."""
    part = find(bench, command.part)
    phase = part.phase
    if STAGES[part.stage.kind].mode != "soak" or not isinstance(phase, Soaking):
        return not_at(part, "be taken out")
    parts = together(bench, part)
    left = part.stage.min_s * MS - stay_ms(part, phase, now)
    if left > 0:
        return Refusal(
            "too-early",
            f"{part.stage.title}: {clock(left)} to the shortest stay.",
            (("left_s", left / MS),),
            part=part.code,
        )
    if command.count not in (0, len(parts)):
        return Refusal(
            "count-in-out",
            f"{len(parts)} went in, {command.count} counted out.",
            (("in", len(parts)), ("out", command.count)),
            "Look for the missing part, then count again.",
            part=part.code,
        )
    ended = tuple(event for each in parts for event in leave(each, now))
    spent, about = now.most_since(phase.since), at_most(now, phase.since)
    return (*ended, *overwashed(bench, parts, spent, about))


@decides(cm.Quiet)
def quiet(bench: Bench, command: cm.Quiet, now: Instant) -> Decision:
    """Let the sound of what is due rest; what is late stays heard."""
    part = find(bench, command.part)
    phase, found = part.phase, need(bench, part, now)
    run = bench.runs.get(phase.run) if isinstance(phase, InRun) else None
    asked = run is not None and run.interrupted is not None
    waits = STAGES[part.stage.kind].mode in ("soak", "dry", "box")
    due = isinstance(phase, Soaking | InRun) and (found.due_ms <= 0 or asked)
    if not (waits and due):
        return not_at(part, "be quieted")
    hands_ms = int(limit(bench, "hands_ready_s") * MS)
    if isinstance(phase, Soaking) and found.harm_ms < hands_ms:
        return Refusal(
            "late",
            f"{part.code} is late: its sound stays on.",
            (("left_s", found.harm_ms / MS),),
            "Take it out.",
            part=part.code,
        )
    rest_ms = int(limit(bench, "quiet_s") * MS)
    return (ev.DueQuieted(waits_with(bench, part), rest_ms),)


def out_of_bath(bench: Bench, part: Part, now: Instant) -> tuple[ev.Event, ...]:
    """Return the end of the bath a part lies in, whatever its shortest stay."""
    phase = part.phase
    if not (isinstance(phase, Soaking) and STAGES[part.stage.kind].solvent):
        return ()
    spent = now.most_since(phase.since)
    ended = ev.StageEnded(part.code, part.stage.key, spent, now.since(phase.since))
    return (ended, *overwashed(bench, (part,), spent, at_most(now, phase.since)))


def overwashed(
    bench: Bench, parts: tuple[Part, ...], spent: int, about: str = ""
) -> tuple[ev.Event, ...]:
    """Return the deviation of parts that lay too long in their solvent, if they did.

    ``spent`` is the most it can have been, in ms; ``about`` says where it is not sure.
    """
    stage = parts[0].stage
    if not STAGES[stage.kind].solvent:
        return ()
    codes = tuple(each.code for each in parts)
    most = stage.max_s * MS
    if most and spent > most:
        text = (
            f"{stage.title} took {about}{clock(spent)}, at most {clock(most)} allowed."
        )
        return (deviation(bench, "over-wash", codes, text),)
    long = tuple(
        each.code
        for each in parts
        if each.solvent_ms + spent > bench.recipe_of(each).solvent_max_s * MS
    )
    if long:
        text = f"{listed(long)}: longest time in solvent passed."
        return (deviation(bench, "solvent-time", long, text),)
    return ()


@decides(cm.FinishStage)
def finish(bench: Bench, command: cm.FinishStage, now: Instant) -> Decision:
    """Finish hand work, or end a drying whose time has passed."""
    part = find(bench, command.part)
    mode = STAGES[part.stage.kind].mode
    if mode == "hand" and isinstance(part.phase, Ready):
        return leave(part, now)
    if mode == "dry" and isinstance(part.phase, Soaking):
        left = part.stage.min_s * MS - now.since(part.phase.since)
        if left > 0:
            code = DRY_CODES.get(part.stage.key, "dry-more")
            return Refusal(
                code,
                f"dry {minutes(left)} more",
                (("left_s", left / MS), ("least_s", part.stage.min_s)),
                sentences(
                    sure(now, part.phase.since),
                    "Wait until it is dry: no smell, no dark patch.",
                ),
                part=part.code,
            )
        dried = together(bench, part)
        return tuple(event for each in dried for event in leave(each, now))
    return not_at(part, "be finished")


@decides(cm.ConfirmFlip)
def flip(bench: Bench, command: cm.ConfirmFlip, now: Instant) -> Decision:
    """Confirm that a part was turned."""
    part = find(bench, command.part)
    if part.stage.kind != "flip" or not isinstance(part.phase, Ready):
        return not_at(part, "be turned")
    return ev.FlipConfirmed(part.code, part.stage.side), *leave(part, now)


@decides(cm.HoldPart)
def hold(bench: Bench, command: cm.HoldPart, now: Instant) -> Decision:
    """Put a part on hold, covered and dark."""
    part = find(bench, command.part)
    if not isinstance(part.phase, Ready):
        return not_at(part, "be put on hold")
    return (ev.PartHeld(part.code, command.reason),)


@decides(cm.ResumePart)
def resume(bench: Bench, command: cm.ResumePart, now: Instant) -> Decision:
    """Take a part from hold; past the limit a deviation is opened."""
    part = find(bench, command.part)
    if not isinstance(part.phase, OnHold):
        return not_at(part, "be taken from hold")
    spent, least = now.most_since(part.phase.since), now.since(part.phase.since)
    back: tuple[ev.Event, ...] = (ev.HoldEnded(part.code, spent),)
    if part.stage.kind == "hold":
        back = (ev.StageEnded(part.code, part.stage.key, spent, least),)
    most = limit(bench, "hold_limit_s") * MS
    if spent > most:
        about = at_most(now, part.phase.since)
        text = f"Held {about}{clock(spent)}, at most {clock(most)} allowed."
        return (*back, deviation(bench, "hold", (part.code,), text))
    return back


@decides(cm.VoidStart)
def void(bench: Bench, command: cm.VoidStart, now: Instant) -> Decision:
    """Undo the last start by hand within its few seconds."""
    last = bench.last_start
    if last is None or not all(_runs_yet(bench, last, code) for code in last.parts):
        return Refusal("nothing-to-undo", "Nothing was started that can be undone.")
    spent = now.most_since(last.at)
    most_s = limit(bench, "undo_s")
    if spent > most_s * MS:
        return Refusal(
            "undo-late",
            f"Started {clock(spent)} ago; undo is for {most_s:.0f} s. "
            "Fix the record instead, key Z.",
        )
    voided = ev.StartVoided(last.stage, last.parts, spent, command.really_ran)
    phase = bench.parts[last.parts[0]].phase
    if isinstance(phase, InRun) and command.really_ran != "no":
        # The box ran or may have run: its end state is asked like any other.
        run = bench.runs[phase.run]
        high = counts_after(run, bench.boxes[run.box], spent)
        return voided, ev.RunInterrupted(run.run, 0, high)
    return (voided,)


def _runs_yet(bench: Bench, last: Start, code: str) -> bool:
    """Return whether what was started is still what the part is in."""
    part = bench.parts.get(code)
    if part is None or part.stage.key != last.stage:
        return False
    return isinstance(part.phase, Soaking | InRun)
