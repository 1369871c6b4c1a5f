"""Filled resin settles: what is brushed from a bottle at rest is not the resin."""

from benchassist.clock import MINUTE_MS, Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.layer import lot_for
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge how long ago the bottle of this layer was stirred."""
    lot = lot_for(ask.part, ask.stage.layer)
    filed = bench.lots.get(lot)
    keeping = bench.keeping.get(filed.material) if filed else None
    if keeping is None or not keeping.stir_min:
        return passed("No time between stirrings is on file.")
    bottle = bench.bottles.get(lot)
    stirred = bottle.stirred if bottle else None
    ago = None if stirred is None else now.most_since(stirred) / MINUTE_MS
    if ago is not None and ago <= keeping.stir_min:
        return passed(f"{lot} was stirred {ago:.0f} min ago.", ("minutes", ago))
    said = "no stirring is on record" if ago is None else f"stirred {ago:.0f} min ago"
    return Verdict(
        "marginal",
        f"{lot}: {said}; its papers want one every {keeping.stir_min:g} min.",
        (("minutes", -1.0 if ago is None else ago), ("limit", keeping.stir_min)),
        "Stir it, let the bubbles rise, enter it: key L.",
        f"{lot} {now.day()}",
    )


GATE = Gate(
    "bottle-stirred",
    "Bottle stirred",
    acceptable=True,
    check=check,
    why=("Filler sinks: a coat from an unstirred bottle is thinner and softer."),
)
