"""Alcohol left on a part burns in a curing box: a gate no hand may pass."""

from benchassist.clock import Instant
from benchassist.domain.gates.dry_before_coat import wet
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.state import Bench

DRY = "Wait until it is dry: no smell, no dark patch, inside blown out."


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether every part that goes in has dried since it last had alcohol.

    Whichever half, cover or finish: glycerine keeps alcohol in. What was coated was
    dry by the gate before the brush.
    """
    for code in ask.together:
        part = bench.parts[code]
        found = wet(part, bench.recipe_of(part).dry_before_box_s, DRY, now)
        if found:
            return found
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
