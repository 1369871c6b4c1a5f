"""What a box run that went wrong leaves owed. Shared by the mishaps of the box."""

from __future__ import annotations

from benchassist.domain import commands as cm
from benchassist.domain.ledger import next_runs, remaining
from benchassist.domain.mishaps.kind import Branch, Case, Deviates
from benchassist.domain.runs import can_have_given
from benchassist.domain.state import Bench, Exposure, InRun, Part, Run
from benchassist.domain.words import listed, unit_word
from benchassist.value import replace

COUNTER = "What does the counter show? Empty if it is lost."


def in_run(bench: Bench, part: Part) -> bool:
    """Return whether the part is in a run whose end was not told."""
    return isinstance(part.phase, InRun)


def run_of(bench: Bench, part: Part) -> Run:
    """Return the run a part is in, or the one that runs beside it."""
    phase = part.phase
    return bench.runs[phase.run if isinstance(phase, InRun) else next(iter(bench.runs))]


def ended(case: Case, run: Run, title: str, rule: str, counted: float | None) -> Branch:
    """Return the branch of a run that ended otherwise than planned."""
    if counted is None:
        return _lost(run, title)
    given = int(counted)
    most = can_have_given(run, case.bench.boxes[run.box], case.now)
    ahead = given > most
    told = cm.TellRunEnd(run.run, "stopped", given, "earlier" if ahead else "")
    word = unit_word(run.unit, given)
    text = f"{listed(run.parts)}: {given} {word} given, {run.planned} planned."
    bench = case.bench
    left = (_owed(bench, bench.parts[code], run, given) for code in run.parts)
    doubt = (
        f"By the clock it gave {most} at most: typed wrong? Then pick it anew.",
        "Right as typed: the box was begun earlier, and its counter counts.",
    )
    steps = (
        *(doubt if ahead else ()),
        f"Credited to {listed(run.parts)}: {given} {word}, as read.",
        *dict.fromkeys(left),
        *_lift(run, given),
    )
    return Branch(
        title,
        steps,
        deviation=Deviates(rule, run.parts, text),
        told=told,
        numbers=(("given", given), ("planned", run.planned)),
        stops=False,
    )


def _lost(run: Run, title: str) -> Branch:
    """Return the branch of a run that nobody can count.

    Telling its end as unknown opens the deviation of every part in it.
    """
    steps = (
        f"Nobody knows what {listed(run.parts)} had: 0 to {run.planned} is credited.",
        "What is owed is planned from 0; the excess is shown and judged.",
        *_lift(run, 0),
    )
    return Branch(
        title,
        steps,
        told=cm.TellRunEnd(run.run, "unknown"),
        numbers=(("planned", run.planned),),
        stops=False,
    )


def _owed(bench: Bench, part: Part, run: Run, given: int) -> str:
    side = run.sides[part.code]
    exposure = Exposure(
        part.layers, side, run.half, given, given, run.unit, "observed", run.run
    )
    after = replace(part, exposures=(*part.exposures, exposure))
    left = remaining(after, part.stage)
    if not left:
        over = given - run.planned
        more = f", {over} more than planned" if over > 0 else ""
        return f"This half is complete{more}."
    runs = next_runs(bench, after, part.stage)
    word = unit_word(run.unit, left)
    return f"Still owed: {left} {word}. Set {runs[0]} for the next run."


def _lift(run: Run, given: int) -> tuple[str, ...]:
    if not run.vessel or given >= run.planned:
        return ()
    return ("Leave it under: a run without lifting is the same immersion.",)
