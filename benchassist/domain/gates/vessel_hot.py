"""What just left the box may be hot: tongs, and time, before hands or a new run."""

from benchassist.clock import MS, Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.state import Bench
from benchassist.domain.sure import sure
from benchassist.domain.words import clock, sentences


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge how long ago the part left the box."""
    part = ask.part
    box = bench.boxes.get(part.box)
    if part.hot_since is None or box is None:
        return passed("Not warm from the box.")
    left = box.warm_s * MS - now.since(part.hot_since)
    if left > 0:
        return failed(
            f"hot from the box, {clock(left)} more",
            sentences(sure(now, part.hot_since), "Tongs; let it cool below 45 °C."),
            ("left_s", left / MS),
        )
    return passed("Cool enough to handle.")


GATE = Gate(
    "vessel-hot",
    "Cooled down",
    acceptable=False,
    check=check,
    why=(
        "Glycerine holds heat and burns skin; a warm part also dries and sets "
        "otherwise."
    ),
)
