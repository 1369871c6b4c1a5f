"""Example recipes and materials never enter a real store."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.library import Recipe
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the recipe and lots of a part already taken in."""
    part = ask.part
    lots = (part.print_lot, part.coat_lot, part.stain_lot)
    return judge(bench, bench.recipe_of(part), lots)


def judge(bench: Bench, recipe: Recipe, lots: tuple[str, ...]) -> Verdict:
    """Judge a recipe and its lots against the kind of this store."""
    if bench.store is None or bench.store.kind != "real":
        return passed("An example store may hold examples.")
    materials = (recipe.material, *(bench.lots[lot].material for lot in lots if lot))
    if recipe.example or any(
        code in bench.materials and bench.materials[code].example for code in materials
    ):
        return failed(
            f"{recipe.id} or a lot chosen for it is EXAMPLE data.",
            "Import your own recipes and materials; examples live in the demo.",
        )
    return passed("No example data.")


GATE = Gate(
    "example-data",
    "No example data",
    acceptable=False,
    check=check,
    why=("Invented recipes teach the program; on a real part they would be guesses."),
)
