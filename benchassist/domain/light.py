"""The light check: what a lamp or a box does to each layer of a part.

Brings the practice's curves together with the physics and puts the answer in
words. The thresholds are limits of the journal; the sums are in
``benchassist.physics.light_check``. Physics is imported when first asked,
because numpy costs more than the window at start-up.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from benchassist.domain.limits import limit
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.library import Curve, Initiator, Lot
    from benchassist.domain.outcome import Level
    from benchassist.domain.state import Bench, Part

W_PER_MW = 1e-3
MS_PER_H = 3_600_000


@value
class LayerLight:
    """What a layer listens to: its initiators and the exposures it needs."""

    material: str
    title: str
    initiators: tuple[Initiator, ...]
    known: bool
    design_nm: float
    set_j_cm2: float
    final_j_cm2: float


@value
class LampAnswer:
    """What one lamp does to one layer.

    ``high_s`` is the exposure it needs at the weak end of its spectrum's band,
    infinite where the light does not act; ``seconds`` the same rounded up (0 on a
    fail, which must not tempt). ``code`` names the reason.
    """

    lamp: str
    level: Level
    code: str
    reason: str
    seconds: int
    high_s: float
    effective_mw_cm2: float
    share: float


def layer_light(bench: Bench, lot: str) -> LayerLight | None:
    """Return what a lot listens to; a mix listens to all its parents.

    Returns None when the lot, its material or a curve is not on file.
    """
    found = bench.lots.get(lot)
    if found is None or found.material not in bench.materials:
        return None
    main = bench.materials[found.material]
    parts = _shares(bench, found)
    initiators = [
        _diluted(initiator, share)
        for material, share in parts
        for initiator in bench.materials[material].initiators
    ]
    if not initiators or any(each.curve not in bench.curves for each in initiators):
        return None
    return LayerLight(
        material=main.code,
        title=main.title,
        initiators=tuple(initiators),
        known=all(bench.materials[code].knowledge == "known" for code, _ in parts),
        design_nm=main.design_nm,
        set_j_cm2=main.set_j_cm2,
        final_j_cm2=main.final_j_cm2,
    )


def _shares(bench: Bench, lot: Lot) -> list[tuple[str, float]]:
    if not lot.parents:
        return [(lot.material, 1.0)]
    shares = []
    for code, fraction in lot.parents:
        parent = bench.lots.get(code)
        if parent is not None and parent.material in bench.materials:
            shares.append((parent.material, fraction))
    return shares


def _diluted(initiator: Initiator, share: float) -> Initiator:
    return type(initiator)(
        name=initiator.name,
        curve=initiator.curve,
        mol_l=initiator.mol_l * share,
        quantum_yield=initiator.quantum_yield,
    )


def lot_for(part: Part, layer: str) -> str:
    """Return the lot of a layer: as brushed, or as chosen for it."""
    if layer in part.work:
        return part.work[layer].lot
    if layer.startswith("stain"):
        return part.stain_lot
    return part.coat_lot if layer.startswith("coat") else part.print_lot


def judge_lamp(bench: Bench, lamp: str, lot: str, planned_s: float) -> LampAnswer:
    """Return what ``lamp`` does to the layer of ``lot`` for a planned tack."""
    found = bench.lamps.get(lamp)
    layer = layer_light(bench, lot)
    if not lamp:
        return _unable(lamp, "no-lamp", "No lamp is chosen for this part.")
    if found is None or found.knowledge == "unknown" or not found.curve:
        return _unable(lamp, "no-spectrum", "no spectrum on file")
    if layer is None:
        return _unable(lamp, "no-layer", "what this layer absorbs is not on file")
    today = output_share(bench, lamp)
    if today < limit(bench, "lamp_floor"):
        return _unable(lamp, "lamp-worn", f"only {today:.0%} of its baseline")
    match, share = _match(bench, bench.curves[found.curve], layer)
    effective = match * today
    band = limit(bench, "declared_band") if found.knowledge == "declared" else 0.0
    high = _seconds(layer.set_j_cm2, effective * (1 - band))
    level, code = _level(bench, high, planned_s)
    reason = f"{whole_s(high)} s a spot" if level != "fail" else "will not set it"
    if level == "pass" and not layer.known and not _coupon(bench, lamp, layer.material):
        level, code = "marginal", "design-class"
        reason = f"{whole_s(high)} s, initiator known by class only"
    elif level == "marginal":
        reason = f"{whole_s(high)} s, planned {planned_s:.0f} s"
    return LampAnswer(
        lamp=lamp,
        level=level,
        code=code,
        reason=reason,
        seconds=whole_s(high) if level != "fail" else 0,
        high_s=high,
        effective_mw_cm2=effective,
        share=share,
    )


def judge_box(
    bench: Bench, part: Part, lot: str, planned_count: int
) -> tuple[Level, str, float, float]:
    """Return level, reason, transmittance and needed seconds of box × vessel.

    The needed seconds bring the layer its final exposure through the wall of
    the part's vessel; they are compared with how long the planned count takes.
    """
    box = bench.boxes.get(part.box)
    layer = layer_light(bench, lot)
    if box is None:
        return "fail", "no curing box is chosen for this part", 0.0, math.inf
    if box.knowledge == "unknown" or not box.curve:
        return "fail", f"{box.code} has no spectrum on file", 0.0, math.inf
    if layer is None:
        return "fail", f"what {lot or 'this layer'} absorbs is not on file", 0.0, 0.0
    through, known = _through(bench, part, layer)
    if through < limit(bench, "transmittance_floor"):
        reason = f"{part.vessel} lets only {through:.0%} of the useful light through"
        return "fail", reason, through, math.inf
    effective = _match(bench, bench.curves[box.curve], layer)[0] * through
    band = limit(bench, "declared_band") if box.knowledge == "declared" else 0.0
    needed = _seconds(layer.final_j_cm2, effective * (1 - band))
    level, _ = _level(bench, needed, planned_count / box.rate_hz)
    if level == "fail":
        return level, f"{box.code} will not finish {layer.title}", through, needed
    if level == "pass" and not known:
        reason = f"the wall of {part.vessel or 'the vessel'} was never measured"
        return "marginal", reason, through, needed
    return level, f"{needed:.0f} s of light finish {layer.title}", through, needed


def output_share(bench: Bench, lamp: str) -> float:
    """Return today's output of a lamp as a share of its baseline reading."""
    reading = bench.readings.get(lamp)
    baseline = bench.lamps[lamp].baseline_reading
    return reading.value / baseline if reading and baseline else 1.0


def reading_age_h(bench: Bench, lamp: str, now: Instant) -> float:
    """Return the age of a lamp's last reading in hours, infinite without one."""
    reading = bench.readings.get(lamp)
    return now.since(reading.at) / MS_PER_H if reading else math.inf


def whole_s(seconds: float) -> int:
    """Return ``seconds`` rounded up to a whole second (0 when infinite)."""
    # A thousandth of a second is noise of the sum, not a reason for one more.
    return math.ceil(round(seconds, 3)) if math.isfinite(seconds) else 0


def _unable(lamp: str, code: str, reason: str) -> LampAnswer:
    return LampAnswer(lamp, "fail", code, reason, 0, math.inf, 0.0, 0.0)


def _level(bench: Bench, needed_s: float, planned_s: float) -> tuple[Level, str]:
    if needed_s <= limit(bench, "light_pass_factor") * planned_s + 1e-6:
        return "pass", "sets"
    if needed_s <= limit(bench, "light_marginal_factor") * planned_s + 1e-6:
        return "marginal", "slow"
    return "fail", "will-not-set"


def _coupon(bench: Bench, lamp: str, material: str) -> bool:
    return bench.coupons.get(f"{lamp} on {material}", False)


def _seconds(required_j_cm2: float, effective_mw_cm2: float) -> float:
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        seconds_needed,
    )

    return seconds_needed(
        required_effective_j_cm2=required_j_cm2, effective_mw_cm2=effective_mw_cm2
    )


def _match(bench: Bench, light: Curve, layer: LayerLight) -> tuple[float, float]:
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        Absorber,
        match_lamp,
    )

    absorbers = [
        Absorber(bench.curves[each.curve], each.mol_l, each.quantum_yield)
        for each in layer.initiators
    ]
    try:
        found = match_lamp(light, absorbers, design_nm=layer.design_nm)
    except ValueError:
        # A layer that absorbs nothing where its exposure is stated: no light is
        # known to set it, and that is what the gate has to say.
        return 0.0, 0.0
    return found.effective_mw_cm2, found.effective_share


def _through(bench: Bench, part: Part, layer: LayerLight) -> tuple[float, bool]:
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        Absorber,
        effective_transmittance,
    )

    if part.variant.cover == "nitrogen" or part.variant.finish == "none":
        return 1.0, True
    vessel = bench.vessels.get(part.vessel)
    if vessel is None or vessel.curve not in bench.curves:
        return 1.0, False
    absorbers = [
        Absorber(bench.curves[each.curve], each.mol_l, each.quantum_yield)
        for each in layer.initiators
    ]
    light = bench.curves[bench.boxes[part.box].curve]
    wall = bench.curves[vessel.curve]
    try:
        return float(effective_transmittance(light, wall, absorbers)), True
    except ValueError:
        # The box has no light for this layer at all: not the wall's fault.
        return 1.0, True
