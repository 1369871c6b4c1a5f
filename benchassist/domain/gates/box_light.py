"""The light check of box × vessel against every layer that will lie in it."""

from benchassist.clock import Instant
from benchassist.domain.box_light import judge_box
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.layer import lot_for
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
        lot = lot_for(part, layer)
        answer = judge_box(bench, part, lot, planned)
        found = Verdict(
            answer.level,
            f"{layer.replace('-', ' ')}: {answer.reason}.",
            answer.numbers,
            ""
            if answer.level == "pass"
            else f"Choose another box or vessel. {answer.remedy}".strip(),
            scope=f"{part.code}, {part.box}, {part.vessel}, {lot}",
            badge=answer.badge,
        )
        if _ORDER.index(answer.level) >= _ORDER.index(worst.level):
            worst = found
    return worst


def second_half(part: Part) -> int:
    """Return the count the second half gives one side of a part."""
    return max(
        (stage.plan for stage in part.route if stage.half == SUBMERGED), default=0
    )


GATE = Gate(
    "box-light",
    "Box and vessel light",
    acceptable=True,
    check=check,
    why=(
        "Box light must pass the vessel's wall and reach what each layer "
        "listens to; a blue-set stain may stay unfinished."
    ),
)
