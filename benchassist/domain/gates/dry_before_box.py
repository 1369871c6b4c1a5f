"""Alcohol left on a part burns in a curing box: a gate no hand may pass."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.state import Bench
from benchassist.domain.sure import sure
from benchassist.domain.words import minutes, sentences

MS = 1000


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether every part that goes in has dried since it last had alcohol.

    Whichever half, cover or finish: glycerine keeps alcohol in. What was coated was
    dry by the gate before the brush.
    """
    for code in ask.together:
        part = bench.parts[code]
        least_s = bench.recipe_of(part).dry_before_box_s
        dried_ms = now.since(part.dry_since) if part.dry_since else least_s * MS
        left_ms = least_s * MS - dried_ms
        if left_ms > 0:
            return Verdict(
                "fail",
                f"dry {minutes(left_ms)} more",
                (("left_s", left_ms / MS), ("least_s", least_s)),
                sentences(
                    sure(now, part.dry_since) if part.dry_since else "",
                    "Wait until it is dry: no smell, no dark patch, inside blown out.",
                ),
            )
    return passed("Dry long enough.")


GATE = Gate(
    "dry-before-box",
    "Dry before the box",
    acceptable=False,
    check=check,
    why=(
        "A fraction of a millilitre of alcohol left on a part makes a "
        "curing box's air burn."
    ),
)
