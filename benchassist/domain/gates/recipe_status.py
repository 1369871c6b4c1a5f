"""A recipe outside the instruction for use needs its record number."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the status of the recipe revision pinned to the part."""
    recipe = bench.recipe_of(ask.part)
    if recipe.status == "as IFU":
        return passed(f"{recipe.id}: as IFU {recipe.ifu_revision}.")
    if not recipe.record_no:
        return failed(
            f"{recipe.id} is {recipe.status}, but no record number is on file.",
            "File the recipe with its record number.",
        )
    return passed(f"{recipe.id}: {recipe.status} ({recipe.record_no}).")


GATE = Gate(
    "recipe-status",
    "Recipe status",
    acceptable=False,
    check=check,
    why=(
        "Splitting a cure may lie outside the instructions for use: somebody "
        "answerable has to have accepted it."
    ),
)
