r"""Exposure limits for eyes and skin at the bench, as permissible seconds.

Directive 2006/25/EC, Annex I, and IEC 62471:2006, from the spectral radiant exitance
of a lamp's tip. The limits are guidelines for healthy adults; local law decides. The
tip is looked into as the brighter of two: Lambertian, :math:`L = M / \pi`, and a beam
from a virtual source behind it, which keeps its light together. No averaging over the
eye's movements is applied, which is conservative.
"""

from dataclasses import dataclass
from math import inf, pi
from typing import Literal

import numpy as np

from benchassist.physics.spectra import (
    FloatArray,
    Tabulated,
    integrate,
    tabulated,
    wavelength_grid,
)
from benchassist.physics.tip import (
    COLLIMATED_MM,
    disc_view_factor,
    distance_factor,
)

WORKING_DAY_S = 8 * 3600.0  # [s] the day that the limits are stated for
BLUE_DAY_S = 1e4  # [s] beyond it the blue-light limit is a level, not a dose

ACTINIC_J_M2 = 30.0  # index a
UVA_J_M2 = 1e4  # index b
BLUE_RADIANCE_J_M2_SR = 1e6  # index c
BLUE_SMALL_SOURCE_J_M2 = 100.0  # index e
SMALL_SOURCE_MRAD = 11.0
RETINAL_THERMAL_LONG = 2.8e7  # [W/m2/sr mrad] index g, beyond 10 s
RETINAL_THERMAL_SHORT = 5e7  # [W/m2/sr mrad s^1/4] index h, up to 10 s
RETINAL_ANGLES_MRAD = (1.7, 100.0)  # the angle counts at least, at most this
SKIN_THERMAL_J_M2 = 2e4  # IEC 62471:2006 4.3.8, times t^1/4, up to 10 s
THERMAL_S = 10.0
UVA_BAND_NM = (315.0, 400.0)
SKIN_THERMAL_BAND_NM = (380.0, 800.0)  # the standard's goes on to 3000 nm

W_M2_PER_MW_CM2 = 10.0

LimitId = Literal[
    "actinic-ultraviolet",
    "uva-eye",
    "blue-light",
    "blue-light-small-source",
    "retinal-thermal",
    "skin-thermal",
]
Basis = Literal["8 h day", "one exposure"]


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit: what is counted, how strong it is here, how long it lasts.

    ``permissible_s`` is infinite where the limit is not reached in its time.
    """

    name: LimitId
    basis: Basis
    level: float
    unit: str
    permissible_s: float


@dataclass(frozen=True, slots=True)
class Scene:
    """Light at a place: irradiance there, radiance of what is seen, its angle."""

    irradiance_w_m2_nm: FloatArray
    radiance_w_m2_sr_nm: FloatArray
    subtense_mrad: float


def hazard_grid() -> FloatArray:
    """Return the grid of every function of this module: 200 to 800 nm by 0.5 nm."""
    return wavelength_grid(low_nm=200.0, high_nm=800.0, step_nm=0.5)


def actinic_weight(table: Tabulated, grid_nm: FloatArray) -> FloatArray:
    """Return S on a grid: its logarithm linear between points, zero outside."""
    log_weight = np.interp(grid_nm, table.nm, np.log10(np.asarray(table.values)))
    inside = (grid_nm >= table.nm[0]) & (grid_nm <= table.nm[-1])
    return np.where(inside, 10.0**log_weight, 0.0)


def retinal_thermal_weight(blue_weight: FloatArray, grid_nm: FloatArray) -> FloatArray:
    """Return R on the grid up to 800 nm.

    10 B from 380 to 500 nm, 1 to 700 nm, then falling by a decade per 500 nm: IEC
    62471:2006, Table 4.2, from memory. It decides nothing at a bench lamp, whose
    radiance lies orders of magnitude below the limit.
    """
    red = 10.0 ** np.minimum(0.0, (700.0 - grid_nm) / 500.0)
    weight = np.where(grid_nm <= 500.0, 10.0 * blue_weight, red)  # noqa: PLR2004
    return np.where(grid_nm >= 380.0, weight, 0.0)  # noqa: PLR2004


def scene(
    exitance_mw_cm2_nm: FloatArray,
    *,
    tip_mm: float,
    distance_mm: float,
    reflectance: float | None = None,
    source_mm: float = COLLIMATED_MM,
) -> Scene:
    r"""Return the light that reaches a place from a tip or from a part lit by it.

    Looking into the tip, with r its radius and z0 the depth of the virtual source:

    .. math::
        E = E_0 \max\left(\frac{r^2}{r^2 + d^2},
            \left(\frac{z_0}{z_0 + d}\right)^2\right), \quad
        L = \frac{M}{\pi} \max\left(1, \frac{r^2 + z_0^2}{r^2}\right)

    A matt part is Lambertian.

    Parameters
    ----------
    exitance_mw_cm2_nm
        Spectral radiant exitance of the tip on the hazard grid.
    tip_mm
        Diameter of the tip, or of the patch that it lights at contact.
    distance_mm
        From there to the eye or the skin; 0 is skin at the tip.
    reflectance
        None for looking into the tip; otherwise the share a matt part reflects.
    source_mm
        Depth of the beam's virtual source behind the tip; 0 for a Lambertian tip.
    """
    share = 1.0 if reflectance is None else reflectance
    exitance = exitance_mw_cm2_nm * (W_M2_PER_MW_CM2 * share)
    view = disc_view_factor(diameter_mm=tip_mm, distance_mm=distance_mm)
    gathered = 1.0
    if reflectance is None and source_mm > 0.0:
        beam = distance_factor(source_mm=source_mm, distance_mm=distance_mm)
        view = max(view, beam)
        gathered = 1.0 + (source_mm / (tip_mm / 2.0)) ** 2
    return Scene(
        irradiance_w_m2_nm=exitance * view,
        radiance_w_m2_sr_nm=exitance * (gathered / pi),
        subtense_mrad=inf if distance_mm == 0.0 else 1e3 * tip_mm / distance_mm,
    )


def eye_limits(
    seen: Scene, *, actinic_table: Tabulated, blue_table: Tabulated
) -> tuple[Limit, ...]:
    """Return every limit for an eye, the blue one for the size of what is seen."""
    grid_nm = hazard_grid()
    blue_weight = tabulated(blue_table, grid_nm)
    e_uva = _in_band(seen.irradiance_w_m2_nm, UVA_BAND_NM)
    if seen.subtense_mrad < SMALL_SOURCE_MRAD:
        e_blue = integrate(seen.irradiance_w_m2_nm * blue_weight, grid_nm)
        blue = Limit(
            "blue-light-small-source",
            "8 h day",
            e_blue,
            "W/m2",
            _dose_s(BLUE_SMALL_SOURCE_J_M2, e_blue, BLUE_DAY_S),
        )
    else:
        l_blue = integrate(seen.radiance_w_m2_sr_nm * blue_weight, grid_nm)
        blue = Limit(
            "blue-light",
            "8 h day",
            l_blue,
            "W/m2/sr",
            _dose_s(BLUE_RADIANCE_J_M2_SR, l_blue, BLUE_DAY_S),
        )
    l_thermal = integrate(
        seen.radiance_w_m2_sr_nm * retinal_thermal_weight(blue_weight, grid_nm), grid_nm
    )
    return (
        _actinic(seen, actinic_table),
        Limit("uva-eye", "8 h day", e_uva, "W/m2", _dose_s(UVA_J_M2, e_uva)),
        blue,
        Limit(
            "retinal-thermal",
            "one exposure",
            l_thermal,
            "W/m2/sr",
            _retinal_thermal_s(l_thermal, seen.subtense_mrad),
        ),
    )


def skin_limits(seen: Scene, *, actinic_table: Tabulated) -> tuple[Limit, ...]:
    """Return every limit for skin, such as the hand that holds the part.

    The thermal limit counts 380 nm and above; the grid ends at 800 nm.
    """
    e_heat = _in_band(seen.irradiance_w_m2_nm, SKIN_THERMAL_BAND_NM)
    # E t <= 20 000 t^(1/4) solved for t; no limit is stated from 10 s on.
    heat_s = (SKIN_THERMAL_J_M2 / e_heat) ** (4.0 / 3.0) if e_heat > 0.0 else inf
    return (
        _actinic(seen, actinic_table),
        Limit(
            "skin-thermal",
            "one exposure",
            e_heat,
            "W/m2",
            heat_s if heat_s < THERMAL_S else inf,
        ),
    )


def _actinic(seen: Scene, table: Tabulated) -> Limit:
    weighted = seen.irradiance_w_m2_nm * actinic_weight(table, hazard_grid())
    level = _in_band(weighted, (table.nm[0], table.nm[-1]))
    return Limit(
        "actinic-ultraviolet", "8 h day", level, "W/m2", _dose_s(ACTINIC_J_M2, level)
    )


def _in_band(values: FloatArray, band_nm: tuple[float, float]) -> float:
    # The ends of a band are steps; a trapezium across one would add half a step.
    grid_nm = hazard_grid()
    inside = (grid_nm >= band_nm[0]) & (grid_nm <= band_nm[1])
    return integrate(values[inside], grid_nm[inside])


def _dose_s(dose: float, level: float, day_s: float = WORKING_DAY_S) -> float:
    seconds = dose / level if level > 0.0 else inf
    return seconds if seconds < day_s else inf


def _retinal_thermal_s(radiance_w_m2_sr: float, subtense_mrad: float) -> float:
    smallest, largest = RETINAL_ANGLES_MRAD
    angle_mrad = min(max(subtense_mrad, smallest), largest)
    if radiance_w_m2_sr <= RETINAL_THERMAL_LONG / angle_mrad:
        return inf
    seconds = (RETINAL_THERMAL_SHORT / (angle_mrad * radiance_w_m2_sr)) ** 4
    return min(float(seconds), THERMAL_S)
