"""What a light does to a layer, in seconds: the sums a verdict is made of.

The integrals are in ``benchassist.physics.light_check``, imported when first asked,
because numpy costs more than the window at start-up. What was computed is known again
by the digests of the curves.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from benchassist.domain.library import OFF
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.domain.library import Curve
    from benchassist.domain.outcome import Level
    from benchassist.physics.light_check import Absorber, Effect

# [nm] how far the lines on a lamp's papers may lie from its light: common practice,
# no source.
DECLARED_SHIFT_NM = 5.0


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


@lru_cache(maxsize=512)
def beyond(light: Filed, wall: Filed, layer: Listens) -> float:
    """Return the share of a light's effect on a layer that a curve leaves out."""
    from benchassist.physics.light_check import (  # noqa: PLC0415 - numpy is late
        unmeasured_share,
    )

    return float(unmeasured_share(light.curve, wall.curve, _absorbers(layer)))


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
