"""The box ran another count than planned."""

from benchassist.domain.mishaps.box_run import COUNTER, ended, in_run, run_of
from benchassist.domain.mishaps.kind import Branch, Case, Mishap, Question, asks


def branch(case: Case) -> Branch:
    """Credit what the box did and say what is owed."""
    run = run_of(case.bench, case.part)
    return ended(case, run, "Wrong count set", "wrong-program", case.number(0))


MISHAP = Mishap(
    "wrong-program",
    "Wrong count or program",
    in_run,
    asks(Question(COUNTER, unit="counts")),
    branch,
)
