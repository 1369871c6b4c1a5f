"""What a coat and the film over it are made of, with the default of every number.

Units: mol/L, L/mol/s, L/mol/cm (decadic), 1/cm (decadic), m2/s, um. Curves over the
wavelength stand on one grid in nm, the same for resin and lights.
"""

from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

from benchassist.physics.coat_rates import RateSet
from benchassist.physics.spectra import FloatArray

INITIATOR_MOL_L = 0.030  # about 1 wt% of an acylphosphine oxide; common practice
# Radical formation of an acylphosphine oxide 0.5-0.7: Sumiyoshi et al. 1985, "On the
# photolysis of acylphosphine oxides 1" (abstract).
QUANTUM_YIELD = 0.6
INITIATION_EFFICIENCY = 0.6  # from memory
# Usual for carbon radicals, from memory. A phosphinoyl radical: 5.3e8, Zhao et al.
# 1999, J Phys Chem A 103:7757 (abstract).
SCAVENGING_L_MOL_S = 5.0e8
DOUBLE_BONDS_MOL_L = 6.0  # assumed for a dimethacrylate
# Order of magnitude, from memory. 1e-11 fitted by Montgomery et al. 2022, Extreme
# Mech Lett (second-hand); 7e-12 to 7e-10 by Wilke-Chang for 1 to 0.008 Pa s.
OXYGEN_DIFFUSIVITY_M2_S = 1.0e-10
OXYGEN_SATURATION_MOL_L = 1.05e-3  # from memory; 1e-3: Slutzky et al. 2019, Table 2
# Glycerine: no measured value found. Between the Stokes estimate 2e-12 and 2e-11 by
# the -2/3 power of Hiss and Cussler 1973, AIChE J 19:698, both from water.
FILM_DIFFUSIVITY_M2_S = 1.0e-11
FILM_SATURATION_MOL_L = 7.0e-5  # about a quarter of water; from memory
FILM_THICKNESS_UM = 5000.0  # assumed

CLEAVE_TWICE = frozenset({"bapo"})  # shipped initiators with a second acyl group
ONE_CLEAVAGE = (
    "A bis-acyl initiator counts as cleaving once: the longest tack may be longer "
    "than this, by 2.3 to 11 times."
)

Radicals: TypeAlias = Literal["full", "quasi-steady"]


class CoatError(ValueError):
    """A coat that cannot be computed; the message is one sentence for people."""


MOST_EFFORT = 6e7  # [us] of a processor of 2020; a coat takes some 1e5
STEP_US, CELL_STEP_US = 400.0, 1.0  # of a step in time, alone and for each cell
BLEACH_US, BAND_CELL_US = 200.0, 0.4  # of a step in the light, and cell x wavelengths


@dataclass(slots=True)
class Effort:
    """What a computation may still cost, so that every question ends."""

    left_us: float = field(default_factory=lambda: MOST_EFFORT)

    def spend(self, us: float) -> None:
        """Take away what a step costs.

        Raises
        ------
        CoatError
            If nothing is left.
        """
        self.left_us -= us
        if self.left_us < 0.0:
            raise CoatError(
                "The coat would take too long to compute with these values: fewer "
                "draws, thinner coats or less time; or check rate constants, light "
                "and absorption for slips in their units."
            )


@dataclass(frozen=True, slots=True, eq=False)
class Cleavage:
    """What an initiator is after its first cleavage, and how it cleaves again.

    ``absorptivity_l_mol_cm`` is decadic, on the wavelength grid.
    """

    absorptivity_l_mol_cm: FloatArray
    quantum_yield: float


@dataclass(frozen=True, slots=True, eq=False)
class Initiator:
    """One initiator, bleached by the light it absorbs.

    Attributes
    ----------
    absorptivity_l_mol_cm, low_l_mol_cm, high_l_mol_cm
        Decadic, on the wavelength grid: the curve and the ends of what it may be.
    product_l_mol_cm
        The same of what the initiator turns into; zero where it bleaches to nothing.
    mol_l
        Concentration in the fresh resin.
    quantum_yield
        Molecules consumed per absorbed photon.
    efficiency
        Share of the two radicals of a cleavage that start a chain.
    second
        The second cleavage of a bis-acyl initiator; None counts the first alone.
    """

    absorptivity_l_mol_cm: FloatArray
    low_l_mol_cm: FloatArray
    high_l_mol_cm: FloatArray
    product_l_mol_cm: FloatArray
    mol_l: float = INITIATOR_MOL_L
    quantum_yield: float = QUANTUM_YIELD
    efficiency: float = INITIATION_EFFICIENCY
    second: Cleavage | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Resin:
    """A light-curing resin as the coat model needs it.

    ``static_per_cm`` is what else absorbs (pigment, monomer), decadic per cm on the
    wavelength grid. ``cured_diffusivity_ratio`` scales the oxygen diffusivity as
    ratio ** conversion (an assumption; 1 leaves it constant). ``rates`` are the rate
    constants in use, ``others`` sets that may be as true: draws take each in turn.
    """

    initiators: tuple[Initiator, ...]
    static_per_cm: FloatArray
    rates: RateSet
    others: tuple[RateSet, ...] = ()
    ko2_l_mol_s: float = SCAVENGING_L_MOL_S
    double_bonds_mol_l: float = DOUBLE_BONDS_MOL_L
    oxygen_diffusivity_m2_s: float = OXYGEN_DIFFUSIVITY_M2_S
    oxygen_saturation_mol_l: float = OXYGEN_SATURATION_MOL_L
    cured_diffusivity_ratio: float = 1.0

    @property
    def stages(self) -> int:
        """Return 2 where any initiator cleaves twice, else 1."""
        return 2 if any(each.second for each in self.initiators) else 1

    def with_rates(self, index: int) -> "Resin":
        """Return the resin by one set alone: 0 the set in use, then the others."""
        return replace(self, rates=(self.rates, *self.others)[index], others=())


@dataclass(frozen=True, slots=True)
class Film:
    """A liquid over the coat, saturated with air when it is poured.

    ``sealed`` closes its top to oxygen; otherwise air stands over it.
    """

    thickness_um: float = FILM_THICKNESS_UM
    oxygen_diffusivity_m2_s: float = FILM_DIFFUSIVITY_M2_S
    oxygen_saturation_mol_l: float = FILM_SATURATION_MOL_L
    sealed: bool = False
