"""The light check of box × vessel against every layer that will lie in it."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.light import judge_box, lots_in
from benchassist.domain.outcome import Level
from benchassist.domain.route import SUBMERGED
from benchassist.domain.state import Bench, Part

_ORDER: tuple[Level, ...] = ("pass", "marginal", "fail")


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the part's box and vessel on its layers, the one at hand included."""
    del now
    part = ask.part
    worst = passed("This is not the second half.")
    if ask.stage.kind == "box" and ask.stage.half != SUBMERGED:
        return worst
    planned = second_half(part)
    for layer in dict.fromkeys((*part.layers[1:], ask.stage.layer or part.newest_coat)):
        for lot in lots_in(part, layer):
            found = _layer(bench, part, layer, lot, planned)
            if _ORDER.index(found.level) >= _ORDER.index(worst.level):
                worst = found
    return worst


def _layer(bench: Bench, part: Part, layer: str, lot: str, planned: int) -> Verdict:
    level, reason, through, needed = judge_box(bench, part, lot, planned)
    filed = bench.lots.get(lot)
    box = bench.boxes.get(part.box)
    planned_s = planned / box.rate_hz if box else 0.0
    share = _finite(max(1.0, needed / max(planned_s, 1.0)))
    things = f"{part.box}, {part.vessel}"
    return Verdict(
        level,
        f"{layer.replace('-', ' ')}: {reason}.",
        (
            ("through", round(through, 3)),
            ("needed_s", _finite(needed)),
            ("of_planned", share),
        ),
        "" if level == "pass" else "Choose another box or vessel.",
        scope=f"{part.code}, {things}, {lot}",
        thing=f"{things}, {filed.material}" if filed else "",
    )


def second_half(part: Part) -> int:
    """Return the count the second half gives one side of a part."""
    return max(
        (stage.plan for stage in part.route if stage.half == SUBMERGED), default=0
    )


def _finite(seconds: float) -> float:
    # The journal holds no infinity: a light that never acts is told as -1.
    return round(seconds, 1) if seconds < float("inf") else -1.0


GATE = Gate(
    "box-light",
    "Box and vessel light",
    acceptable=True,
    measure="of_planned",
    check=check,
    why=(
        "Box light must pass the vessel's wall and reach what each layer "
        "listens to; a blue-set stain may stay unfinished."
    ),
)
