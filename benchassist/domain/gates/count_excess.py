"""A box that cannot be set to the exact count gives more: accepted once."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.ledger import excess
from benchassist.domain.state import Bench
from benchassist.domain.words import unit_word

PERCENT = 100


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge by how much the planned runs exceed the recipe's count."""
    recipe = bench.recipe_of(ask.part)
    more = excess(bench, ask.part)
    if more <= 0:
        return passed("The planned runs give the recipe's count.")
    share = more / recipe.total
    numbers = (("excess", more), ("percent", round(share * PERCENT, 1)))
    over_most = recipe.dose_max and recipe.total + more > recipe.dose_max
    return Verdict(
        "fail" if over_most else "marginal",
        f"The box's steps give {more} {unit_word(recipe.unit, more)} more than "
        f"{recipe.total} ({share:.1%}).",
        numbers,
        "Accept it by hand once for this recipe revision, or use a finer box.",
        # Kept for the recipe revision and the box's plan, not for one part.
        scope="" if over_most else f"{recipe.id}, +{more}",
    )


GATE = Gate(
    "count-excess",
    "Count of the box",
    acceptable=True,
    check=check,
    why=(
        "More light than the recipe's makes a part darker and more brittle; "
        "it is accepted once, knowingly."
    ),
)
