"""Before the brush is wetted: nothing else may need hands before the last spot."""

from benchassist.clock import Instant
from benchassist.domain.coat import answer_for, next_segment
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.state import Bench, Brushing, Paused, Soaking, Walking
from benchassist.domain.words import clock

MS = 1000


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge every other part's hard limit against this segment's length."""
    part = ask.part
    segment = next_segment(bench, part, answer_for(bench, part).seconds)
    if segment is None:
        return Verdict(
            "fail",
            "Not one spot fits into the wet limit with this lamp.",
            (),
            "Choose a stronger lamp or correct the recipe.",
        )
    for other in bench.in_flight:
        if other.code == part.code:
            continue
        if isinstance(other.phase, Brushing | Walking | Paused):
            return Verdict(
                "fail",
                f"{other.code} has a wet coat: one wet coat at a time.",
                (),
                f"Finish the segment of {other.code} first.",
            )
        if isinstance(other.phase, Soaking) and other.stage.max_s:
            left = other.stage.max_s * MS - now.since(other.phase.since)
            if left < segment.wet_s * MS:
                told = f"in {clock(left)}" if left > 0 else "now"
                return Verdict(
                    "fail",
                    f"{other.code} leaves {other.stage.title.lower()} {told}.",
                    (("left_s", left / MS), ("segment_s", segment.wet_s)),
                    f"Take {other.code} out first.",
                )
    return passed("Nothing else needs hands before the last spot.")


GATE = Gate("interruption", "May I wet the brush?", acceptable=False, check=check)
