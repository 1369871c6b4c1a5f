"""Light and absorption on a wavelength grid; knows nothing of lamps on a shelf.

Conventions held by the whole package: wavelengths in nm, spectral irradiance in
mW/cm2/nm, photon flux in mol/cm2/s (per nm where spectral), molar absorptivity
decadic in L/mol/cm, integrals by the trapezium rule on the grid passed in.
"""

from collections.abc import Iterable
from typing import NamedTuple, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]

GRID_LOW_NM = 300.0
GRID_HIGH_NM = 600.0
GRID_STEP_NM = 0.5

# [J m/mol] N_A h c, exact since the SI revision of 2019.
PHOTON_MOLE_ENERGY_J_M = 6.02214076e23 * 6.62607015e-34 * 299792458.0
LN10 = float(np.log(10.0))

# [-] full width at half maximum of a Gaussian, in standard deviations.
FWHM_PER_SIGMA = 2.0 * float(np.sqrt(2.0 * np.log(2.0)))
# [-] share of a lamp's power that sampling may lose before the sample is refused.
SAMPLING_TOLERANCE = 0.05


class Tabulated(Protocol):
    """A spectrum given by points: linear between them, zero outside."""

    @property
    def nm(self) -> tuple[float, ...]:
        """Rising wavelengths in nm."""

    @property
    def values(self) -> tuple[float, ...]:
        """One value per wavelength, none negative."""


class Curve(NamedTuple):
    """The plainest tabulated spectrum."""

    nm: tuple[float, ...]
    values: tuple[float, ...]


class Line(NamedTuple):
    """One emission line, a Gaussian of the given area."""

    mw_cm2: float
    centre_nm: float
    fwhm_nm: float


class Gaussian(NamedTuple):
    """One absorption band, a Gaussian of the given height."""

    peak_l_mol_cm: float
    centre_nm: float
    sigma_nm: float


class SpectrumError(ValueError):
    """A spectrum that cannot be used; the message says why, for a person."""


def wavelength_grid(
    *,
    low_nm: float = GRID_LOW_NM,
    high_nm: float = GRID_HIGH_NM,
    step_nm: float = GRID_STEP_NM,
) -> FloatArray:
    """Return the evenly spaced grid of integration, both ends included, in nm."""
    steps = round((high_nm - low_nm) / step_nm)
    return np.linspace(low_nm, high_nm, steps + 1)


def integrate(values: FloatArray, grid_nm: FloatArray) -> float:
    """Return the trapezium integral of values over wavelength."""
    return float(np.trapezoid(values, grid_nm))


def check_curve(curve: Tabulated) -> None:
    """Raise SpectrumError, in one sentence, where a tabulated curve is unusable."""
    if len(curve.nm) != len(curve.values):
        message = (
            f"The spectrum has {len(curve.nm)} wavelengths but "
            f"{len(curve.values)} values; give one value per wavelength."
        )
        raise SpectrumError(message)
    if len(curve.nm) < 2:  # noqa: PLR2004 - a line needs two points
        raise SpectrumError("The spectrum needs at least two points.")
    nm, values = np.asarray(curve.nm), np.asarray(curve.values)
    if not (np.isfinite(nm).all() and np.isfinite(values).all()):
        raise SpectrumError("The spectrum holds a value that is not a finite number.")
    falls = np.flatnonzero(np.diff(nm) <= 0.0)
    if falls.size:
        message = (
            "Wavelengths must rise from point to point; "
            f"{nm[falls[0] + 1]:g} nm follows {nm[falls[0]]:g} nm."
        )
        raise SpectrumError(message)
    negative = np.flatnonzero(values < 0.0)
    if negative.size:
        message = (
            f"The value at {nm[negative[0]]:g} nm is negative "
            f"({values[negative[0]]:g}); set instrument noise to zero."
        )
        raise SpectrumError(message)


def tabulated(curve: Tabulated, grid_nm: FloatArray) -> FloatArray:
    """Return a tabulated curve on the grid: linear between points, zero outside."""
    return np.interp(grid_nm, curve.nm, curve.values, left=0.0, right=0.0)


def sampling_loss(curve: Tabulated, grid_nm: FloatArray) -> float:
    """Return the relative change of a curve's own integral made by the grid.

    The curve's integral is taken between the ends of the grid. Far from zero, the
    curve has features narrower than a grid step and the sample cannot be trusted.
    """
    inside = [n for n in curve.nm if grid_nm[0] < n < grid_nm[-1]]
    fine = np.unique(np.concatenate((inside, grid_nm)))
    own = integrate(tabulated(curve, fine), fine)
    return (
        0.0 if own == 0.0 else integrate(tabulated(curve, grid_nm), grid_nm) / own - 1
    )


def gaussian_lines(lines: Iterable[Line], grid_nm: FloatArray) -> FloatArray:
    """Return the spectral irradiance in mW/cm2/nm of Gaussian emission lines.

    The area of each whole Gaussian is its irradiance; what falls outside the grid
    is lost, so that the total of a broad lamp depends on the grid. A line narrower
    than two steps is taken as monochromatic and shared between the two nearest
    points, which keeps its power and its centre.
    """
    step_nm = float(grid_nm[1] - grid_nm[0])
    total = np.zeros(grid_nm.shape)
    for mw_cm2, centre_nm, fwhm_nm in lines:
        if fwhm_nm < 2.0 * step_nm:
            hat = np.maximum(0.0, 1.0 - np.abs(grid_nm - centre_nm) / step_nm)
            total += mw_cm2 / step_nm * hat
            continue
        sigma_nm = fwhm_nm / FWHM_PER_SIGMA
        height = mw_cm2 / (sigma_nm * np.sqrt(2.0 * np.pi))
        total += height * np.exp(-0.5 * ((grid_nm - centre_nm) / sigma_nm) ** 2)
    return total


def gaussian_bands(bands: Iterable[Gaussian], grid_nm: FloatArray) -> FloatArray:
    """Return the decadic molar absorptivity in L/mol/cm of Gaussian bands."""
    total = np.zeros(grid_nm.shape)
    for peak_l_mol_cm, centre_nm, sigma_nm in bands:
        total += peak_l_mol_cm * np.exp(-0.5 * ((grid_nm - centre_nm) / sigma_nm) ** 2)
    return total


def photon_flux_mol_cm2_s(
    irradiance_mw_cm2: FloatArray, wavelength_nm: FloatArray
) -> FloatArray:
    r"""Return the photon flux of an irradiance, element by element.

    .. math:: q = E \, \lambda / (N_A h c)

    With a spectral irradiance per nm the result is per nm.
    """
    return irradiance_mw_cm2 * wavelength_nm * (1e-12 / PHOTON_MOLE_ENERGY_J_M)


def absorbed_mol_l_s(
    irradiance_mw_cm2_nm: FloatArray,
    absorptivity_l_mol_cm: FloatArray,
    grid_nm: FloatArray,
    *,
    mol_l: float,
) -> float:
    r"""Return the photons absorbed at a surface, in mol of photons per L and s.

    .. math:: I_a = 1000 \ln 10 \; c \int \varepsilon q \, d\lambda

    Beer-Lambert at depth zero; the 1000 turns cm3 into L because q is per cm2.
    """
    flux = photon_flux_mol_cm2_s(irradiance_mw_cm2_nm, grid_nm)
    return 1e3 * LN10 * mol_l * integrate(absorptivity_l_mol_cm * flux, grid_nm)


def initiation_mol_l_s(
    absorbed_mol_l_s: float, *, quantum_yield: float, efficiency: float
) -> float:
    r"""Return the rate of initiating radicals, :math:`R_i = 2 \phi f I_a`.

    Two radicals per cleavage; termination is then written :math:`2 k_t R^2`.
    """
    return 2.0 * quantum_yield * efficiency * absorbed_mol_l_s


def rate_per_mw(
    irradiance_mw_cm2_nm: FloatArray,
    absorptivity_l_mol_cm: FloatArray,
    grid_nm: FloatArray,
) -> float:
    """Return photon-weighted absorption per unit of the lamp's irradiance on the grid.

    Raises SpectrumError where the lamp gives no light on the grid.
    """
    total = integrate(irradiance_mw_cm2_nm, grid_nm)
    if total <= 0.0:
        message = (
            f"The lamp gives no light between {grid_nm[0]:g} and {grid_nm[-1]:g} nm."
        )
        raise SpectrumError(message)
    flux = photon_flux_mol_cm2_s(irradiance_mw_cm2_nm, grid_nm)
    return integrate(absorptivity_l_mol_cm * flux, grid_nm) / total


def efficacy(
    lamp_mw_cm2_nm: FloatArray,
    reference_mw_cm2_nm: FloatArray,
    absorptivity_l_mol_cm: FloatArray,
    grid_nm: FloatArray,
) -> float:
    r"""Return how much better a lamp's milliwatt initiates than a reference lamp's.

    .. math::
        \frac{\int \varepsilon q_{lamp} d\lambda / \int E_{lamp} d\lambda}
             {\int \varepsilon q_{ref} d\lambda / \int E_{ref} d\lambda}

    The idea is the photon absorption efficiency of Neumann et al. 2006, Dent Mater
    22:576. Values below about 1e-3 mean "practically none" and no more, because the
    tails of absorption curves are not known better. Infinite where the reference
    is not absorbed; raises SpectrumError where neither is.
    """
    lamp = rate_per_mw(lamp_mw_cm2_nm, absorptivity_l_mol_cm, grid_nm)
    reference = rate_per_mw(reference_mw_cm2_nm, absorptivity_l_mol_cm, grid_nm)
    if reference > 0.0:
        return lamp / reference
    if lamp > 0.0:
        return float("inf")
    raise SpectrumError("Neither lamp gives light that this initiator absorbs.")
