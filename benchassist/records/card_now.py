"""Where a part is and until when, and what was done to it, in words for paper.

Paper has no countdown: whatever runs is told by the time on the wall.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchassist.clock import MS, Instant
from benchassist.domain import events as ev
from benchassist.domain.coat import coat_state, face_of
from benchassist.domain.limits import limit
from benchassist.domain.queue import stay_ms
from benchassist.domain.quiet import waits_with
from benchassist.domain.route import Stage
from benchassist.domain.runs import left_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standing
from benchassist.domain.state import (
    WET,
    Bench,
    Closed,
    InRun,
    OnHold,
    Part,
    Patch,
    Ready,
    Soaking,
)
from benchassist.domain.truth import Line
from benchassist.domain.wet import wet_limit_ms
from benchassist.domain.words import clock, listed, unit_word
from benchassist.value import value

Told = tuple[str, str]  # what, and how much of it


@value
class Done:
    """Something that was done: when, what, how much of it, by whom; its entry."""

    when: str
    what: str
    how_much: str
    who: str
    seq: int = 0


def wall(at: Instant, now: Instant) -> str:
    """Return the time on the wall, with its day where that is not today."""
    local = at.local()
    time = f"{local:%H:%M:%S}"
    if at.day() == now.day():
        return time
    return f"{local:%a} {local.day} {local:%b} {time}"


# --- now ---------------------------------------------------------------------------


def stands(bench: Bench, part: Part, now: Instant) -> tuple[str, ...]:
    """Return where a part is and by when it needs somebody, one sentence each."""
    return (*_phase(bench, part, now), *_around(bench, part, now))


def _phase(bench: Bench, part: Part, now: Instant) -> Iterator[str]:
    phase, title = part.phase, part.stage.title
    match phase:
        case Soaking(since=since):
            yield f"{title}, since {wall(since, now)}."
            yield _stay(bench, part, since, now)
        case InRun(run=run):
            yield from _run(bench, run, now)
        case Patch():
            yield from _wet(bench, part, phase, now)
        case OnHold(since=since):
            last = now.plus(Standing(bench, part, now).need.harm_ms)
            yield f"On hold, covered and dark, since {wall(since, now)}."
            yield f"It goes on by {wall(last, now)} at the latest."
        case Ready(since=since):
            yield f"Ready since {wall(since, now)}. Next: {title}."
            at = Standing(bench, part, now)
            if at.situation == "shut" and at.shut is not None:
                yield f"Not yet: {at.shut[1].sentence}"
        case Closed(at=at, how=how):
            yield f"{how.capitalize()} at {wall(at, now)}."


def _stay(bench: Bench, part: Part, since: Instant, now: Instant) -> str:
    stage = part.stage
    phase = part.phase
    spent = stay_ms(part, phase, now) if isinstance(phase, Soaking) else 0
    first = wall(_when(stage.min_s * MS - spent, now), now)
    match STAGES[stage.kind].mode:
        case "dry":
            return f"Dry from {first} on."
        case "submerge":
            return f"The bubbles have had their time at {first}; then the box."
        case _:
            pass
    most = [stage.max_s * MS] if stage.max_s else []
    if STAGES[stage.kind].solvent:
        most.append(bench.recipe_of(part).solvent_max_s * MS - part.solvent_ms)
    if not most:
        return f"Take it out from {first} on."
    last = wall(_when(max(0, min(most)) - now.most_since(since), now), now)
    return f"Take it out from {first} on, by {last} at the latest."


def _when(left_ms: float, now: Instant) -> Instant:
    """Return what the clock on the wall will say, or said, when so much is left.

    From now on, not from the beginning: the clock may have been set since.
    """
    return now.plus(int(left_ms))


def _run(bench: Bench, name: str, now: Instant) -> Iterator[str]:
    run = bench.runs[name]
    box = bench.boxes[run.box]
    count = f"{run.planned} {unit_word(run.unit, run.planned)}"
    end = _when(left_ms(run, box, now), now)
    late = end.plus(int(limit(bench, "late_box_s") * MS))
    yield (
        f"In {run.box} since {wall(run.started, now)}, {count} set: it ends at"
        f" {wall(end, now)}; take it out by {wall(late, now)}."
    )
    if run.interrupted:
        low, high = run.interrupted
        yield f"The program was away meanwhile: it had {low} to {high} by then."
    yield (
        "It counts only once its end was seen: completed, or stopped at what the"
        " counter shows."
    )


def _wet(bench: Bench, part: Part, phase: WET, now: Instant) -> Iterator[str]:
    last = _when(wet_limit_ms(bench, part) - now.most_since(phase.wet_since), now)
    yield (
        f"{part.stage.title}, segment {phase.segment}: wet since"
        f" {wall(phase.wet_since, now)}, wet no longer than {wall(last, now)}."
    )
    states = part.work[part.stage.layer].spots
    left = [n for n in range(phase.first, phase.last) if states[n] != "done"]
    if left:
        face, number, of = face_of(bench, part, left[0])
        yield (
            f"The next spot is {number} of {of}, {face}; one that was broken off"
            f" starts whole. {len(left)} of this segment are left."
        )
    yield "Past that time look at it first: wet and clean, set, or wipe it off."


def _around(bench: Bench, part: Part, now: Instant) -> Iterator[str]:
    load = bench.loads.get(part.box)
    if load is not None and part.code in load.parts:
        count = f"{load.count} {unit_word(bench.recipe_of(part).unit, load.count)}"
        yield f"Loaded in {load.box} with {count} set; it was not started yet."
    if part.immersed_in:
        yield f"It lies under glycerine in {part.immersed_in}."
    elif isinstance(part.phase, Ready) and coat_state(part) == "tacked":
        lying_ms = now.most_since(part.phase.since)
        last = _when(limit(bench, "late_tacked_s") * MS - lying_ms, now)
        yield f"Tacked, in the open: under cover by {wall(last, now)}."
    with_it = tuple(code for code in waits_with(bench, part) if code != part.code)
    if with_it:
        yield f"Together with {listed(with_it)}."
    if part.code in bench.advised:
        told = bench.advised[part.code]
        yield f"Advised: {told.title}"
        yield from told.steps


# --- before ------------------------------------------------------------------------


def done(part: Part, log: Iterable[Line], now: Instant) -> tuple[Done, ...]:
    """Return what a part's history says was done, in its order.

    What was put right, or entered late, says so.
    """
    route: dict[str, Stage] = {}
    found = []
    log = tuple(log)
    late = {
        (line.entry.act, line.entry.event.stage): line.entry.event
        for line in log
        if isinstance(line.entry.event, ev.EnteredLate)
    }
    for line in log:
        entry = line.entry
        event = entry.event
        if isinstance(event, ev.PartTaken | ev.RouteChanged):
            route |= {stage.key: stage for stage in event.route}
        told = _told(part, event, route)
        if told is None:
            continue
        what, how_much = told
        when = wall(entry.at, now)
        if isinstance(event, ev.StageEnded) and _timed(route.get(event.stage)):
            when = f"{wall(entry.at.plus(-event.elapsed_ms), now)} to {when}"
        if isinstance(event, ev.StageEnded) and (entry.act, event.stage) in late:
            told_late = late[entry.act, event.stage]
            when = f"{wall(told_late.began, now)} to {wall(told_late.ended, now)}"
            how_much = _also(how_much, f"entered late, {wall(entry.at, now)}")
        what, how_much = marked(line, what, how_much)
        found.append(Done(when, what, how_much, entry.operator, entry.seq))
    return tuple(found)


def marked(line: Line, what: str, how_much: str = "") -> Told:
    """Return what is told of an entry, with what a correction made of it."""
    if not line.by:
        return what, how_much
    what = f"{what} (did not happen)" if line.gone else what
    return what, _also(how_much, f"put right, entry {line.by[-1]}")


def _also(told: str, more: str) -> str:
    return f"{told}; {more}" if told else more


def _told(part: Part, event: ev.Event, route: dict[str, Stage]) -> Told | None:
    """Return what was done and how much of it; None for what paper need not say."""
    told: Told | None = None
    match event:
        case ev.PartTaken():
            told = "taken in", ""
        case ev.StageEnded(part=part.code):
            told = _ended(part, event, route.get(event.stage))
        case ev.DoseCredited(part=part.code):
            told = _credited(event, route)
        case ev.CheckRecorded(part=part.code, check=name, passed=passed):
            told = f"check: {name}", "passed" if passed else "FAILED"
        case ev.MishapReported(part=part.code, title=title):
            told = f"mishap: {title}", ""
        case ev.LayerStripped(part=part.code, layer=layer):
            told = f"{layer} taken off again", ""
        case ev.RouteChanged(part=part.code, why=why):
            told = "goes on another way", why
        case ev.PartHeld(part=part.code):
            told = "put on hold", ""
        case _:
            pass
    return told


def _credited(event: ev.DoseCredited, route: dict[str, Stage]) -> Told:
    """Return what a run of the box gave, under the title of its stage."""
    at = ("box", event.half, event.side)
    titles = (
        each.title for each in route.values() if (each.kind, each.half, each.side) == at
    )
    counts = f"{event.low}–{event.high} {unit_word(event.unit, event.high)}"
    return next(titles, f"box, run {event.run}"), f"{counts}, {event.evidence}"


def _ended(part: Part, event: ev.StageEnded, stage: Stage | None) -> Told | None:
    """Return what a stage that was left had: the time in it, or its light."""
    if stage is None:
        return event.stage, ""
    if stage.kind == "box":
        return None  # what it was credited says more
    work = part.work.get(stage.layer)
    if work is not None:
        lit = sum(state == "done" for state in work.spots)
        lamps = ", ".join(work.lamps)
        return (
            stage.title,
            f"{lit} spots, {clock(work.light_ms)} of light, {lamps}, {work.evidence}",
        )
    return stage.title, clock(event.elapsed_ms) if _timed(stage) else ""


def _timed(stage: Stage | None) -> bool:
    """Return whether the time in a stage says something: work by hand waits in it."""
    return stage is not None and STAGES[stage.kind].mode in ("soak", "dry")
