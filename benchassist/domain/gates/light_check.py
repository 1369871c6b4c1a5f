"""The light check: will this lamp set this layer? A fail is a hard stop."""

from benchassist.clock import Instant
from benchassist.domain.coat import answer_for
from benchassist.domain.gates.verdict import Ask, Gate, Verdict
from benchassist.domain.layer import lot_for
from benchassist.domain.light import LampAnswer
from benchassist.domain.state import Bench

_WHY = {
    "no-lamp": "No lamp is chosen. Choose one by hand.",
    "no-spectrum": "{lamp} has no spectrum on file, so nobody knows what it sets.",
    "no-layer": "What this layer absorbs is not on file, so no lamp can be judged.",
    "lamp-worn": "{lamp} gives {reason}. Take it out of service.",
    "will-not-set": "{lamp} will not set this coat.",
    "slow": "{lamp} is slow on this coat: {reason}.",
    "contradicted": "{lamp}: {reason}. Nothing goes on until that is explained.",
    "bands-apart": "{lamp} will not set this coat: {reason}.",
    "no-data": "{lamp}: {reason}, so nobody knows whether it sets this coat.",
    "seconds-unknown": "{lamp}: {reason}.",
    "coupon-over": "The coupon of {lamp} holds no longer: {reason}.",
    "by-instruction": "{lamp}: {reason}.",
    "tested-set": "{lamp} sets this coat ({reason}); whether it finishes is untested.",
    "tested": "{lamp} sets and finishes this coat: {reason}.",
    "sets": "{lamp} sets this coat: {reason}.",
}


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the part's lamp on the layer its stage lays."""
    part = ask.part
    answer = answer_for(bench, part)
    planned_s = bench.recipe_of(part).planned_tack_s
    lot = bench.lots.get(lot_for(part, part.stage.layer))
    material = lot.material if lot else ""
    others = (
        answer_for(bench, part, lamp)
        for lamp in bench.lamps
        if lamp != part.lamp and ("lamp", lamp) not in bench.retired
    )
    would_do = best(tuple(other for other in others if other.level == "pass"))
    remedy = " ".join(
        told
        for told in (
            f"Pick up {would_do.lamp}: {would_do.reason}." if would_do else "",
            answer.remedy,
        )
        if told
    )
    if not remedy:
        remedy = "No lamp on this bench is known to set it. File one that does."
    return Verdict(
        level=answer.level,
        sentence=_WHY[answer.code].format(lamp=answer.lamp, reason=answer.reason),
        numbers=(
            *answer.numbers,
            ("planned_s", planned_s),
            ("of_planned", round(max(1.0, answer.seconds / max(planned_s, 1)), 3)),
        ),
        remedy="" if answer.level == "pass" else remedy,
        scope=f"{part.code}, {part.lamp}, {part.stage.layer}, {material}",
        # Lamp and material, where the warning is about them and no part.
        thing=f"{answer.lamp}, {material}, {answer.code}" if material else "",
        badge=answer.badge,
    )


def best(answers: tuple[LampAnswer, ...]) -> LampAnswer | None:
    """Return the lamp that needs the least light, if there is any."""
    return min(answers, key=lambda answer: answer.high_s, default=None)


GATE = Gate(
    "light-check",
    "Light check",
    acceptable=True,
    measure="of_planned",
    check=check,
    why=(
        "A lamp sets only what absorbs its colours. The wrong one leaves "
        "monomer, however long it is held."
    ),
)
