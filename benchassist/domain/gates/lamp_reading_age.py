"""A lamp is only as good as its last reading with the practice's own meter."""

import math
from typing import Final

from benchassist.clock import Instant
from benchassist.domain.coat import answer_for
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.light import reading_age_h
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench
from benchassist.domain.words import ago

TESTED: Final = ("tested", "tested-set")


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the age of the reading of the part's lamp."""
    lamp = ask.part.lamp
    if not lamp:
        return failed("No lamp is chosen.", "Choose one by hand.")
    age_h = reading_age_h(bench, lamp, now)
    known = math.isfinite(age_h)
    told = f"was read {ago(age_h)}" if known else "was never read here"
    oldest_h = limit(bench, "lamp_reading_age_h")
    if age_h <= oldest_h:
        return passed(f"{lamp} {told}.", ("age_h", round(age_h, 2)))
    if not known and answer_for(bench, ask.part).code in TESTED:
        # A coupon without a meter holds for its own day alone: no reading says more.
        return passed(f"{lamp} was tested here today; no meter is owned.")
    return Verdict(
        "marginal",
        f"{lamp} {told}; the practice allows {oldest_h:.0f} h.",
        (("age_h", round(age_h, 2) if known else -1.0), ("oldest_h", oldest_h)),
        "Read the lamp with the practice's meter.",
        scope=f"{ask.part.code}, {lamp}, reading",
    )


GATE = Gate(
    "lamp-reading-age",
    "Lamp reading",
    acceptable=True,
    check=check,
    why=(
        "Lamps fade unseen. A reading with your own meter turns watts on "
        "paper into seconds on the part."
    ),
)
