"""A reading is only as good as the meter: past its day nobody knows what it shows.

Which of its own meters a practice read a lamp with is not told, so each that was past
its day then may have been it. Common practice, no source.
"""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the meters on the day on which the part's lamp was read."""
    lamp = ask.part.lamp
    reading = bench.readings.get(lamp)
    if reading is None:
        return passed("Nothing here rests on a reading of this lamp.")
    read = reading.at.day()
    past = [
        (meter.until, meter.code)
        for meter in bench.meters.values()
        if "" < meter.until < read and ("meter", meter.code) not in bench.retired
    ]
    if not past:
        return passed(f"No meter was past its day when {lamp} was read.")
    until, meter = min(past)
    return Verdict(
        "marginal",
        f"{lamp} was read on {read}; {meter} was good until {until}.",
        (),
        "Read it by a meter in date; or give that one its new day: key R, then 6.",
        scope=f"{ask.part.code}, {lamp}, {meter}, {until}",
        thing=f"{lamp}, {meter}, {until}",
    )


GATE = Gate(
    "meter-due",
    "Meter in date",
    acceptable=True,
    check=check,
    why=(
        "A meter drifts. What it reads past its day may be wrong for every "
        "lamp and every part since."
    ),
)
