"""How long a bubble takes to rise out of glycerine."""

from typing import NamedTuple

from benchassist.physics.constants import STANDARD_GRAVITY_M_S2

# [mm] below it waiting is not worth while: common practice, no source.
SMALLEST_WORTH_WAITING_MM = 0.3
# [-] Reynolds number up to which Stokes' law is within about 20 % (textbook).
STOKES_LIMIT = 1.0


class Rise(NamedTuple):
    """Speed and time of a rising bubble, and its Reynolds number."""

    speed_mm_s: float
    rise_s: float
    reynolds: float

    @property
    def stokes_holds(self) -> bool:
        """Whether the creeping-flow law is valid; beyond it the time is too short."""
        return self.reynolds <= STOKES_LIMIT


def rise(
    *, diameter_mm: float, depth_mm: float, viscosity_pa_s: float, density_kg_m3: float
) -> Rise:
    r"""Return the rise of one small bubble, :math:`v = \rho g d^2 / 18 \mu`.

    Stokes' law for a rigid sphere, as surfactants make a bubble behave; the gas is
    taken as weightless. A clean bubble is up to 1.5 times faster.

    Parameters
    ----------
    diameter_mm
        Diameter of the bubble.
    depth_mm
        Distance to the surface.
    viscosity_pa_s, density_kg_m3
        Of the glycerine at its temperature and water content.
    """
    diameter_m = diameter_mm * 1e-3
    speed_m_s = density_kg_m3 * STANDARD_GRAVITY_M_S2 * diameter_m**2
    speed_m_s /= 18.0 * viscosity_pa_s
    return Rise(
        speed_mm_s=speed_m_s * 1e3,
        rise_s=depth_mm / (speed_m_s * 1e3),
        reynolds=density_kg_m3 * speed_m_s * diameter_m / viscosity_pa_s,
    )
