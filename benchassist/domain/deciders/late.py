"""What was done away from the program, entered afterwards and marked late.

Both times are kept: when it was done, and when it was entered. A dose told late counts
as seen only where a counter was read. Drying told late is not believed at all: alcohol
that is thought gone burns in the box, so its clock runs from the entry.
"""

from __future__ import annotations

from benchassist.clock import MINUTE_MS, MS, Instant, Now
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.deciders.box import box_stage, ended, planned_count
from benchassist.domain.deciders.common import deviation, drying, find
from benchassist.domain.deciders.stages import overwashed
from benchassist.domain.deciders.table import decides
from benchassist.domain.evolve import after
from benchassist.domain.gates import GATES, is_open
from benchassist.domain.gates.verdict import Ask
from benchassist.domain.layer import lot_for
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.runs import most_in
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, InRun, Part, Ready, Soaking
from benchassist.domain.words import clock, unit_word

# What only the bench as it stood then could say, or what the entry itself settles.
NOT_ASKED = ("previous-stage", "box-occupied", "box-free-for-coat", "interruption")
HERE = {
    "checks": "Checks are done here: do them now and tick them.",
    "hold": "Put it on hold here; the time before is not known.",
}


@decides(cm.EnterLate)
def enter_late(bench: Bench, command: cm.EnterLate, now: Instant) -> Decision:
    """Take what was done away from the program at the stage a part is at."""
    part = find(bench, command.part)
    granted(_not_late(part))
    times = granted(_times(part, command, now))
    began = times[0]
    entered = ev.EnteredLate(part.code, part.stage.key, *times, command.source)
    facts = granted(_facts(bench, part, command, times, now))
    opened = _deviations(bench, part, began, facts)
    return (*facts, entered, *opened)


def _not_late(part: Part) -> Refusal | None:
    """Return why what a part is at cannot be entered afterwards."""
    mode, title = STAGES[part.stage.kind].mode, part.stage.title
    if mode == "dry":
        return Refusal(
            "late-drying",
            f"{title} is not taken from paper: its time runs from here.",
            remedy="Wait until it is dry: no smell, no dark patch.",
            part=part.code,
        )
    if mode in HERE:
        return Refusal("late-here", HERE[mode], part=part.code)
    if isinstance(part.phase, InRun):
        told = "Its run is known here."
        return Refusal("late-here", told, remedy="Enter the box count.", part=part.code)
    if not isinstance(part.phase, Ready | Soaking):
        told = f"{part.code} lies wet on the screen."
        remedy = "Tell how the coat is first."
        return Refusal("late-here", told, remedy=remedy, part=part.code)
    return None


def _times(
    part: Part, command: cm.EnterLate, now: Instant
) -> tuple[Instant, Instant] | Refusal:
    """Return when it was done, or which time cannot be."""
    phase = part.phase
    first = phase.since if isinstance(phase, Soaking) else part.entered
    began, last = command.began or first, command.ended
    if isinstance(phase, Soaking):
        began = first  # the program saw it begin
    if 0 < _ms(began, first) < MINUTE_MS:
        began = first
    if _ms(began, first) > 0:
        told = f"{part.code} came to this at {_told(first)}: it cannot begin before."
        return Refusal("late-time", told, remedy="Type a later time.", part=part.code)
    if 0 < _ms(last, began) < MINUTE_MS:
        last = began
    if _ms(began, last) < 0:
        told = f"It ended at {_told(last)}, before it began at {_told(began)}."
        return Refusal("late-time", told, remedy="Type both again.", part=part.code)
    if _ms(last, now) < 0:
        told = f"{_told(last)} has not come yet."
        return Refusal("late-time", told, remedy="Type when it was.", part=part.code)
    # Told by the wall clock, and laid on the line of what is known: whatever a restart
    # meanwhile left unsure is told now.
    return first.plus(_ms(first, began)), first.plus(_ms(first, last))


def _ms(earlier: Instant, later: Instant) -> int:
    """Return what passed between two times as told: by the clock on the wall."""
    return later.wall_ms - earlier.wall_ms


def _told(at: Instant) -> str:
    return f"{at.local():%H:%M}"


Facts = tuple[ev.Event, ...]


def _facts(
    bench: Bench,
    part: Part,
    command: cm.EnterLate,
    times: tuple[Instant, Instant],
    now: Instant,
) -> Facts | Refusal:
    """Return what happened, as the same events that it is told by here."""
    elapsed_ms = _ms(*times)
    match STAGES[part.stage.kind].mode:
        case "soak":
            return _bath(bench, part, elapsed_ms)
        case "flip":
            turned = ev.FlipConfirmed(part.code, part.stage.side)
            return turned, *_left(part, elapsed_ms)
        case "coat":
            return _coat(bench, part, command, times)
        case "submerge":
            return _under(bench, part, elapsed_ms)
        case "box":
            return _run(bench, part, command, elapsed_ms, now)
        case _:
            return _left(part, elapsed_ms)


def _left(part: Part, elapsed_ms: int) -> Facts:
    """Return the events by which a part left its stage; drying begins only now."""
    done = ev.StageEnded(part.code, part.stage.key, elapsed_ms, elapsed_ms)
    return done, *drying(part.code, part.route[part.at + 1 :])


def _bath(bench: Bench, part: Part, elapsed_ms: int) -> Facts:
    least = part.stage.min_s * MS
    short: Facts = ()
    if elapsed_ms < least:
        text = (
            f"{part.stage.title}, entered late: {clock(elapsed_ms)}, at least"
            f" {clock(least)} is needed."
        )
        short = (deviation(bench, "too-early", (part.code,), text),)
    long = overwashed(bench, (part,), elapsed_ms)
    return *_left(part, elapsed_ms), *(short or long)


def _coat(
    bench: Bench, part: Part, command: cm.EnterLate, times: tuple[Instant, Instant]
) -> Facts | Refusal:
    """Return a coat lit away from the program: nobody paced it, so it is assumed."""
    if command.spot_s <= 0:
        return Refusal(
            "late-light",
            "Type the seconds of light that each spot had.",
            part=part.code,
        )
    layer, lot = part.stage.layer, lot_for(part, part.stage.layer)
    if not (part.lamp and lot):
        missing = "No lamp" if lot else "No lot"
        return Refusal("late-light", f"{missing} is chosen.", part=part.code)
    work = part.work.get(layer)
    states = work.spots if work else ("open",) * bench.spots_of(part)
    brushed = ev.BrushWetted(
        part=part.code,
        layer=layer,
        segment=(work.segments if work else 0) + 1,
        first=0,
        last=len(states),
        lot=lot,
    )
    lit = tuple(
        ev.SpotTacked(
            part=part.code,
            layer=layer,
            spot=spot,
            lamp=part.lamp,
            light_ms=command.spot_s * MS,
            ended=times[1],
            evidence="assumed",
        )
        for spot, state in enumerate(states)
        if state != "done"
    )
    return brushed, *lit, *_left(part, _ms(*times))


def _under(bench: Bench, part: Part, elapsed_ms: int) -> Facts | Refusal:
    fill = bench.fills.get(part.vessel)
    if fill is None or part.box not in bench.boxes:
        told = "The box or the vessel is not chosen, or the vessel was never filled."
        return Refusal(
            "late-vessel", told, remedy="Choose both by hand.", part=part.code
        )
    more = part.immersed_in != part.vessel
    submerged = ev.SubmergeConfirmed(
        box=part.box,
        vessel=part.vessel,
        parts=(part.code,),
        count=planned_count(bench, (part,)),
        immersions=fill.immersions + more,
    )
    own: Facts = ()
    if part.variant.back_from_mouth:
        own = (ev.GlycerineSpoilt(part.vessel, f"own portion of {part.code}"),)
    return submerged, *own, *_left(part, elapsed_ms)


def _run(
    bench: Bench,
    part: Part,
    command: cm.EnterLate,
    elapsed_ms: int,
    now: Instant,
) -> Facts | Refusal:
    """Return a run of the box: as the counter showed it, else up to what was set.

    The counter wins over the times; where they leave no room for it, one is to assess.
    """
    box = bench.boxes.get(part.box)
    if box is None:
        told = "No curing box is chosen."
        return Refusal("no-equipment", told, remedy="Choose one.", part=part.code)
    read = command.count >= 0
    stage = box_stage(part)
    started = ev.RunStarted(
        run=f"R-{bench.runs_begun + 1}",
        box=box.code,
        vessel=part.immersed_in,
        parts=(part.code,),
        side=stage.side,
        half=stage.half,
        planned=planned_count(bench, (part,)),
        rate_hz=box.rate_hz,
        unit=box.unit,
    )
    running = after(bench, started, now)
    run = running.runs[started.run]
    if read:
        seen: tuple[int, int, ev.Evidence] = (command.count, command.count, "observed")
        facts = started, *ended(running, run, "stopped", seen, now)
        most = most_in(run, box, elapsed_ms + MINUTE_MS)
        if command.count <= most:
            return facts
        text = (
            f"{run.run}, entered late: by its times {box.code} gave {most}"
            f" {unit_word(box.unit, most)} at most, not {command.count}."
        )
        doubt = deviation(
            bench, "late-count", (part.code,), text, offset=_opened(facts)
        )
        return *facts, doubt
    # Nobody saw what it did: anything between nothing and all that was set.
    return started, *ended(running, run, "unknown", (0, run.planned, "assumed"), now)


def _opened(facts: Facts) -> int:
    """Return how many deviations what happened has opened already."""
    return sum(isinstance(event, ev.DeviationOpened) for event in facts)


# --- what was in the way -------------------------------------------------------------


def _deviations(
    bench: Bench, part: Part, began: Instant, facts: Facts
) -> tuple[ev.DeviationOpened, ...]:
    """Return one deviation for the gates that would have been shut at the time told."""
    ask, at = Ask(part, part.stage, (part.code,)), Now.at(began, bench.boots)
    shut = []
    for code in STAGES[part.stage.kind].gates:
        if code in NOT_ASKED:
            continue
        gate = GATES[code]
        verdict = gate.check(bench, ask, at)
        if not is_open(bench, gate, verdict, at):
            shut.append(f"{gate.title}: {verdict.sentence.rstrip('.')}")
    if not shut:
        return ()
    text = f"{part.stage.title}, entered late. {'; '.join(shut)}."
    return (deviation(bench, "late", (part.code,), text, offset=_opened(facts)),)
