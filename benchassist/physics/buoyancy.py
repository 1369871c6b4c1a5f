"""Will the part float in glycerine, and what holds it down."""

from math import pi
from typing import NamedTuple

STEEL_DENSITY_G_CM3 = 7.9  # [g/cm3] stainless steel, handbook value
SAFETY_FACTOR = 2.0  # [-] common practice, no source


class Buoyancy(NamedTuple):
    """Net upward force, the steel that holds it, and the air that would lift it.

    Forces in grams-force. ``air_to_float_cm3`` is the trapped air at which the part
    begins to float, 0 for a part that floats without any.
    """

    net_gf: float
    hold_down_g: float
    air_to_float_cm3: float

    @property
    def floats(self) -> bool:
        """Whether the part rises by itself."""
        return self.net_gf > 0.0

    @property
    def bubble_to_float_mm(self) -> float:
        """Diameter of one bubble of the air that would lift the part, in mm."""
        return float((6.0 * self.air_to_float_cm3 / pi) ** (1.0 / 3.0) * 10.0)


def buoyancy(
    *,
    volume_cm3: float,
    density_g_cm3: float,
    liquid_g_cm3: float,
    trapped_air_cm3: float = 0.0,
) -> Buoyancy:
    r"""Return the net force on a submerged part.

    .. math:: F = \rho_l (V + V_{air}) - \rho V, \quad
              m = 2 F / (1 - \rho_l / \rho_{steel})

    Archimedes; the factor 2 is common practice, no source.

    Parameters
    ----------
    volume_cm3
        Volume of the part's material.
    density_g_cm3
        Its density.
    liquid_g_cm3
        Density of the glycerine.
    trapped_air_cm3
        Air caught in a hollow, such as the intaglio of an inverted crown.
    """
    net_gf = liquid_g_cm3 * (volume_cm3 + trapped_air_cm3) - density_g_cm3 * volume_cm3
    steel = 1.0 - liquid_g_cm3 / STEEL_DENSITY_G_CM3
    return Buoyancy(
        net_gf=net_gf,
        hold_down_g=max(0.0, SAFETY_FACTOR * net_gf / steel),
        air_to_float_cm3=max(0.0, volume_cm3 * (density_g_cm3 / liquid_g_cm3 - 1.0)),
    )
