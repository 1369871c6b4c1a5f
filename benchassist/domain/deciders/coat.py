"""Stain and coats: lamp session, brush, paced walk, and the look at a wet coat."""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import evolve
from benchassist.domain.coat import (
    answer_for,
    layer_done,
    lit_ms,
    next_segment,
    session_open,
)
from benchassist.domain.deciders.common import (
    back,
    deviation,
    find,
    gates_of,
    leave,
    not_at,
    refusal_of,
)
from benchassist.domain.deciders.table import decides
from benchassist.domain.gates import GATES, ask_for, is_open
from benchassist.domain.layer import lot_for
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Brushing, Part, Paused, Ready, Walking
from benchassist.domain.wet import ambient_klx_s, must_look, overdue, wet_limit_ms
from benchassist.domain.words import clock


@decides(cm.OpenLampSession)
def open_session(bench: Bench, command: cm.OpenLampSession, now: Instant) -> Decision:
    """Confirm eyewear on and this lamp in hand."""
    if command.lamp not in bench.lamps:
        return Refusal("no-equipment", f"The lamp “{command.lamp}” is not on file.")
    return (ev.LampSessionOpened(command.lamp),)


def session_missing(bench: Bench, part: Part) -> Refusal | None:
    """Return the refusal when eyewear and lamp were not confirmed by hand."""
    if session_open(bench, part):
        return None
    return Refusal(
        "lamp-session",
        f"Hold to confirm: glasses on, {part.lamp} in hand.",
        remedy="Once per lamp and session, by hand.",
        part=part.code,
    )


@decides(cm.WetBrush)
def wet_brush(bench: Bench, command: cm.WetBrush, now: Instant) -> Decision:
    """Let the brush be wetted, if every gate and the lamp session allow it."""
    part = find(bench, command.part)
    if STAGES[part.stage.kind].mode != "coat" or not isinstance(part.phase, Ready):
        return not_at(part, "be brushed")
    refusal = gates_of(bench, part, now) or session_missing(bench, part)
    segment = next_segment(bench, part, answer_for(bench, part).seconds)
    if refusal or segment is None:
        return refusal or not_at(part, "be brushed")
    layer = part.stage.layer
    return (
        ev.BrushWetted(
            part=part.code,
            layer=layer,
            segment=segment.number,
            first=segment.first,
            last=segment.last,
            lot=lot_for(part, layer),
        ),
    )


def walk_shut(bench: Bench, part: Part, now: Instant) -> Refusal | None:
    """Return why no walk begins; the light check runs at every spot session."""
    for code in ("light-check", "lamp-reading-age"):
        verdict = GATES[code].check(bench, ask_for(bench, part), now)
        if not is_open(bench, GATES[code], verdict, now):
            return refusal_of(part, GATES[code], verdict)
    return session_missing(bench, part)


def _walk(bench: Bench, part: Part, spot: int, now: Instant) -> Decision:
    """Start the walk at ``spot``."""
    granted(walk_shut(bench, part, now))
    answer = answer_for(bench, part)
    return (
        ev.WalkStarted(
            part=part.code,
            layer=part.stage.layer,
            spot=spot,
            lamp=part.lamp,
            light_ms=answer.seconds * MS,
            move_ms=bench.recipe_of(part).move_s * MS,
            verdict=answer.level,
            numbers=answer.numbers,
        ),
    )


@decides(cm.StartWalk)
def start_walk(bench: Bench, command: cm.StartWalk, now: Instant) -> Decision:
    """Start the paced walk of a brushed segment."""
    part = find(bench, command.part)
    if not isinstance(part.phase, Brushing):
        return not_at(part, "be tacked")
    if overdue(bench, part, part.phase, now):
        # No light on a coat that nobody looked at: it may have set, or hold dust.
        return (ev.WalkPaused(part.code, part.phase.first, "wet limit"),)
    return _walk(bench, part, part.phase.first, now)


@decides(cm.BreakSpot)
def break_spot(bench: Bench, command: cm.BreakSpot, now: Instant) -> Decision:
    """Break the spot off; the walk pauses and the spot will start whole."""
    part = find(bench, command.part)
    if not isinstance(part.phase, Walking):
        return not_at(part, "break a spot off")
    return broken(part, part.phase, "not done", lit_ms(part.phase, now))


def broken(part: Part, walk: Walking, why: str, light_ms: int) -> tuple[ev.Event, ...]:
    """Return the events that break a walk off at its current spot."""
    paused = ev.WalkPaused(part.code, walk.spot, why)  # type: ignore[arg-type]
    if light_ms <= 0:
        return (paused,)
    lost = ev.SpotBroken(part.code, part.stage.layer, walk.spot, walk.lamp, light_ms)
    return lost, paused


@decides(cm.GoOn)
def go_on(bench: Bench, command: cm.GoOn, now: Instant) -> Decision:
    """Go on with a paused walk; the coat was looked at if time ran."""
    part = find(bench, command.part)
    phase = part.phase
    if not isinstance(phase, Paused):
        return not_at(part, "go on")
    if must_look(bench, part, phase, now):
        return Refusal(
            "look-first",
            f"Look first: wet for {clock(now.most_since(phase.wet_since))}. "
            "Tell by hand how the coat is.",
            part=part.code,
        )
    return _walk(bench, part, phase.spot, now)


@decides(cm.BackOne)
def back_one(bench: Bench, command: cm.BackOne, now: Instant) -> Decision:
    """Go back one spot, inside this segment."""
    part = find(bench, command.part)
    phase = part.phase
    if not isinstance(phase, Paused) or not phase.looked:
        return not_at(part, "go back")
    if phase.spot == phase.first:
        return Refusal("first-spot", "This is the segment's first spot.")
    return (ev.WalkPaused(part.code, phase.spot - 1, "back one"),)


@decides(cm.TellCoatState)
def tell_state(bench: Bench, command: cm.TellCoatState, now: Instant) -> Decision:
    """Tell how the interrupted coat is; what is spoilt opens a deviation."""
    part = find(bench, command.part)
    if not isinstance(part.phase, Paused):
        return not_at(part, "be looked at")
    wet_ms = now.most_since(part.phase.wet_since)
    break_ms = now.most_since(part.phase.since)
    told = ev.CoatStateTold(
        part.code,
        part.stage.layer,
        command.told,
        wet_ms,
        late_ms=max(0, wet_ms - wet_limit_ms(bench, part)),
        numbers=_break_numbers(bench, part, break_ms),
    )
    here = back(bench, now)  # whoever looks at the coat is back
    if command.told != "set or dusty":
        return *here, told
    text = f"{part.stage.title}: set or dusty after {clock(wet_ms)} wet."
    return *here, told, deviation(bench, "coat-set-or-dusty", (part.code,), text)


def _break_numbers(bench: Bench, part: Part, break_ms: int) -> ev.Numbers:
    used = ambient_klx_s(bench, part, break_ms)
    numbers: ev.Numbers = (("break_s", break_ms / MS),)
    return numbers if used is None else (*numbers, ("klx_s", round(used, 1)))


def walked(
    bench: Bench, part: Part, now: Instant, watched: Instant
) -> tuple[tuple[ev.Event, ...], Part]:
    """Return the spots a walk has completed, by its timeline, and the part after.

    Nothing that ended after ``watched`` is credited: nobody saw it.
    """
    done: list[ev.Event] = []
    layer = part.stage.layer
    while isinstance(walk := part.phase, Walking):
        ended = walk.lit.plus(walk.light_ms)
        if watched.since(ended) < 0:
            break
        done.append(
            ev.SpotTacked(part.code, layer, walk.spot, walk.lamp, walk.light_ms, ended)
        )
        bench = evolve.after(bench, done[-1], now)
        part = bench.parts[part.code]
    if done and layer_done(part):
        done.extend(leave(part, now))
    return tuple(done), part
