"""Nitrogen that keeps too much oxygen leaves a skin as air does."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict
from benchassist.domain.nitrogen import SKIN_PERCENT, enough_s, oxygen_left
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the oxygen that the flushing of this stage leaves."""
    left, told = oxygen_left(bench, bench.recipe_of(ask.part))
    numbers = (("oxygen_percent", left), ("most", SKIN_PERCENT))
    if left <= SKIN_PERCENT:
        return Verdict("pass", told, numbers)
    enough = enough_s(bench)
    remedy = (
        f"Flush for {enough} s: give the recipe a revision that does, key R."
        if enough
        else "Enter flow and volume, or the oxygen by meter: key R, then 8."
    )
    return Verdict("marginal", told, numbers, remedy, ask.part.code)


GATE = Gate(
    "nitrogen",
    "Nitrogen pure enough",
    acceptable=True,
    check=check,
    why="What oxygen is left keeps the skin of the coat soft, however long the light.",
    measure="oxygen_percent",
)
