"""The light check: what a lamp or a box does to each layer of a part.

Brings the practice's curves together with the physics and puts the answer in
words. The thresholds are limits of the journal; the sums are in
``benchassist.physics.light_check``. Physics is imported when first asked,
because numpy costs more than the window at start-up.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from benchassist.domain.library import OFF
from benchassist.domain.limits import limit
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.library import Curve, Initiator, Lot
    from benchassist.domain.outcome import Level
    from benchassist.domain.state import Bench, Part
    from benchassist.physics.light_check import Absorber, Effect

MS_PER_H = 3_600_000
# [nm] how far the lines on a lamp's papers may lie from its light: common practice,
# no source.
DECLARED_SHIFT_NM = 5.0


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
    fail, which must not tempt). ``low_s`` and ``longest_s`` hold what is not known
    well: the layer's curve, and where a lamp's declared lines lie and how strong.
    ``code`` names the reason.
    """

    lamp: str
    level: Level
    code: str
    reason: str
    seconds: int
    high_s: float
    effective_mw_cm2: float
    share: float
    low_s: float = math.inf
    longest_s: float = math.inf


@value
class Judged:
    """What follows from an effect: level, why, and seconds (infinite: never).

    ``needed_s`` is for the values in use, ``careful_s`` for the weak end of a
    declared irradiance and what the level goes by; ``low_s`` to ``high_s`` hold all.
    """

    level: Level
    code: str
    needed_s: float
    careful_s: float
    low_s: float
    high_s: float


def judge(
    effect: Effect,
    *,
    required_j_cm2: float,
    planned_s: float,
    band: float,
    pass_factor: float,
    marginal_factor: float,
) -> Judged:
    """Return the verdict on a light and a layer; gates and calculators ask this.

    Parameters
    ----------
    effect
        From :func:`benchassist.physics.light_check.effect`, with today's output.
    required_j_cm2
        Effective exposure at the layer's design wavelength.
    planned_s
        The exposure that is planned.
    band
        Share by which the irradiance may be off: 0 where it was measured.
    pass_factor, marginal_factor
        Of the planned time, up to which the careful seconds pass, and are marginal.
    """
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        seconds_needed,
    )

    needed, careful, low, high = (
        seconds_needed(required_effective_j_cm2=required_j_cm2, effective_mw_cm2=mw_cm2)
        for mw_cm2 in (
            effect.match.effective_mw_cm2,
            effect.match.effective_mw_cm2 * (1 - band),
            effect.highest_mw_cm2 * (1 + band),
            effect.lowest_mw_cm2 * (1 - band),
        )
    )
    level: Level = "fail"
    code = "will-not-set"
    if careful <= pass_factor * planned_s + 1e-6:
        level, code = "pass", "sets"
    elif careful <= marginal_factor * planned_s + 1e-6:
        level, code = "marginal", "slow"
    return Judged(level, code, needed, careful, low, high)


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
    """Return the lot of a layer: as chosen while it is being laid, else as brushed."""
    if layer in part.work and layer != part.stage.layer:
        return part.work[layer].lot
    if layer.startswith("stain"):
        return part.stain_lot
    return part.coat_lot if layer.startswith("coat") else part.print_lot


def lots_in(part: Part, layer: str) -> tuple[str, ...]:
    """Return every lot a layer holds, the bottle that is next on the brush included."""
    brushed = part.work[layer].lots if layer in part.work else ()
    return tuple(dict.fromkeys((*brushed, lot_for(part, layer))))


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
    declared = found.knowledge == "declared"
    effect = _effect_of(bench, found.curve, layer, today, declared=declared)
    verdict = _judged(bench, effect, layer.set_j_cm2, planned_s, declared=declared)
    level, code, high = verdict.level, verdict.code, verdict.careful_s
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
        effective_mw_cm2=effect.match.effective_mw_cm2,
        share=effect.match.effective_share,
        low_s=verdict.low_s,
        longest_s=verdict.high_s,
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
    declared = box.knowledge == "declared"
    effect = _effect_of(bench, box.curve, layer, through, declared=declared)
    planned_s = planned_count / box.rate_hz
    verdict = _judged(bench, effect, layer.final_j_cm2, planned_s, declared=declared)
    level, needed = verdict.level, verdict.careful_s
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


def _coupon(bench: Bench, lamp: str, material: str) -> bool:
    return bench.coupons.get(f"{lamp} on {material}", False)


def _judged(
    bench: Bench,
    effect: Effect,
    required_j_cm2: float,
    planned_s: float,
    *,
    declared: bool,
) -> Judged:
    return judge(
        effect,
        required_j_cm2=required_j_cm2,
        planned_s=planned_s,
        band=limit(bench, "declared_band") if declared else 0.0,
        pass_factor=limit(bench, "light_pass_factor"),
        marginal_factor=limit(bench, "light_marginal_factor"),
    )


class Filed:
    """A curve on file that is told by its digest, so that an answer is known again."""

    __slots__ = ("curve",)

    def __init__(self, curve: Curve) -> None:
        self.curve = curve

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Filed) and self.curve.digest == other.curve.digest

    def __hash__(self) -> int:
        return hash(self.curve.digest)


Listens = tuple[tuple[Filed, float, float], ...]


@lru_cache(maxsize=512)
def matched(light: Filed, layer: Listens, design_nm: float, shift_nm: float) -> Effect:
    """Return the effect of a light on a layer, computed once for the same three.

    ``layer`` holds curve, mol/L and quantum yield of each initiator.
    """
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        Effect,
        LampMatch,
        effect,
    )

    try:
        return effect(
            light.curve,
            _absorbers(layer),
            (_absorbers(layer, -1), _absorbers(layer, 1)),
            design_nm=design_nm,
            shift_nm=shift_nm,
        )
    except ValueError:
        # A layer that absorbs nothing where its exposure is stated: no light is
        # known to set it, and that is what the gate has to say.
        return Effect(LampMatch(design_nm, 0.0, 0.0, 0.0), 0.0, 0.0)


def _absorbers(layer: Listens, end: int = 0) -> list[Absorber]:
    """Return the initiators for the physics, at the low or high end with -1 or 1."""
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        Absorber,
    )
    from benchassist.physics.spectra import Curve as Points  # noqa: PLC0415

    found = []
    for filed, mol_l, quantum_yield in layer:
        curve = filed.curve
        factor = 1 + end * OFF[curve.confidence]
        points = Points(curve.nm, tuple(value * factor for value in curve.values))
        found.append(Absorber(points, mol_l, quantum_yield))
    return found


def _listens(bench: Bench, layer: LayerLight) -> Listens:
    return tuple(
        (Filed(bench.curves[each.curve]), each.mol_l, each.quantum_yield)
        for each in layer.initiators
    )


def _effect_of(
    bench: Bench, light: str, layer: LayerLight, share: float, *, declared: bool
) -> Effect:
    """Return the effect of a light of which ``share`` arrives."""
    found = matched(
        Filed(bench.curves[light]),
        _listens(bench, layer),
        layer.design_nm,
        DECLARED_SHIFT_NM if declared else 0.0,
    )
    match = found.match
    return found._replace(
        match=match._replace(
            total_mw_cm2=match.total_mw_cm2 * share,
            effective_mw_cm2=match.effective_mw_cm2 * share,
            bottom_mw_cm2=match.bottom_mw_cm2 * share,
        ),
        lowest_mw_cm2=found.lowest_mw_cm2 * share,
        highest_mw_cm2=found.highest_mw_cm2 * share,
    )


def _through(bench: Bench, part: Part, layer: LayerLight) -> tuple[float, bool]:
    if part.variant.cover == "nitrogen" or part.variant.finish == "none":
        return 1.0, True
    vessel = bench.vessels.get(part.vessel)
    if vessel is None or vessel.curve not in bench.curves:
        return 1.0, False
    through = passes(
        Filed(bench.curves[bench.boxes[part.box].curve]),
        Filed(bench.curves[vessel.curve]),
        _listens(bench, layer),
    )
    return through, True


@lru_cache(maxsize=512)
def passes(light: Filed, wall: Filed, layer: Listens) -> float:
    """Return the share of a light's effect on a layer that a wall lets through."""
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        effective_transmittance,
    )

    try:
        return float(
            effective_transmittance(light.curve, wall.curve, _absorbers(layer))
        )
    except ValueError:
        # The box has no light for this layer at all: not the wall's fault.
        return 1.0
