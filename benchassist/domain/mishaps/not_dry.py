"""Solvent is still in the part."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain import events as ev
from benchassist.domain.mishaps.kind import (
    Answers,
    Branch,
    Case,
    Deviates,
    Mishap,
    Question,
    options,
)
from benchassist.domain.mishaps.rework import dries_for_s, dry_stage, rerouted
from benchassist.domain.state import Bench, InRun, Part
from benchassist.domain.words import listed, minutes

BEFORE = "before the box or the coat"
BLOOM = "white bloom after the cure"
BULK = "into the bulk"
WHEN = options("When was it seen?", BEFORE, BLOOM)
DEPTH = options("How deep does the bloom go?", "surface only", BULK)


def when(bench: Bench, part: Part) -> bool:
    """Return whether the part was ever wet with solvent."""
    return part.dry_since is not None or part.solvent_ms > 0


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return when it was seen and, after a cure, how deep it goes."""
    if isinstance(part.phase, InRun):
        return ()
    return (WHEN, DEPTH) if answers[:1] == (BLOOM,) else (WHEN,)


def branch(case: Case) -> Branch:
    """Return the way on for a part that was not dry."""
    if isinstance(case.part.phase, InRun):
        return _in_the_box(case)
    return _bloom(case) if case.said(0) == BLOOM else _dry_again(case)


def _dry_again(case: Case) -> Branch:
    part = case.part
    rest = part.route[part.at :]
    wait_s = dries_for_s(case, rest)
    rest = rest[1:] if part.stage.kind == "dry" else rest
    changed = rerouted(case, (dry_stage(wait_s), *rest), "Found wet", rework=False)
    steps = (
        "Blow it out: inside, fissures, undercuts.",
        f"Dry {minutes(wait_s * MS)} from now; the gate counts anew.",
        "Dry is: no smell, no dark patch.",
    )
    return Branch(
        "Not dry",
        steps,
        (ev.PartFoundWet(part.code), changed),
    )


def _in_the_box(case: Case) -> Branch:
    """Alcohol vapour in a curing box can burn: stop first, ask later."""
    part, bench = case.part, case.bench
    phase = part.phase
    run = bench.runs[phase.run] if isinstance(phase, InRun) else None
    parts = run.parts if run else (part.code,)
    text = f"{listed(parts)}: solvent noticed while the box ran."
    return Branch(
        "Not dry, in the box",
        (
            "Stop the box. Door open, no flame, let the vapour out.",
            "Read the counter; tell the run's end by hand.",
            "Take all of it out, dry it anew, then give the rest.",
        ),
        tuple(ev.PartFoundWet(code) for code in parts),
        Deviates("not-dry", parts, text),
        stops=False,
    )


def _bloom(case: Case) -> Branch:
    part = case.part
    bulk = case.said(1) == BULK
    steps = (
        ("Solvent was cured in: strength and colour are not the recipe's.",)
        if bulk
        else ("Abrade a hidden place: the bloom must be gone below the surface.",)
    )
    text = f"{part.code}: white bloom after the cure, {case.said(1)}."
    check = ev.CheckAdded(part.code, "no white bloom", "was cured damp")
    return Branch(
        "White bloom: scrap it?" if bulk else "White bloom",
        (*steps, "Tell the prescriber what is left in the record."),
        (check,),
        Deviates("bloom", (part.code,), text),
        scrap=bulk,
        stops=False,
    )


MISHAP = Mishap("not-dry", "Not dry", when, questions, branch)
