"""Glycerine is changed after so many part-immersions."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed
from benchassist.domain.limits import limit, limit_on
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the vessel's immersions with the parts that would go in."""
    vessel = ask.part.vessel
    fill = bench.fills.get(vessel)
    if fill is None:
        named = f"{vessel} is not filled" if vessel else "No vessel is chosen"
        return failed(f"{named}.", "Fill it with a lot of glycerine.")
    if fill.spoilt and any(
        bench.parts[code].immersed_in != vessel for code in ask.together
    ):
        return failed(
            f"{vessel}: this glycerine is spoilt ({fill.spoilt}).",
            "Discard it and fill the vessel anew.",
        )
    least = limit(bench, "glycerine_least")
    if fill.percent and fill.percent < least:
        return failed(
            f"{vessel}: {fill.percent:.0f} % glycerine, the rest water.",
            "Discard it and fill the vessel anew, lid on between parts.",
            ("percent", fill.percent),
            ("least", least),
        )
    adding = sum(1 for code in ask.together if bench.parts[code].immersed_in != vessel)
    after = fill.immersions + adding
    most = int(limit_on(bench, "glycerine_immersions", now))
    numbers = (("immersions", fill.immersions), ("adding", adding), ("most", most))
    if after > most:
        return failed(
            f"{vessel}: {fill.immersions} + {adding} = {after} immersions, "
            f"{most} allowed.",
            "Load fewer, take another vessel, or change the glycerine.",
            *numbers,
        )
    return Verdict("pass", f"{vessel}: {after} of {most} immersions.", numbers)


GATE = Gate(
    "glycerine-count",
    "Glycerine",
    acceptable=False,
    check=check,
    why=(
        "Used glycerine carries water, debris and monomer to the next coat; "
        "it is changed by count."
    ),
)
