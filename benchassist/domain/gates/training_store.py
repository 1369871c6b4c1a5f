"""What was done for practice is never handed to anybody."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge that this is no training store."""
    if bench.store is not None and bench.store.kind == "training":
        return failed(
            "Training: nothing is released here.",
            "The exercise ends with the checks; scrap the piece.",
        )
    return passed("")  # nobody at a real bench asks


GATE = Gate(
    "training-store",
    "No release in training",
    acceptable=False,
    check=check,
    why=(
        "Practice pieces skip what protects a patient; none of them may leave "
        "the bench."
    ),
)
