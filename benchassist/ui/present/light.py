"""The light check on the screen: reason, both curves, and which lamp would do."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from benchassist.clock import Instant
from benchassist.domain.coat import answer_for
from benchassist.domain.commands import ChooseEquipment
from benchassist.domain.gates import light_check
from benchassist.domain.gates.verdict import Verdict
from benchassist.domain.knowledge import TESTED_HERE
from benchassist.domain.layer import layer_light, lot_for
from benchassist.domain.library import Curve
from benchassist.domain.light import LampAnswer
from benchassist.domain.shelf import offered
from benchassist.domain.state import Bench, Part
from benchassist.ui.present.rows import when
from benchassist.ui.view import LampRow, LightCheck, Option, Tone
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.ui.present.physics.plot import Plot  # no start-up waits for it

TONES: dict[str, Tone] = {"pass": "good", "marginal": "plain", "fail": "stop"}


def light_view(bench: Bench, part: Part, verdict: Verdict, now: Instant) -> LightCheck:
    """Return the light check of the part's lamp on the layer at hand."""
    lamps = dict.fromkeys((*offered(bench, "lamp"), part.lamp))
    answers = [answer_for(bench, part, lamp) for lamp in lamps]
    answers.sort(key=lambda answer: answer.high_s)
    best = light_check.best(tuple(a for a in answers if a.level == "pass"))
    pick = (
        say("Pick up {lamp}", lamp=best.lamp) if best and best.lamp != part.lamp else ""
    )
    return LightCheck(
        reason=verdict.sentence,
        why=_why(answer_for(bench, part)),
        curves=curves(bench, part),
        pick=pick or ("" if best else say("No lamp here will do")),
        pick_line=_pick_line(bench, best, now),
        lamps=tuple(
            _lamp_row(part, answer, str(n)) for n, answer in enumerate(answers, start=1)
        ),
    )


def _why(answer: LampAnswer) -> str:
    return {
        "will-not-set": say("Its light falls where this resin does not absorb."),
        "no-spectrum": say("Without a spectrum nobody can say what it sets."),
        "lamp-worn": say("Its output is below what the practice allows."),
        "seconds-unknown": say("A label says where it shines, not for how long."),
        "no-data": say(
            "The bands on the labels do not meet: they do not show that it sets."
        ),
        "bands-apart": say("Its light falls where this resin does not absorb."),
        "coupon-over": say("What was tested here holds no longer."),
        "contradicted": say("A tab has shown otherwise: find out why first."),
        "slow": say("It needs more light than this tack plans."),
    }.get(answer.code, "")


def _pick_line(bench: Bench, best: LampAnswer | None, now: Instant) -> str:
    if best is None:
        return say("File a lamp whose light this resin absorbs.")
    reading = bench.readings.get(best.lamp)
    at = when(reading.at, now) if reading else ""
    read = say(" from its reading at {at}", at=at) if reading else ""
    return say("{seconds} s a spot{read}", seconds=best.seconds, read=read)


def _lamp_row(part: Part, answer: LampAnswer, key: str) -> LampRow:
    option = None
    if answer.lamp != part.lamp and answer.level != "fail":
        chosen = ChooseEquipment(part.code, "lamp", answer.lamp)
        option = Option(say("Use {lamp}", lamp=answer.lamp), key, chosen, hold=True)
    return LampRow(
        answer.lamp,
        answer.reason,
        say("{word} {badge}", word=answer.level.upper(), badge=answer.badge)
        if answer.badge == TESTED_HERE
        else answer.level.upper(),
        TONES[answer.level],
        option,
    )


def curves(bench: Bench, part: Part) -> Plot | None:
    """Return both curves of a part's lamp and layer, or None without a spectrum."""
    lamp = bench.lamps.get(part.lamp)
    layer = layer_light(bench, lot_for(part, part.stage.layer))
    if lamp is None or layer is None or lamp.curve not in bench.curves:
        return None
    absorbers = tuple(
        (bench.curves[each.curve], each.mol_l, each.quantum_yield)
        for each in layer.initiators
    )
    layer_name = "stain" if part.stage.layer.startswith("stain") else "coat"
    return _curves(bench.curves[lamp.curve], absorbers, layer_name, lamp.code)


@lru_cache(maxsize=32)
def _curves(
    light: Curve,
    layer: tuple[tuple[Curve, float, float], ...],
    layer_name: str,
    lamp: str,
) -> Plot:
    # Numpy and all that it needs come after the first paint.
    from benchassist.physics.light_check import Absorber  # noqa: PLC0415
    from benchassist.ui.present.physics.overlap import overlap_plot  # noqa: PLC0415

    return overlap_plot(
        light,
        [Absorber(*each) for each in layer],
        absorbs=say("{layer_name} absorbs here", layer_name=layer_name),
        shines=say("{lamp} shines here", lamp=lamp),
    )
