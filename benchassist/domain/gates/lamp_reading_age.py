"""A lamp is only as good as its last reading with the practice's own meter."""

import math
from typing import Final

from benchassist.clock import Instant
from benchassist.domain.coat import answer_for
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.layer import lot_for
from benchassist.domain.light import reading_age_h
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench, Part
from benchassist.domain.tested import tests_of
from benchassist.domain.words import ago

TESTED: Final = ("tested", "tested-set")


def _tested_today(bench: Bench, part: Part) -> bool:
    """Return whether a coupon without a meter is what the answer stands on.

    It holds for its own day alone: no reading says more.
    """
    coupon = tests_of(bench, part.lamp, lot_for(part, part.stage.layer)).holds
    held = coupon is not None and not coupon.reading
    return held and answer_for(bench, part).code in TESTED


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
    if not known and _tested_today(bench, ask.part):
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
