"""Lint, powder, saliva or dust got on it."""

from __future__ import annotations

from benchassist.domain import events as ev
from benchassist.domain.coat import coat_state
from benchassist.domain.mishaps import touched
from benchassist.domain.mishaps.kind import (
    Answers,
    Branch,
    Case,
    Mishap,
    Question,
    options,
)
from benchassist.domain.mishaps.rework import clean_again, free
from benchassist.domain.route import DISINFECT_S, Stage
from benchassist.domain.state import Bench, Part
from benchassist.value import replace

SALIVA = "saliva or blood"
WHAT = options("With what?", "lint or powder", "abrasion dust", SALIVA)


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return what it was, and what a touched coat would be asked."""
    return (WHAT, *touched.questions(bench, part, answers))


def branch(case: Case) -> Branch:
    """Return the way on for a contaminated surface."""
    from_mouth = case.said(0) == SALIVA
    extra = (
        "Disinfect first, as the disinfectant's label says; new gloves."
        if from_mouth
        else "Change gloves; wipe the bench.",
    )
    found = touched.by_state(case, "Contaminated", case.said(1), extra)
    if not from_mouth:
        return found
    code = case.part.code
    check = ev.CheckAdded(code, "disinfected", "saliva or blood on it")
    if coat_state(case.part) == "none":
        first = Stage("disinfect", "disinfect", "Disinfect, rinse", min_s=DISINFECT_S)
        events = clean_again(case, "Contaminated", first=(first,))
        return replace(found, events=(*events, check))
    return replace(found, events=(*found.events, check))


MISHAP = Mishap("contaminated", "Contaminated", free, questions, branch)
