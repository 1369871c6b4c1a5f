"""How well a light acts on a layer, and how many seconds it needs.

Fast enough for a gate (well under 2 ms). Gives numbers only: what verdict follows
from them is decided elsewhere.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from benchassist.physics.spectra import (
    LN10,
    Curve,
    FloatArray,
    SpectrumError,
    Tabulated,
    integrate,
    tabulated,
    wavelength_grid,
)


class Absorber(NamedTuple):
    """One initiator of a layer: decadic absorptivity in L/mol/cm, and how much."""

    curve: Tabulated
    mol_l: float
    quantum_yield: float


class LampMatch(NamedTuple):
    """What a lamp gives a layer, as irradiance at the layer's design wavelength.

    ``effective_mw_cm2`` is the monochromatic irradiance at ``design_nm`` that would
    make radicals at the same rate at the surface; ``bottom_mw_cm2`` the same at the
    bottom of the layer; ``total_mw_cm2`` the lamp's whole irradiance on the grid.
    """

    design_nm: float
    total_mw_cm2: float
    effective_mw_cm2: float
    bottom_mw_cm2: float

    @property
    def effective_share(self) -> float:
        """Effective irradiance per unit of the lamp's own, 0 for a dark lamp."""
        return self.effective_mw_cm2 / self.total_mw_cm2 if self.total_mw_cm2 else 0.0


class Effect(NamedTuple):
    """A match with the ends of what is not known well of lamp and layer.

    ``lowest_mw_cm2`` and ``highest_mw_cm2`` are effective irradiances: the least and
    the most that the layer's curve and a shift of the lamp's lines leave possible.
    """

    match: LampMatch
    lowest_mw_cm2: float
    highest_mw_cm2: float


class Overlap(NamedTuple):
    """Curves for a plot, each relative to its own highest value, on one grid.

    ``effect`` is where in the spectrum radicals are made: lamp x layer x wavelength.
    ``shaded`` is the lower of lamp and layer, the area that the two share.
    """

    nm: FloatArray
    lamp: FloatArray
    layer: FloatArray
    shaded: FloatArray
    effect: FloatArray


def layer_weight_per_cm(layer: Sequence[Absorber], grid_nm: FloatArray) -> FloatArray:
    r"""Return :math:`w = \sum_i c_i \phi_i \varepsilon_i` in 1/cm, decadic."""
    weight = np.zeros(grid_nm.shape)
    for absorber in layer:
        weight += (absorber.mol_l * absorber.quantum_yield) * tabulated(
            absorber.curve, grid_nm
        )
    return weight


def layer_absorbance_per_cm(
    layer: Sequence[Absorber], grid_nm: FloatArray
) -> FloatArray:
    r"""Return the initiators' absorbance :math:`\sum_i c_i \varepsilon_i` in 1/cm."""
    total = np.zeros(grid_nm.shape)
    for absorber in layer:
        total += absorber.mol_l * tabulated(absorber.curve, grid_nm)
    return total


def match_lamp(
    lamp: Tabulated,
    layer: Sequence[Absorber],
    *,
    design_nm: float,
    thickness_um: float = 0.0,
    design_layer: Sequence[Absorber] | None = None,
) -> LampMatch:
    r"""Return a lamp's effective irradiance on a layer.

    .. math::
        E_{eff} = \frac{\int E(\lambda) w(\lambda) \lambda \, d\lambda}
                       {w(\lambda_d) \lambda_d}

    Photon-weighted: a radical costs one absorbed photon, whatever its energy. At
    the bottom, E is first weakened by the layer's own initiators (Beer-Lambert, no
    bleaching, no pigment).

    Parameters
    ----------
    lamp
        Spectral irradiance in mW/cm2/nm.
    layer
        The layer's initiators.
    design_nm
        Wavelength at which the layer's required exposure is stated.
    thickness_um
        Thickness of the layer; 0 where only the surface matters.
    design_layer
        Where the layer is the low or high end of what is known of it, the layer that
        its exposure is stated for; by default the layer itself.

    Raises
    ------
    SpectrumError
        If the layer absorbs nothing at its design wavelength.
    """
    grid_nm = wavelength_grid()
    at_design = layer_weight_per_cm(
        layer if design_layer is None else design_layer, np.array([float(design_nm)])
    )
    design = float(at_design[0]) * design_nm
    if design <= 0.0:
        message = (
            f"The layer's initiator absorbs nothing at {design_nm:g} nm; correct its "
            "absorption curve or the wavelength its exposure is stated for."
        )
        raise SpectrumError(message)
    irradiance = tabulated(lamp, grid_nm)
    effect = irradiance * layer_weight_per_cm(layer, grid_nm) * grid_nm
    effective = integrate(effect, grid_nm) / design
    bottom = effective
    if thickness_um > 0.0:
        absorbance = layer_absorbance_per_cm(layer, grid_nm) * (thickness_um * 1e-4)
        bottom = integrate(effect * np.exp(-LN10 * absorbance), grid_nm) / design
    return LampMatch(
        design_nm=design_nm,
        total_mw_cm2=integrate(irradiance, grid_nm),
        effective_mw_cm2=effective,
        bottom_mw_cm2=bottom,
    )


def effect(
    lamp: Tabulated,
    layer: Sequence[Absorber],
    ends: Sequence[Sequence[Absorber]] = (),
    *,
    design_nm: float,
    thickness_um: float = 0.0,
    shift_nm: float = 0.0,
) -> Effect:
    """Return a lamp's match on a layer and the corners of what is not known well.

    Parameters
    ----------
    lamp, layer, design_nm, thickness_um
        As for :func:`match_lamp`.
    ends
        The layer at the low and at the high end of its absorption.
    shift_nm
        How far the lamp's whole spectrum may lie to either side.

    Raises
    ------
    SpectrumError
        If the layer absorbs nothing at its design wavelength.
    """
    match = match_lamp(lamp, layer, design_nm=design_nm, thickness_um=thickness_um)
    possible = [
        match_lamp(
            Curve(tuple(nm + shift for nm in lamp.nm), lamp.values),
            end,
            design_nm=design_nm,
            design_layer=layer,
        ).effective_mw_cm2
        for shift in {-shift_nm, 0.0, shift_nm}
        for end in (layer, *ends)
    ]
    return Effect(match, min(possible), max(possible))


def seconds_needed(
    *, required_effective_j_cm2: float, effective_mw_cm2: float
) -> float:
    """Return the exposure time in s; infinite where the lamp does not act at all."""
    if required_effective_j_cm2 <= 0.0:
        return 0.0
    if effective_mw_cm2 <= 0.0:
        return float("inf")
    return required_effective_j_cm2 * 1e3 / effective_mw_cm2


def effective_transmittance(
    lamp: Tabulated, transmittance: Tabulated, layer: Sequence[Absorber]
) -> float:
    r"""Return the share of a lamp's effect on a layer that a vessel lets through.

    .. math::
        T_{eff} = \frac{\int E T w \lambda \, d\lambda}
                       {\int E w \lambda \, d\lambda}

    A transmittance curve counts as opaque outside its points: what was not measured
    is not assumed clear.

    Raises
    ------
    SpectrumError
        If the lamp has no effect on the layer even without the vessel.
    """
    grid_nm = wavelength_grid()
    effect = tabulated(lamp, grid_nm) * layer_weight_per_cm(layer, grid_nm) * grid_nm
    bare = integrate(effect, grid_nm)
    if bare <= 0.0:
        raise SpectrumError("The lamp gives no light that this layer's initiator uses.")
    return integrate(effect * tabulated(transmittance, grid_nm), grid_nm) / bare


def unmeasured_share(
    lamp: Tabulated, transmittance: Tabulated, layer: Sequence[Absorber]
) -> float:
    """Return the share of a lamp's effect on a layer that a vessel's curve leaves out.

    It counts as held back, but the curve ends there: that says something of the
    measurement and nothing of the lamp. 0 where the lamp has no effect at all.
    """
    grid_nm = wavelength_grid()
    effect = tabulated(lamp, grid_nm) * layer_weight_per_cm(layer, grid_nm) * grid_nm
    bare = integrate(effect, grid_nm)
    beyond = (grid_nm < transmittance.nm[0]) | (grid_nm > transmittance.nm[-1])
    return integrate(np.where(beyond, effect, 0.0), grid_nm) / bare if bare > 0 else 0.0


def overlap(lamp: Tabulated, layer: Sequence[Absorber]) -> Overlap:
    """Return the curves of lamp and layer for a plot, each relative to its peak."""
    grid_nm = wavelength_grid()
    irradiance = tabulated(lamp, grid_nm)
    weight = layer_weight_per_cm(layer, grid_nm)
    relative_lamp, relative_layer = _to_peak(irradiance), _to_peak(weight)
    return Overlap(
        nm=grid_nm,
        lamp=relative_lamp,
        layer=relative_layer,
        shaded=np.minimum(relative_lamp, relative_layer),
        effect=_to_peak(irradiance * weight * grid_nm),
    )


def _to_peak(values: FloatArray) -> FloatArray:
    peak = values.max()
    return values / peak if peak > 0.0 else values
