"""The lights flickered, and box or lamp may have stopped."""

from __future__ import annotations

from benchassist.domain.coat import coat_state
from benchassist.domain.mishaps.box_run import COUNTER, ended, run_of
from benchassist.domain.mishaps.kind import (
    Answers,
    Branch,
    Case,
    Mishap,
    Question,
    options,
)
from benchassist.domain.state import Bench, Part, Walking
from benchassist.value import replace

YES, NO, UNSURE = "yes", "no", "not sure"
BOX = options("Did the box stop?", NO, YES, UNSURE)
LAMP = options("Did the lamp stop?", NO, YES, UNSURE)


def when(bench: Bench, part: Part) -> bool:
    """Return whether anything was running that a blip could have stopped."""
    return bool(bench.runs) or coat_state(part) == "wet"


def questions(bench: Bench, part: Part, answers: Answers) -> tuple[Question, ...]:
    """Return what to ask at once, before anybody remembers wrongly."""
    box = (BOX,) if bench.runs else ()
    stopped = bool(box) and answers[:1] == (YES,)
    counter = (Question(COUNTER, unit="counts"),) if stopped else ()
    lamp = (LAMP,) if isinstance(part.phase, Walking) else ()
    return (*box, *counter, *lamp)


def branch(case: Case) -> Branch:
    """Return the way on for whatever stopped."""
    lamp = case.answers[-1] if isinstance(case.part.phase, Walking) else NO
    spot = () if lamp == NO else ("The spot that was lit starts whole.",)
    told = case.said(0) if case.bench.runs else NO
    if told == YES:
        run = run_of(case.bench, case.part)
        found = ended(case, run, "Box stopped by a blip", "power-blip", case.number(1))
    elif told == UNSURE:
        look = "Look at the box now: display and counter; then tell the run's end."
        found = Branch("Power blip", (look,))
    else:
        found = Branch("Power blip", ("Nothing stopped: the record says so.",))
    return replace(found, steps=(*found.steps, *spot), stops=lamp != NO)


MISHAP = Mishap("power-blip", "Lights flickered", when, questions, branch)
