"""A coat does not hold on a wet surface: drying is never skipped."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.state import Bench
from benchassist.domain.sure import sure
from benchassist.domain.words import minutes, sentences

MS = 1000


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether the part has dried long enough since it was last wet."""
    part = ask.part
    least_s = bench.recipe_of(part).dry_before_coat_s
    dried_ms = now.since(part.dry_since) if part.dry_since else least_s * MS
    left_ms = least_s * MS - dried_ms
    if left_ms > 0:
        return Verdict(
            "fail",
            f"dry {minutes(left_ms)} more",
            (("left_s", left_ms / MS), ("least_s", least_s)),
            sentences(
                sure(now, part.dry_since) if part.dry_since else "",
                "Wait until the surface is dry.",
            ),
        )
    return passed("Dry long enough.")


GATE = Gate(
    "dry-before-coat",
    "Dry before the coat",
    acceptable=False,
    check=check,
    why=("Resin does not hold on a wet surface: the coat peels, often weeks later."),
)
