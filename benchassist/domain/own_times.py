"""The practice's own times: what work by hand took here while it was in hand.

The time a part lay while another was worked on, or while nobody was there, is not
its own; a coat is measured as what a spot takes beside its light. From enough of
them the 80th percentile is planned with: four of five times were no longer. How many
are enough and how many are kept are our own choice.
"""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain.limits import LIMITS, limit
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Part

ENOUGH = 5  # times
KEPT = 40  # times
MEASURED = ("hand", "coat", "checks")
SHARE = (4, 5)  # the 80th percentile, as a fraction of whole numbers


def took_key(item_class: str, work: str) -> tuple[str, str]:
    """Return the key under which the times of a piece of work are kept."""
    return work, item_class


def work_of(stage: Stage) -> str:
    """Return what a stage is as work: the same for coat 1, coat 2 and a coat again."""
    return stage.kind if stage.layer else stage.key.partition("-")[0]


def percentile_80(taken: tuple[int, ...]) -> int:
    """Return the least of the times that four fifths of all do not exceed."""
    share, whole = SHARE
    return sorted(taken)[-(-len(taken) * share // whole) - 1]


def own_times(bench: Bench, part: Part, work: str) -> tuple[int, ...]:
    """Return the milliseconds that work took on parts of this class, the last ones."""
    recipe = bench.recipes.get(part.recipe)
    return bench.took.get(took_key(recipe.item_class if recipe else "", work), ())


def own_ms(bench: Bench, part: Part, work: str) -> int | None:
    """Return what work takes here, in milliseconds; None before there are enough."""
    taken = own_times(bench, part, work)
    return percentile_80(taken) if len(taken) >= ENOUGH else None


def estimated_ms(bench: Bench, kind: str) -> int:
    """Return what work at a kind of stage takes by a limit, 0 where none tells."""
    code = f"hands_{kind}_s"
    return int(limit(bench, code) * MS) if code in LIMITS else 0


def own_spread(bench: Bench, part: Part, work: str) -> tuple[int, int] | None:
    """Return median and 80th percentile of work in ms; None before enough."""
    taken = sorted(own_times(bench, part, work))
    if len(taken) < ENOUGH:
        return None
    return taken[(len(taken) - 1) // 2], percentile_80(tuple(taken))


def in_hand_ms(bench: Bench, part: Part, now: Instant) -> int:
    """Return how long a part has been in front at its stage so far."""
    front = bench.front_since
    if front is None or bench.focus != part.code:
        return part.hands_ms
    return part.hands_ms + now.since(front)


def sample_ms(bench: Bench, part: Part, now: Instant) -> int | None:
    """Return what a stage that ends now was measured to take; None where it was not."""
    stage, spent = part.stage, in_hand_ms(bench, part, now)
    if STAGES[stage.kind].mode not in MEASURED or spent <= 0:
        return None
    if not stage.layer:
        return spent
    work = part.work.get(stage.layer)
    return max(0, spent - work.light_ms) // len(work.spots) if work else None
