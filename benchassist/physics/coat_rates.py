"""Rate constants as named sets: what was measured on which resin, in which state.

Convention: two radicals per cleavage and termination written 2 kt R^2. Papers that
write kt R^2 give twice this kt, and twice this ``reaction_diffusion``.
"""

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np

from benchassist.physics.coat_grid import IndexArray
from benchassist.physics.spectra import FloatArray
from benchassist.physics.tables import Table, TableError


@dataclass(frozen=True, slots=True)
class DiffusionLimits:
    r"""Free-volume limits on propagation and termination.

    .. math::
        f = 0.025 + \alpha_M \varphi_M (T - T_{gM}) + \alpha_P \varphi_P (T - T_{gP})

        k_p = k_{p0} / (1 + e^{A_p (1/f - 1/f_{cp})})

        k_t = k_{t0} / \left(1 + \left[R_{rd} k_p M / k_{t0}
              + e^{-A_t (1/f - 1/f_{ct})}\right]^{-1}\right)

    Goodner and Bowman 2002, Chem Eng Sci 57:887, eqs 17, 18 and 24, second-hand for
    the form; the default values are from memory.
    """

    kelvin: float = 298.15
    expansion_monomer_per_k: float = 5.0e-4
    expansion_polymer_per_k: float = 7.5e-5
    glass_monomer_k: float = 213.0
    glass_polymer_k: float = 328.0
    propagation_sharpness: float = 0.66
    propagation_critical: float = 0.042
    termination_sharpness: float = 1.2
    termination_critical: float = 0.060
    reaction_diffusion: float = 4.0
    monomer_g_cm3: float = 1.10
    polymer_g_cm3: float = 1.20

    def rates(
        self,
        conversion: FloatArray,
        *,
        kp_l_mol_s: FloatArray,
        kt_l_mol_s: FloatArray,
        double_bonds_mol_l: float,
    ) -> tuple[FloatArray, FloatArray]:
        """Return kp and kt in L/mol/s at a conversion, element by element.

        What depends on the conversion alone comes from a table, within 1e-3.
        """
        slowing, mobility = _limit_tables(self)
        place = np.clip(conversion, 0.0, 1.0) * TABLE_STEPS
        index = np.minimum(place.astype(np.intp), TABLE_STEPS - 1)
        share = place - index
        kp = kp_l_mol_s * _between(slowing, index, share)
        moving = _between(mobility, index, share)
        meeting = self.reaction_diffusion * double_bonds_mol_l
        moving += meeting * kp * (1.0 - conversion) / kt_l_mol_s
        return kp, kt_l_mol_s * moving / (1.0 + moving)

    def shares(self, conversion: FloatArray) -> tuple[FloatArray, FloatArray]:
        r"""Return :math:`k_p / k_{p0}` and the exponential in :math:`k_t`."""
        monomer = (1.0 - conversion) / self.monomer_g_cm3
        share = monomer / (monomer + conversion / self.polymer_g_cm3)
        free = (
            0.025
            + self.expansion_monomer_per_k
            * (self.kelvin - self.glass_monomer_k)
            * share
            + self.expansion_polymer_per_k
            * (self.kelvin - self.glass_polymer_k)
            * (1.0 - share)
        )
        # A cold, glassy resin may have a sum below zero: no free volume is left.
        inverse = 1.0 / np.maximum(free, 1e-3)
        slow = np.minimum(
            self.propagation_sharpness * (inverse - 1.0 / self.propagation_critical),
            EXPONENT_LIMIT,
        )
        fall = np.clip(
            self.termination_sharpness * (1.0 / self.termination_critical - inverse),
            -EXPONENT_LIMIT,
            EXPONENT_LIMIT,
        )
        return 1.0 / (1.0 + np.exp(slow)), np.exp(fall)


TABLE_STEPS = 4096


@lru_cache(maxsize=16)
def _limit_tables(limits: DiffusionLimits) -> tuple[FloatArray, FloatArray]:
    return limits.shares(np.linspace(0.0, 1.0, TABLE_STEPS + 1))


def _between(table: FloatArray, index: IndexArray, share: FloatArray) -> FloatArray:
    low = table[index]
    between: FloatArray = low + share * (table[index + 1] - low)
    return between


EXPONENT_LIMIT = 300.0  # keeps exp() finite; e300 is past every effect


@dataclass(frozen=True, slots=True)
class RateSet:
    """Propagation and termination of one resin, in L/mol/s.

    Attributes
    ----------
    name, source, condition
        What it is called, where it comes from, and of which resin and temperature.
    kp_l_mol_s, kt_l_mol_s
        Without limits as they stay, with limits as they begin.
    limits
        How the network slows them; None leaves them constant.
    """

    kp_l_mol_s: float
    kt_l_mol_s: float
    limits: DiffusionLimits | None = None
    name: str = "own"
    source: str = ""
    condition: str = ""


def rate_sets(table: Table) -> dict[str, RateSet]:
    """Return the sets of a long table ``set,quantity,value``.

    Raises
    ------
    TableError
        If a set lacks a rate, its source or its condition, or names an unknown one.
    """
    sets = {}
    limits = {field.name for field in fields(DiffusionLimits)}
    for name in table.keys():  # noqa: SIM118 - a table is not a mapping
        rows = {quantity: value for key, quantity, value in table.rows if key == name}
        try:
            kp, kt = float(rows.pop("kp_l_mol_s")), float(rows.pop("kt_l_mol_s"))
            source, condition = rows.pop("source"), rows.pop("condition")
            numbers = {quantity: float(value) for quantity, value in rows.items()}
        except (KeyError, ValueError) as error:
            message = f"Rate set {name}: {error} is missing or not a number."
            raise TableError(message) from None
        if unknown := numbers.keys() - limits:
            message = f"Rate set {name}: no such quantity: {', '.join(unknown)}."
            raise TableError(message)
        found = DiffusionLimits(**numbers) if numbers else None
        sets[name] = RateSet(kp, kt, found, name, source, condition)
    return sets
