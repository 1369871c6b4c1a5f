"""A box whose door leaks, or whose light has fallen, cures less than it counts."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench

WHOLE = {"box-door": "door seal or window", "leak": "light leak"}
RATE_SHARE = 0.05  # off its own rate: have the box looked at; common practice


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge what the box was last found to be: its door, its light, its rate."""
    box, kept = ask.part.box, bench.boxes_kept.get(ask.part.box)
    for routine, told in WHOLE.items():
        looked = bench.routines.get(routine, {}).get(box)
        if looked is not None and not looked.good:
            return failed(
                f"{box}: {told} was not good on {looked.at.day()}.",
                "Use another box; once it is mended enter the check as good, key E.",
            )
    if kept is None:
        return passed(f"{box}: nothing is against it.")
    if kept.first and kept.last < kept.first:
        share = kept.last / kept.first
        verdict = _light(bench, box, share, now)
        if verdict is not None:
            return verdict
    return _rate(bench, box, kept.rate, now)


def _light(bench: Bench, box: str, share: float, now: Instant) -> Verdict | None:
    """Return what a box's light is held against, None while it is near its first."""
    told = f"{box} gives {100 * share:.0f} % of its first reading."
    numbers = (("share", share),)
    if share < limit(bench, "box_floor"):
        return failed(told, "Use another box, or change its lamp.", *numbers)
    if share < limit(bench, "box_warn"):
        remedy = "Read it again; a coupon says whether coats still finish."
        return Verdict("marginal", told, numbers, remedy, f"{box} {now.day()}")
    return None


def _rate(bench: Bench, box: str, rate: float, now: Instant) -> Verdict:
    on_file = bench.boxes[box].rate_hz if box in bench.boxes else 0.0
    if not rate or not on_file or abs(rate / on_file - 1) <= RATE_SHARE:
        return passed(f"{box}: door, light and rate as they were.")
    return Verdict(
        "marginal",
        f"{box} counted {rate:.2f} a second, {on_file:.2f} on file: have it looked at.",
        (("rate", rate), ("on_file", on_file)),
        "Time one more full run; then change the rate on file, key R.",
        f"{box} {now.day()}",
    )


GATE = Gate(
    "box-whole",
    "Box as it was",
    acceptable=True,
    check=check,
    why=(
        "A lamp that ages or a door that leaks gives less than the counter says; "
        "flashing light that leaks harms eyes."
    ),
)
