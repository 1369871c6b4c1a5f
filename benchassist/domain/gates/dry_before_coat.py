"""A coat does not hold on a wet surface: drying is never skipped."""

from benchassist.clock import MS, Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.state import Bench, Part
from benchassist.domain.sure import sure
from benchassist.domain.words import minutes, sentences


def wet(part: Part, least_s: int, until: str, now: Instant) -> Verdict | None:
    """Return why a part has not dried for ``least_s``; ``until`` says what to do."""
    if part.dry_since is None:
        return None
    left_ms = least_s * MS - now.since(part.dry_since)
    if left_ms <= 0:
        return None
    return failed(
        f"dry {minutes(left_ms)} more",
        sentences(sure(now, part.dry_since), until),
        ("left_s", left_ms / MS),
        ("least_s", least_s),
    )


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether the part has dried long enough since it was last wet."""
    least_s = bench.recipe_of(ask.part).dry_before_coat_s
    found = wet(ask.part, least_s, "Wait until the surface is dry.", now)
    return found or passed("Dry long enough.")


GATE = Gate(
    "dry-before-coat",
    "Dry before the coat",
    acceptable=False,
    check=check,
    why=("Resin does not hold on a wet surface: the coat peels, often weeks later."),
)
