"""Curing box: load and submerge cards, runs, and what is credited afterwards."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import evolve
from benchassist.domain.deciders.common import deviation, find, leave, not_at, shut
from benchassist.domain.deciders.table import decides
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.ledger import bounds, next_runs, remaining
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Decision, Refusal, granted
from benchassist.domain.route import SUBMERGED, Stage
from benchassist.domain.runs import DRIFT_SHARE, can_have_given, counts_after, left_ms
from benchassist.domain.state import BODY, Bench, Part, Ready, Run
from benchassist.domain.words import clock, listed, unit_word


def _loadable(
    bench: Bench, codes: tuple[str, ...], kind: str, box: str
) -> tuple[Part, ...] | Refusal:
    """Return the parts of a card, if they may share one run."""
    parts = []
    for code in codes:
        part = find(bench, code)
        if part.stage.kind != kind or not isinstance(part.phase, Ready):
            return not_at(part, "be loaded")
        if part.box != box:
            chosen = part.box or "no box"
            return Refusal(
                "other-box", f"{code} is planned for {chosen}, not {box}.", part=code
            )
        parts.append(part)
    if not parts:
        return Refusal("no-such-part", "The card names no part.")
    if len(set(codes)) < len(codes):
        return Refusal("named-twice", "The card names a part twice.")
    first = parts[0]
    for part in parts[1:]:
        if _shared(part) != _shared(first):
            return Refusal(
                "one-recipe",
                f"{part.code} and {first.code} differ in recipe, half or side: "
                "one of each per run.",
                part=part.code,
            )
    return tuple(parts)


def _shared(part: Part) -> tuple[str, int, str]:
    """Return what parts must have in common to be credited by one run."""
    return part.recipe, part.stage.half, part.stage.side


def box_stage(part: Part) -> Stage:
    """Return the box stage a part is at, or the one its submerging leads to."""
    return next(stage for stage in part.route[part.at :] if stage.kind == "box")


def planned_count(bench: Bench, parts: tuple[Part, ...]) -> int:
    """Return the count to set for the next run of these parts.

    Where parts are owed different remainders the smallest is set, so that none
    gets more than it is owed; the others are topped up afterwards. 0 where one of them
    has all that it is owed, as a correction may have left it.
    """
    runs = (next_runs(bench, part, box_stage(part)) for part in parts)
    return min(each[0] if each else 0 for each in runs)


def _wrong_count(bench: Bench, parts: tuple[Part, ...], count: int) -> Refusal | None:
    planned = planned_count(bench, parts)
    if count == planned:
        return None
    return Refusal(
        "count-differs",
        f"Set {planned} on the box; the card says {count}.",
        (("planned", planned), ("count", count)),
        "Set the box to the planned count and hold the card again.",
        part=parts[0].code,
    )


def _light(bench: Bench, parts: tuple[Part, ...], now: Instant) -> ev.Numbers:
    """Return the light check's numbers of box and vessel, for the record."""
    gate = GATES["box-light"]
    return gate.check(bench, ask_for(bench, parts[0]), now).numbers


@decides(cm.ConfirmLoad)
def confirm_load(bench: Bench, command: cm.ConfirmLoad, now: Instant) -> Decision:
    """Take the load card: dry, count set as planned, door shut."""
    parts = granted(_loadable(bench, command.parts, "box", command.box))
    for part in parts:
        under = part.stage.half == SUBMERGED and part.variant.cover == "glycerine"
        if under and not part.immersed_in:
            return Refusal(
                "not-submerged",
                f"{part.code} is not under glycerine.",
                remedy="Submerge it and hold the submerge card.",
                part=part.code,
            )
        granted(shut(bench, ask_for(bench, part, command.parts), now))
    granted(_wrong_count(bench, parts, command.count))
    if not command.count:
        has_all = (part for part in parts if remaining(part, part.stage) == 0)
        return tuple(event for part in has_all for event in leave(part, now))
    return (
        ev.LoadConfirmed(
            command.box,
            command.parts,
            command.count,
            parts[0].immersed_in,
            _light(bench, parts, now),
        ),
    )


@decides(cm.ConfirmSubmerged)
def confirm_submerged(
    bench: Bench, command: cm.ConfirmSubmerged, now: Instant
) -> Decision:
    """Take the submerge card: submerged, no bubbles, held down, count set."""
    parts = granted(_loadable(bench, command.parts, "submerge", command.box))
    for part in parts:
        if part.vessel != command.vessel:
            return Refusal(
                "other-vessel",
                f"{part.code} is planned for {part.vessel or 'no vessel'}.",
                remedy="Choose the vessel by hand first.",
                part=part.code,
            )
        granted(shut(bench, ask_for(bench, part, command.parts), now))
    granted(_wrong_count(bench, parts, command.count))
    fill = bench.fills[command.vessel]
    entering = sum(1 for part in parts if part.immersed_in != command.vessel)
    submerged = ev.SubmergeConfirmed(
        command.box,
        command.vessel,
        command.parts,
        command.count,
        fill.immersions + entering,
        _light(bench, parts, now),
    )
    own = tuple(
        ev.GlycerineSpoilt(command.vessel, f"own portion of {part.code}")
        for part in parts
        if part.variant.back_from_mouth
    )
    if parts[0].stage.min_s:
        # Bubbles get their time to leave; the stage ends by itself.
        stage = parts[0].stage
        return (
            submerged,
            *own,
            ev.StageStarted(stage.key, stage.kind, command.parts, by_itself=True),
        )
    left = (event for part in parts for event in leave(part, now))
    return (submerged, *own, *left)


@decides(cm.StartRun)
def start_run(bench: Bench, command: cm.StartRun, now: Instant) -> Decision:
    """Start the countdown of a loaded box."""
    load = bench.loads.get(command.box)
    if load is None:
        return Refusal(
            "load-card",
            "Hold the load card first: dry, count set, door shut.",
            remedy="The card is held by hand for two seconds.",
        )
    parts = granted(_loadable(bench, load.parts, "box", command.box))
    granted(shut(bench, ask_for(bench, parts[0], load.parts), now))
    box = bench.boxes[command.box]
    return (
        ev.RunStarted(
            run=f"R-{bench.runs_begun + 1}",
            box=box.code,
            vessel=load.vessel,
            parts=load.parts,
            side=parts[0].stage.side,
            half=parts[0].stage.half,
            planned=load.count,
            rate_hz=box.rate_hz,
            unit=box.unit,
        ),
    )


@decides(cm.TellRunEnd)
def tell_run_end(
    bench: Bench, command: cm.TellRunEnd, now: Instant
) -> tuple[ev.Event, ...] | Refusal:
    """Credit what the box did, part by part, as told by hand."""
    run = bench.runs.get(command.run)
    if run is None:
        return Refusal("no-such-run", f"No run “{command.run}” waits for its end.")
    told = granted(_told(bench, run, command, now))
    return ended(bench, run, command.outcome, told, now, begun=command.begun)


def ended(
    bench: Bench,
    run: Run,
    outcome: ev.RunOutcome,
    told: tuple[int, int, ev.Evidence],
    now: Instant,
    *,
    begun: ev.RunBegun = "",
) -> tuple[ev.Event, ...]:
    """Return what follows from how a run ended: its bounds, and how they are known."""
    low, high, evidence = told
    out: list[ev.Event] = [
        ev.RunEndObserved(run.run, outcome, low, high, evidence, begun)
    ]
    leaving: list[ev.Event] = []
    exceeded: list[Part] = []
    for code in run.parts:
        part = bench.parts[code]
        credit = ev.DoseCredited(
            part=code,
            run=run.run,
            side=run.sides[code],
            half=run.half,
            layers=part.layers,
            low=low,
            high=high,
            unit=run.unit,
            evidence=evidence,
        )
        out.append(credit)
        after = evolve.after(bench, credit, now).parts[code]
        out.extend(_noticed(bench, part, after, run))
        # A part that is not at a box stage (found unturned) owes its box nothing here.
        if part.stage.kind == "box" and remaining(after, part.stage) == 0:
            leaving.extend(leave(part, now))
        if _exceeds(bench, after, run, low):
            exceeded.append(after)
    out.extend(_deviations(bench, run, outcome, tuple(exceeded)))
    return (*out, *leaving)


def _told(
    bench: Bench, run: Run, command: cm.TellRunEnd, now: Instant
) -> tuple[int, int, ev.Evidence] | Refusal:
    box = bench.boxes[run.box]
    left = left_ms(run, box, now)
    match command.outcome:
        case "completed":
            early = left / 1000 > DRIFT_SHARE * run.planned / run.rate_hz
            if early and run.interrupted is None:
                return Refusal(
                    "not-due",
                    f"{clock(left)} left by the clock: it cannot be complete yet.",
                    (("left_s", left / 1000),),
                    "Wait, or tell what the counter shows.",
                    part=run.parts[0],
                )
            return run.planned, run.planned, "observed"
        case "stopped":
            if command.delivered < 0:
                return Refusal("counter", "The counter cannot be below 0.")
            most = can_have_given(run, box, now)
            if command.delivered > most and command.begun != "earlier":
                return _ahead(run, command.delivered, most)
            return command.delivered, command.delivered, "observed"
        case "died with the PC":
            if run.interrupted is None:
                return Refusal(
                    "not-interrupted",
                    f"Run {run.run} was watched all along; tell its counter.",
                    part=run.parts[0],
                )
            return *run.interrupted, "assumed"
        case "unknown":
            elapsed = now.most_since(run.started)
            return 0, counts_after(run, box, elapsed), "assumed"


def _ahead(run: Run, counted: int, most: int) -> Refusal:
    """Return the question to a counter that is ahead of the clock; it may be right."""
    word = unit_word(run.unit, most)
    return Refusal(
        "counter-ahead",
        f"By the clock {run.box} gave {most} {word} at most, not {counted}: typed "
        "wrong, or begun earlier?",
        (("counted", counted), ("most", most)),
        "Type it again, or tell that the box was begun earlier.",
        part=run.parts[0],
    )


def _noticed(bench: Bench, before: Part, after: Part, run: Run) -> tuple[ev.Event, ...]:
    """Return the notice of a run that took a body past its noticed share."""
    total = bench.recipe_of(after).total
    least = limit(bench, "dose_notice") * total
    side = run.sides[after.code]
    _, had = bounds(before, layer=BODY, side=side)
    _, has = bounds(after, layer=BODY, side=side)
    if not had < least <= has:
        return ()
    return (ev.DoseNoticed(after.code, side, has, total),)


def _exceeds(bench: Bench, after: Part, run: Run, low: int) -> bool:
    """Return whether the box did more than planned, or a dose limit is passed."""
    recipe = bench.recipe_of(after)
    _, high = bounds(after, layer=BODY, side=run.sides[after.code])
    most = recipe.dose_max or limit(bench, "dose_stop") * recipe.total
    return low > run.planned or high > most


def _deviations(
    bench: Bench, run: Run, outcome: ev.RunOutcome, exceeded: tuple[Part, ...]
) -> list[ev.Event]:
    found: list[ev.Event] = []
    if outcome in ("unknown", "died with the PC"):
        text = f"Run {run.run}: end not seen ({outcome})."
        found.append(deviation(bench, "run-end-not-seen", run.parts, text))
    if exceeded:
        codes = tuple(part.code for part in exceeded)
        recipe = bench.recipe_of(exceeded[0])
        total = max(
            bounds(part, layer=BODY, side=run.sides[part.code])[1] for part in exceeded
        )
        word = unit_word(run.unit, total)
        text = (
            f"{listed(codes)}: {total} {word} of {recipe.total}, "
            f"over by {total - recipe.total}."
        )
        found.append(deviation(bench, "over-dose", codes, text, offset=len(found)))
    return found
