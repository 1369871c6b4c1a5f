"""What a script can expect of lights: how well a pairing is known, and its coupon."""

from __future__ import annotations

from benchassist.domain.box_light import judge_box
from benchassist.domain.coupon import step
from benchassist.domain.gates.box_light import second_half
from benchassist.domain.layer import lot_for
from benchassist.domain.light import finite, judge_lamp
from benchassist.physics.coat import COARSE, SET_CONVERSION, simulate
from benchassist.rehearsal.expect import Facts, Scene, Words, facts, part_named, topic
from benchassist.sums.coat import coating
from benchassist.sums.subject import Subject


@topic("light")
def _light(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer for a lamp on a lot: ``expect light EX-LM-A EX-LT-C1 rung=4``."""
    if len(which) != 2:  # noqa: PLR2004 - the two
        message = "expected a lamp and a lot"
        raise ValueError(message)
    planned_s = float(named.get("planned_s", "15"))
    lamp, lot = which
    answer = judge_lamp(scene.session.bench, lamp, lot, planned_s)
    return {
        "planned_s": planned_s,
        **facts(answer, "rung level code badge seconds remedy"),
        "low_s": finite(answer.low_s),
        "high_s": finite(answer.longest_s),
        "why": answer.reason,
    }


@topic("box-light")
def _box_light(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer for a part's box and vessel on its coat: ``expect box-light EX-1``."""
    part = part_named(scene, which)
    lot = lot_for(part, "coat-1")
    answer = judge_box(scene.session.bench, part, lot, second_half(part))
    return {
        **facts(answer, "rung level code badge"),
        "through": round(answer.through, 3),
        "needed_s": finite(answer.needed_s),
        "why": answer.reason,
    }


@topic("coupon")
def _coupon(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer for the test under way: ``expect coupon next=light of=A``."""
    run = scene.session.bench.coupon
    if run is None:
        return {"next": "none"}
    found = step(run)
    return {
        **facts(found, "of seconds light"),
        "next": found.kind,
        "tab": found.number,
        "ready": run.ready,
    }


@topic("skin")
def _skin(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer for what the coat model leaves soft on a part under its own cover."""
    part, bench = part_named(scene, which), scene.session.bench
    about = Subject(part, bench.recipe_of(part), part.lamp, part.coat_lot)
    made = coating(bench, about)
    steps = made.tacks(made.planned_s, coat_um=made.coat_um)
    steps += made.ending(part.variant.cover)
    worst_um = 0.0
    for each in range(1 + len(made.resin.others)):  # whichever rates are true
        end = simulate(
            made.resin.with_rates(each),
            steps,
            grid_nm=made.grid_nm,
            resolution=COARSE,
        )[-1]
        worst_um = max(worst_um, float(end.soft_um(SET_CONVERSION)[0]))
    return {"oxygen_percent": made.oxygen_percent, "soft_um": round(worst_um, 1)}
