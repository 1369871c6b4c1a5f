"""A part back from a mouth gets glycerine of its own, thrown away afterwards."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.state import Bench
from benchassist.domain.words import listed


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge that such a part goes alone into a filling nothing has lain in."""
    part = ask.part
    if not part.variant.back_from_mouth or part.variant.cover != "glycerine":
        return passed("Not back from a mouth.")
    others = tuple(code for code in ask.together if code != part.code)
    if others:
        return failed(
            f"{part.code} was in a mouth: not in one vessel with {listed(others)}.",
            "Submerge it alone.",
        )
    fill = bench.fills.get(part.vessel)
    if fill is not None and fill.immersions and part.immersed_in != part.vessel:
        return failed(
            f"{part.code} was in a mouth; {part.vessel} had {fill.immersions} "
            "immersions.",
            "Fill a vessel with a fresh portion for it alone.",
            ("immersions", fill.immersions),
        )
    return passed("A portion of its own.")


GATE = Gate(
    "own-glycerine",
    "Own glycerine",
    acceptable=False,
    check=check,
    why=("What was in a mouth can carry germs; its glycerine serves no other part."),
)
