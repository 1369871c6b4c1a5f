"""Alcohol vapour in a closed chamber, and how near it comes to burning."""

from dataclasses import dataclass
from typing import NamedTuple

MOLAR_VOLUME_L = 24.45  # [L/mol] ideal gas at 25 C and 1 atm, the NIOSH convention
ATMOSPHERE_MMHG = 760.0


@dataclass(frozen=True, slots=True)
class Solvent:
    """A wash solvent; hazard values from the NIOSH Pocket Guide to Chemical Hazards."""

    name: str
    molar_mass_g_mol: float
    density_g_cm3: float
    lower_explosive_percent: float
    vapour_pressure_mmhg: float  # at 68 F (20 C)

    @property
    def saturated_percent(self) -> float:
        """Vapour by volume over the liquid at 20 C."""
        return 100.0 * self.vapour_pressure_mmhg / ATMOSPHERE_MMHG


# The lower limits and vapour pressures are those of the Pocket Guide; densities at
# 20 C are handbook values.
ISOPROPANOL = Solvent("isopropanol", 60.10, 0.785, 2.0, 33.0)
ETHANOL = Solvent("ethanol", 46.07, 0.789, 3.3, 44.0)


class Vapour(NamedTuple):
    """Vapour of a wet part in a closed chamber, all of its film evaporated."""

    liquid_ml: float
    vapour_percent: float
    fraction_of_lower_explosive_limit: float
    liquid_at_limit_ml: float


def vapour(
    *, area_cm2: float, film_um: float, chamber_l: float, solvent: Solvent
) -> Vapour:
    """Return the vapour that a part's wet film makes in a closed chamber.

    Ideal gas at 25 C, evenly mixed, everything evaporated. Close to the wet part the
    vapour is richer than this mean, so that a small fraction is no licence.

    Parameters
    ----------
    area_cm2
        Wet surface of the part.
    film_um
        Thickness of the liquid on it.
    chamber_l
        Free volume of the closed chamber.
    solvent
        What the part was washed in.
    """
    liquid_ml = area_cm2 * film_um * 1e-4
    percent_per_ml = solvent.density_g_cm3 / solvent.molar_mass_g_mol
    percent_per_ml *= MOLAR_VOLUME_L / chamber_l * 100.0
    percent = liquid_ml * percent_per_ml
    return Vapour(
        liquid_ml=liquid_ml,
        vapour_percent=percent,
        fraction_of_lower_explosive_limit=percent / solvent.lower_explosive_percent,
        liquid_at_limit_ml=solvent.lower_explosive_percent / percent_per_ml,
    )
