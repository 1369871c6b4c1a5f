"""A bath full of resin washes resin onto the part."""

from benchassist.clock import Instant
from benchassist.domain.baths import load
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge what the bath of this wash already holds, by count or by hydrometer."""
    bath = ask.stage.title
    if bath not in bench.baths:
        return passed("This bath is not counted.")
    held = load(bench, bath, bench.recipe_of(ask.part).item_class)
    stop = limit(bench, "bath_percent")
    numbers = (("percent", held.percent), ("low", held.low), ("high", held.high))
    if held.high <= stop:
        return passed(f"{bath} holds {held.percent:.1f} % resin.", *numbers)
    sure = held.low > stop
    return Verdict(
        "fail" if sure else "marginal",
        f"{bath} holds {held.low:.1f} to {held.high:.1f} % resin; {stop:g} % is full.",
        numbers,
        "Change the bath, key E." if sure else "Change it, or read the hydrometer.",
        "" if sure else f"{bath} {now.day()}",
    )


GATE = Gate(
    "bath-load",
    "Bath not full",
    acceptable=True,
    check=check,
    why=("Resin in the bath dries on the part: softer, cloudier, less exact."),
)
