"""What a layer of a part listens to, and how well that is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.effect import DECLARED_SHIFT_NM, Filed, Judged, Listens, judge
from benchassist.domain.effect import matched as effect_of_these
from benchassist.domain.knowledge import Known, layer_known
from benchassist.domain.limits import limit
from benchassist.value import replace, value

if TYPE_CHECKING:
    from benchassist.domain.library import Initiator, Lot, Material
    from benchassist.domain.state import Bench, Part
    from benchassist.physics.light_check import Effect


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
        replace(initiator, mol_l=initiator.mol_l * share)
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


def known_layer(bench: Bench, lot: str) -> Known:
    """Return how a lot's layer is known: a mix as its worst-known parent."""
    found = bench.lots.get(lot)
    if found is None:
        return Known("this layer", "nothing")
    codes = tuple(code for code, _ in _shares(bench, found) if code in bench.materials)
    return layer_known(bench, codes)


def material_of(bench: Bench, lot: str) -> Material | None:
    """Return the material of a lot, if it is on file."""
    found = bench.lots.get(lot)
    return bench.materials.get(found.material) if found else None


def listens(bench: Bench, layer: LayerLight) -> Listens:
    """Return a layer's initiators as the sums ask for them."""
    return tuple(
        (Filed(bench.curves[each.curve]), each.mol_l, each.quantum_yield)
        for each in layer.initiators
    )


def effect_on(
    bench: Bench, light: str, layer: LayerLight, share: float, *, declared: bool
) -> Effect:
    """Return the effect of a light, by its curve, of which ``share`` arrives."""
    found = effect_of_these(
        Filed(bench.curves[light]),
        listens(bench, layer),
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


def judged(
    bench: Bench,
    effect: Effect,
    required_j_cm2: float,
    planned_s: float,
    *,
    declared: bool,
) -> Judged:
    """Return the verdict on an effect by the limits of this bench."""
    return judge(
        effect,
        required_j_cm2=required_j_cm2,
        planned_s=planned_s,
        band=limit(bench, "declared_band") if declared else 0.0,
        pass_factor=limit(bench, "light_pass_factor"),
        marginal_factor=limit(bench, "light_marginal_factor"),
    )
