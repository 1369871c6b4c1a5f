"""How a part may be finished: what intake and a later change both turn through."""

from __future__ import annotations

from benchassist.domain.library import Recipe, Variant
from benchassist.domain.route import MOST_LAYERS
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench
from benchassist.ui.present.sheet import turned
from benchassist.ui.words import say

FINISHES = ("coat", "polish", "none")
FINISH_WORDS = {
    "coat": "coat",
    "polish": say("polish instead"),
    "none": say("no glaze"),
}
# What is chosen for a part, at intake and later.
NAMES = {
    "coats": say("Coats"),
    "finish": say("Finish"),
    "cover": say("Second half"),
    "print_lot": say("Print lot"),
    "coat_lot": say("Coat lot"),
    "stain_lot": say("Stain lot"),
    "lamp": say("Lamp"),
    "box": say("Box"),
    "vessel": say("Vessel"),
}
LAYERS = tuple(str(n) for n in range(MOST_LAYERS + 1))


def coats(variant: Variant, by: int) -> dict[str, object]:
    """Return the number of coats that comes ``by`` after the one there is."""
    return {"coats": int(turned(LAYERS[1:], str(variant.coats), by))}


def stains(variant: Variant, by: int) -> dict[str, object]:
    """Return the number of stain passes that comes ``by`` after the one there is."""
    return {"stain_passes": int(turned(LAYERS, str(variant.stain_passes), by))}


def boxes(bench: Bench, recipe: Recipe) -> tuple[str, ...]:
    """Return the boxes that count as the recipe does."""
    found = (bench.boxes[code] for code in offered(bench, "box"))
    return tuple(box.code for box in found if box.unit == recipe.unit)
