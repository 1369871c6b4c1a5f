"""The light check of box × vessel against every layer that will lie in it."""

from math import isfinite

from benchassist.clock import Instant
from benchassist.domain.box_light import judge_box
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.layer import lots_in
from benchassist.domain.outcome import Level
from benchassist.domain.route import SUBMERGED
from benchassist.domain.state import Bench, Part

_ORDER: tuple[Level, ...] = ("pass", "marginal", "fail")


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the part's box and vessel on its layers, the one at hand included."""
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
    answer = judge_box(bench, part, lot, planned)
    filed = bench.lots.get(lot)
    box = bench.boxes.get(part.box)
    planned_s = planned / box.rate_hz if box else 0.0
    share = _share(answer.needed_s / max(planned_s, 1.0))
    things = f"{part.box}, {part.vessel}"
    remedy = f"Choose another box or vessel. {answer.remedy}".strip()
    return Verdict(
        answer.level,
        f"{layer.replace('-', ' ')}: {answer.reason}.",
        (*answer.numbers, ("of_planned", share)),
        "" if answer.level == "pass" else remedy,
        scope=f"{part.code}, {things}, {lot}",
        thing=f"{things}, {filed.material}" if filed else "",
        badge=answer.badge,
    )


def _share(of_planned: float) -> float:
    """Return the share of the planned seconds that are needed; -1 where none are."""
    return round(max(1.0, of_planned), 3) if isfinite(of_planned) else -1.0


def second_half(part: Part) -> int:
    """Return the count the second half gives one side of a part."""
    return max(
        (stage.plan for stage in part.route if stage.half == SUBMERGED), default=0
    )


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
