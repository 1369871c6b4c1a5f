"""Radicals under flashes.

Convention: two radicals per cleavage and termination written 2 kt R^2. Papers that
write kt R^2 give twice this kt.
"""

import numpy as np

from benchassist.physics.spectra import FloatArray


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
