"""Closed forms of radical polymerisation, the limits of the coat model.

Convention: two radicals per cleavage and termination written 2 kt R^2. Papers that
write kt R^2 give twice this kt.
"""

from math import exp, log, log1p, sqrt

import numpy as np

from benchassist.physics.spectra import FloatArray

GAS_CONSTANT_J_MOL_K = 8.314462618  # exact SI, rounded
ZERO_CELSIUS_K = 273.15


def inhibition_s(*, oxygen_mol_l: float, initiation_mol_l_s: float) -> float:
    r"""Return how long dissolved oxygen holds up the start, :math:`C_0 / R_i`, in s.

    One oxygen molecule per radical, no oxygen from outside; textbook.
    """
    return oxygen_mol_l / initiation_mol_l_s


def steady_radicals_mol_l(*, initiation_mol_l_s: float, kt_l_mol_s: float) -> float:
    r"""Return the radicals without oxygen, :math:`\sqrt{R_i / 2 k_t}`; textbook."""
    return sqrt(initiation_mol_l_s / (2.0 * kt_l_mol_s))


def propagation_mol_l_s(
    *,
    initiation_mol_l_s: float,
    double_bonds_mol_l: float,
    kp_l_mol_s: float,
    kt_l_mol_s: float,
) -> float:
    r"""Return the rate without oxygen, :math:`R_p = k_p M \sqrt{R_i / 2 k_t}`."""
    return (
        kp_l_mol_s
        * double_bonds_mol_l
        * steady_radicals_mol_l(
            initiation_mol_l_s=initiation_mol_l_s, kt_l_mol_s=kt_l_mol_s
        )
    )


def conversion(
    *, initiation_mol_l_s: float, seconds: float, kp_l_mol_s: float, kt_l_mol_s: float
) -> float:
    r"""Return the conversion without oxygen in steady light, not bleached.

    .. math:: X = 1 - e^{-k_p t \sqrt{R_i / 2 k_t}}

    So :math:`-\ln(1 - X)` grows with the root of the irradiance: equal doses do not
    cure equally.
    """
    radicals = steady_radicals_mol_l(
        initiation_mol_l_s=initiation_mol_l_s, kt_l_mol_s=kt_l_mol_s
    )
    return 1.0 - exp(-kp_l_mol_s * radicals * seconds)


def dark_conversion(
    *,
    conversion_at_dark: float,
    radicals_mol_l: float,
    seconds: float,
    kp_l_mol_s: float,
    kt_l_mol_s: float,
) -> float:
    r"""Return the conversion some time after the light went off, without oxygen.

    .. math:: -\ln(1 - X) \text{ grows by } \frac{k_p}{2 k_t} \ln(1 + 2 k_t R_0 t)
    """
    growth = log1p(2.0 * kt_l_mol_s * radicals_mol_l * seconds)
    growth *= kp_l_mol_s / (2.0 * kt_l_mol_s)
    return 1.0 - exp(log(1.0 - conversion_at_dark) - growth)


def arrhenius(*, factor: float, energy_j_mol: float, celsius: float) -> float:
    r"""Return a rate constant, :math:`A e^{-E / R T}`, in the unit of its factor.

    The coat model is isothermal: take its constants at the temperature of the part.
    """
    kelvin = celsius + ZERO_CELSIUS_K
    return factor * exp(-energy_j_mol / (GAS_CONSTANT_J_MOL_K * kelvin))


def flash_share(
    *, initiation_mol_l_s: FloatArray, kt_l_mol_s: FloatArray, rate_hz: float
) -> FloatArray:
    r"""Return the mean radicals under flashes over those of steady light of that mean.

    Without oxygen: each flash adds :math:`R_i / f`, between flashes radicals decay as
    :math:`1 / (1 + 2 k_t R t)`. With :math:`g = 2 k_t R_i / f^2` the radicals right
    after a flash are :math:`x f / 2 k_t`, :math:`x^2 / (1 + x) = g`, and the share is

    .. math:: \ln(1 + x) / \sqrt{g}

    which goes to 1 for many flashes within a radical's life. Element by element.
    """
    g = np.maximum(2.0 * kt_l_mol_s * initiation_mol_l_s / rate_hz**2, 1e-12)
    x = 0.5 * (g + np.sqrt(g * (g + 4.0)))
    share: FloatArray = np.log1p(x) / np.sqrt(g)
    return np.minimum(share, 1.0)
