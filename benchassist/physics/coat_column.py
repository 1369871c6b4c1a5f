"""What stands still through one segment of time: cells, media, rate constants.

Arrays run over draws (rows) and cells, top first; u = C / C_air is the oxygen
activity, equal on both sides of a contact in equilibrium.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from benchassist.physics.coat_grid import BoolArray, IndexArray
from benchassist.physics.coat_light import Initiation
from benchassist.physics.coat_rates import DiffusionLimits
from benchassist.physics.kinetics import flash_share
from benchassist.physics.spectra import FloatArray


class Conduction(NamedTuple):
    """What moves oxygen between cells, as rates in 1/s, each (rows, cells).

    du/dt = lower u(above) - diagonal u + upper u(below) + supply; ``entry`` is the
    part of the first diagonal that is the top face's, (rows,).
    """

    lower: FloatArray
    diagonal: FloatArray
    upper: FloatArray
    supply: FloatArray
    entry: FloatArray

    def take(self, rows: IndexArray) -> "Conduction":
        """Return the same for some of the rows."""
        return Conduction(*(part[rows] for part in self))

    def flow(self, activity: FloatArray) -> FloatArray:
        """Return du/dt by diffusion alone, in 1/s."""
        change = self.supply - self.diagonal * activity
        change[:, 1:] += self.lower[:, 1:] * activity[:, :-1]
        change[:, :-1] += self.upper[:, :-1] * activity[:, 1:]
        return change


@dataclass(frozen=True, slots=True, eq=False)
class Medium:
    r"""A column of cells, top first, with no flow through its bottom.

    ``diffusivity_um2_s`` and ``saturation_mol_l`` are (rows, cells), ``cured_ratio``
    the factor that full conversion puts on the diffusivity. ``outside`` is the u at
    which the top face is held: 1 in air, less in nitrogen; None lets nothing through.

    .. math::
        F = \frac{u_1 - u_2}{\Delta z_1 / 2 D_1 S_1 + \Delta z_2 / 2 D_2 S_2}

    with S the concentration in equilibrium with air; this is the partition condition
    C1 / C2 = S1 / S2 at a contact.
    """

    widths_um: FloatArray
    diffusivity_um2_s: FloatArray
    saturation_mol_l: FloatArray
    outside: float | None
    cured_ratio: float = 1.0

    def take(self, rows: IndexArray) -> "Medium":
        """Return the same for some of the rows."""
        return Medium(
            self.widths_um,
            self.diffusivity_um2_s[rows],
            self.saturation_mol_l[rows],
            self.outside,
            self.cured_ratio,
        )

    def conduction(self, exponent: FloatArray) -> Conduction:
        """Return the rates of exchange at an exponent -ln(1 - X), (rows, cells)."""
        diffusivity = self.diffusivity_um2_s
        if self.cured_ratio != 1.0:
            diffusivity = diffusivity * self.cured_ratio ** -np.expm1(-exponent)
        resistance = self.widths_um / (2.0 * diffusivity * self.saturation_mol_l)
        capacity = self.widths_um * self.saturation_mol_l
        between = 1.0 / (resistance[:, :-1] + resistance[:, 1:])
        lower, upper = np.zeros_like(capacity), np.zeros_like(capacity)
        lower[:, 1:] = between / capacity[:, 1:]
        upper[:, :-1] = between / capacity[:, :-1]
        diagonal = lower + upper
        entry = np.zeros(capacity.shape[0])
        supply = np.zeros_like(capacity)
        if self.outside is not None:
            entry = 1.0 / (resistance[:, 0] * capacity[:, 0])
            diagonal[:, 0] += entry
            supply[:, 0] = entry * self.outside
        return Conduction(lower, diagonal, upper, supply, entry)


class Rates(NamedTuple):
    """Propagation and termination in L/mol/s, (rows, cells)."""

    kp: FloatArray
    kt: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Kinetics:
    """Rate constants of a column, (rows, cells).

    ``scavenging_l_mol_s`` is kO2 and ``scavenging_per_s`` kO2 times the saturation,
    both 0 in a film. Radicals follow their full balance or the quasi-steady state.
    ``flash_hz`` is how often the light flashes; None where it is steady. ``lasting``,
    (rows, 1), is a factor on what termination comes to; None for 1.
    """

    kp_l_mol_s: FloatArray
    kt_l_mol_s: FloatArray
    scavenging_l_mol_s: FloatArray
    scavenging_per_s: FloatArray
    double_bonds_mol_l: float
    limits: DiffusionLimits | None
    quasi_steady: bool
    flash_hz: float | None = None
    lasting: FloatArray | None = None

    def take(self, rows: IndexArray) -> "Kinetics":
        """Return the same for some of the rows."""
        return Kinetics(
            self.kp_l_mol_s[rows],
            self.kt_l_mol_s[rows],
            self.scavenging_l_mol_s[rows],
            self.scavenging_per_s[rows],
            self.double_bonds_mol_l,
            self.limits,
            self.quasi_steady,
            self.flash_hz,
            None if self.lasting is None else self.lasting[rows],
        )

    def flashed(self, rates: Rates, initiation_mol_l_s: FloatArray) -> Rates:
        """Return rates that act on steady radicals as theirs do on flashed ones."""
        if self.flash_hz is None:
            return rates
        share = flash_share(
            initiation_mol_l_s=initiation_mol_l_s,
            kt_l_mol_s=rates.kt,
            rate_hz=self.flash_hz,
        )
        return Rates(rates.kp * share, rates.kt)

    def rates(self, exponent: FloatArray) -> Rates:
        """Return kp and kt at an exponent -ln(1 - X)."""
        kp, kt = self.kp_l_mol_s, self.kt_l_mol_s
        if self.limits is not None:
            kp, kt = self.limits.rates(
                -np.expm1(-exponent),
                kp_l_mol_s=kp,
                kt_l_mol_s=kt,
                double_bonds_mol_l=self.double_bonds_mol_l,
            )
        return Rates(kp, kt if self.lasting is None else kt * self.lasting)


@dataclass(slots=True, eq=False)
class State:
    """What a column holds, each (rows, cells).

    ``exponent`` is -ln(1 - X); radicals and exponent are 0 in a film.
    """

    activity: FloatArray
    radicals_mol_l: FloatArray
    exponent: FloatArray

    def take(self, rows: IndexArray | BoolArray) -> "State":
        """Return a copy of some of the rows."""
        return State(
            self.activity[rows], self.radicals_mol_l[rows], self.exponent[rows]
        )

    def put(self, rows: IndexArray | BoolArray, other: "State") -> None:
        """Overwrite some of the rows."""
        self.activity[rows] = other.activity
        self.radicals_mol_l[rows] = other.radicals_mol_l
        self.exponent[rows] = other.exponent


@dataclass(frozen=True, slots=True, eq=False)
class Segment:
    """One stretch of time for all rows; ``light`` is None in the dark."""

    duration_s: FloatArray
    medium: Medium
    kinetics: Kinetics
    light: Initiation | None

    def take(self, rows: IndexArray) -> "Segment":
        """Return the same for some of the rows."""
        return Segment(
            self.duration_s[rows],
            self.medium.take(rows),
            self.kinetics.take(rows),
            None if self.light is None else self.light.take(rows),
        )
