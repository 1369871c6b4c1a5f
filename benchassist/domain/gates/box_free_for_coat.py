"""Before the brush is wetted: box and vessel must be there when the coat is."""

from benchassist.clock import Instant
from benchassist.domain.gates import glycerine_count
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.limits import limit
from benchassist.domain.runs import left_ms
from benchassist.domain.state import Bench
from benchassist.domain.words import clock

MS = 1000


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether the tacked coat will find its box and vessel in time."""
    part = ask.part
    if part.box not in bench.boxes:
        return Verdict("fail", "No curing box is chosen.", (), "Choose one by hand.")
    if part.variant.cover == "glycerine":
        vessel = glycerine_count.check(bench, ask, now)
        if vessel.level == "fail":
            return vessel
    most_s = limit(bench, "late_tacked_s")
    for run in bench.runs.values():
        left = left_ms(run, bench.boxes[run.box], now)
        if run.box == part.box and left > most_s * MS:
            return Verdict(
                "fail",
                f"{part.box} is busy for {clock(left)}; a tacked coat waits "
                f"{clock(most_s * MS)} at most.",
                (("left_s", left / MS),),
                "Start the coat later.",
            )
    return passed("Box and vessel will be ready.")


GATE = Gate("box-free-for-coat", "Box and vessel ready", acceptable=False, check=check)
