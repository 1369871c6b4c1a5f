"""Before the brush is wetted: nothing else may need hands before the last spot."""

from benchassist.clock import MS, Instant
from benchassist.domain.coat import Segment, answer_for, next_segment, wet_spots
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.queue import need
from benchassist.domain.state import WET, Bench, Brushing, Part, Paused, Soaking
from benchassist.domain.wet import wet_limit_ms
from benchassist.domain.words import clock


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge every other part in these hands against this segment's length."""
    part = ask.part
    segment = next_segment(bench, part, answer_for(bench, part).seconds)
    if segment is None:
        return failed(
            "Not one spot fits into the wet limit with this lamp.",
            "Choose a stronger lamp or correct the recipe.",
        )
    others = tuple(
        each
        for each in bench.in_flight
        if each.code != part.code and not _in_other_hands(bench, each)
    )
    wet = tuple(each for each in others if isinstance(each.phase, WET))
    if wet and not (len(wet) == 1 and both_fit(bench, part, segment, wet[0], now)):
        return Verdict(
            "fail",
            f"{wet[0].code} has a wet coat: one wet coat at a time.",
            remedy=f"Finish the segment of {wet[0].code} first.",
            after=wet[0].code,
        )
    for other in others:
        if isinstance(other.phase, Soaking) and other.stage.max_s:
            # From when it is due, not from when it is harmed: hands are wanted then.
            left = max(0, need(bench, other, now).due_ms)
            if left < segment.wet_s * MS:
                told = f"in {clock(left)}" if left > 0 else "now"
                return Verdict(
                    "fail",
                    f"{other.code} leaves {other.stage.title.lower()} {told}.",
                    (("left_s", left / MS), ("segment_s", segment.wet_s)),
                    f"Take {other.code} out first.",
                    after=other.code,
                )
    return passed("Nothing else needs hands before the last spot.")


def both_fit(
    bench: Bench, part: Part, segment: Segment, other: Part, now: Instant
) -> bool:
    """Return whether two wet coats stay inside their limits.

    Brush this one, walk the other, walk this one: the only order that gains time.
    Whoever walks already, or has to look first, has no hand free for a second.
    """
    phase = other.phase
    if not isinstance(phase, Brushing | Paused):
        return False
    if isinstance(phase, Paused) and not phase.looked:
        return False
    spot_s = answer_for(bench, other).seconds
    recipe = bench.recipe_of(other)
    walk_ms = len(wet_spots(other)) * (spot_s + recipe.move_s) * MS
    wet_ms = now.most_since(phase.wet_since)
    brush_ms = 0
    if isinstance(phase, Brushing):
        brush_ms = max(0, recipe.brush_s * MS - wet_ms)
    other_ms = wet_ms + brush_ms + segment.brush_s * MS + walk_ms
    this_ms = segment.wet_s * MS + walk_ms
    fits = other_ms <= wet_limit_ms(bench, other)
    return spot_s > 0 and fits and this_ms <= wet_limit_ms(bench, part)


def _in_other_hands(bench: Bench, part: Part) -> bool:
    claim = bench.claims.get(("part", part.code))
    return claim is not None and claim.who != bench.operator


GATE = Gate(
    "interruption",
    "May I wet the brush?",
    acceptable=False,
    check=check,
    why=(
        "Wet resin cannot wait. Whatever falls due before the last spot "
        "leaves you one hand short."
    ),
)
