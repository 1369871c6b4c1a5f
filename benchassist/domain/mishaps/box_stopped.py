"""The box stopped before its count was full."""

from benchassist.domain.mishaps.box_run import COUNTER, ended, in_run, run_of
from benchassist.domain.mishaps.kind import (
    YES,
    Branch,
    Case,
    Mishap,
    Question,
    asks,
    options,
)
from benchassist.value import replace

OPENED = options("Was the door opened?", "no", YES)


def branch(case: Case) -> Branch:
    """Credit what the counter shows and say what is owed."""
    run = run_of(case.bench, case.part)
    found = ended(case, run, "Box stopped", "box-stopped", case.number(0))
    if case.said(1) != YES:
        return found
    return replace(found, steps=(*found.steps, "Hot inside: tongs, door shut first."))


MISHAP = Mishap(
    "box-stopped",
    "Box stopped",
    in_run,
    asks(Question(COUNTER, unit="counts"), OPENED),
    branch,
)
