r"""Oxygen between cells, radicals inside them: one implicit stage of the coat model.

The unknown is the oxygen activity u = C / C_air, equal on both sides of a contact in
equilibrium. In every cell the radicals are the root of a quadratic, so that a stage
is one tridiagonal Newton iteration for u alone. All rows (draws) are one
block-diagonal matrix to LAPACK.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

import numpy as np
from scipy.linalg.lapack import dgtsv

from benchassist.physics.coat_grid import BoolArray, IndexArray
from benchassist.physics.coat_resin import DiffusionLimits
from benchassist.physics.spectra import FloatArray

MOST_NEWTON = 20
NOTHING = np.zeros(())  # quicker than a float
TINY = 1e-30  # in place of 0 where 0/0 would follow; far below any effect

Top: TypeAlias = Literal["open", "closed", "swept"]


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
    the factor that full conversion puts on the diffusivity. The top face is
    ``open`` (held at u = 1), ``swept`` (held at 0) or ``closed``.

    .. math::
        F = \frac{u_1 - u_2}{\Delta z_1 / 2 D_1 S_1 + \Delta z_2 / 2 D_2 S_2}

    with S the concentration in equilibrium with air; this is the partition condition
    C1 / C2 = S1 / S2 at a contact.
    """

    widths_um: FloatArray
    diffusivity_um2_s: FloatArray
    saturation_mol_l: FloatArray
    top: Top
    cured_ratio: float = 1.0

    def take(self, rows: IndexArray) -> "Medium":
        """Return the same for some of the rows."""
        return Medium(
            self.widths_um,
            self.diffusivity_um2_s[rows],
            self.saturation_mol_l[rows],
            self.top,
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
        if self.top != "closed":
            entry = 1.0 / (resistance[:, 0] * capacity[:, 0])
            diagonal[:, 0] += entry
        if self.top == "open":
            supply[:, 0] = entry
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
    """

    kp_l_mol_s: FloatArray
    kt_l_mol_s: FloatArray
    scavenging_l_mol_s: FloatArray
    scavenging_per_s: FloatArray
    double_bonds_mol_l: float
    limits: DiffusionLimits | None
    quasi_steady: bool

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
        )

    def rates(self, exponent: FloatArray) -> Rates:
        """Return kp and kt at an exponent -ln(1 - X)."""
        if self.limits is None:
            return Rates(self.kp_l_mol_s, self.kt_l_mol_s)
        return Rates(
            *self.limits.rates(
                -np.expm1(-exponent),
                kp_l_mol_s=self.kp_l_mol_s,
                kt_l_mol_s=self.kt_l_mol_s,
                double_bonds_mol_l=self.double_bonds_mol_l,
            )
        )


Matrix: TypeAlias = tuple[FloatArray, FloatArray, FloatArray]


class Stage(NamedTuple):
    """One implicit stage, solved.

    Activity, radicals and the net sink in u, (rows, cells), the Newton matrix at the
    solution, and which rows converged.
    """

    activity: FloatArray
    radicals_mol_l: FloatArray
    sink: FloatArray
    matrix: Matrix
    converged: BoolArray


class Equations(NamedTuple):
    r"""The equations of one implicit stage of length tau, each part (rows, cells).

    Oxygen: :math:`(I - \tau T) u + \tau k_{O2} u R = known`, the matrix in brackets
    being ``lower``, ``diagonal``, ``upper`` and ``sink_rate`` tau kO2. Radicals:
    :math:`2 \tau k_t R^2 + (1 + \tau k_{O2} S u) R = g` with the root
    :math:`R = 2 g / (a + \sqrt{a^2 + 8 \tau k_t g})`, where ``hold`` is the 1,
    ``scavenging`` tau kO2 S, ``doubled`` 2 g and ``under_root`` 8 tau kt g. In the
    quasi-steady state ``hold`` is next to nothing and tau is left out.

    Where a step would make g negative it is 0. The oxygen that those radicals were
    said to have taken is ``returned``, in units of u and already in ``known``: the
    difference of oxygen and radicals, which scavenging does not change, is kept.
    """

    lower: FloatArray
    diagonal: FloatArray
    upper: FloatArray
    known: FloatArray
    sink_rate: FloatArray
    scavenging: FloatArray
    hold: FloatArray
    doubled: FloatArray
    under_root: FloatArray
    returned: FloatArray

    def solve(
        self, guess: FloatArray, *, tolerance: float, most: int = MOST_NEWTON
    ) -> Stage:
        """Solve all rows by Newton's method for u.

        A row is done when the sink that was solved for and the sink of its solution
        differ by less than the tolerance, as the root of the sum of squares. Oxygen
        is conserved whether they do or not.
        """
        rows, limit, activity = guess.shape[0], tolerance * tolerance, guess
        # Written into place: for many draws fresh arrays cost more than the sums.
        total, root, wet, gain, fall, slope, newton, sink, miss, radicals = np.zeros(
            (10, *guess.shape)
        )
        misses = np.full(rows, np.inf)
        for count in range(most + 1):
            np.maximum(activity, NOTHING, out=wet)
            np.multiply(self.scavenging, wet, out=wet)
            np.add(wet, self.hold, out=total)
            np.multiply(total, total, out=root)
            np.add(root, self.under_root, out=root)
            np.sqrt(root, out=root)
            np.add(total, root, out=total)
            np.divide(self.doubled, total, out=radicals)
            np.multiply(self.sink_rate, radicals, out=gain)
            np.divide(wet, root, out=wet)
            np.multiply(gain, wet, out=fall)
            np.subtract(gain, fall, out=slope)
            np.add(self.diagonal, slope, out=newton)
            if count:
                np.multiply(gain, activity, out=miss)
                np.subtract(miss, sink, out=miss)
                np.multiply(miss, miss, out=miss)
                misses = np.add.reduce(miss, axis=1)
                if count == most or np.maximum.reduce(misses) < limit:
                    break
                if rows > 1 and 2 * np.count_nonzero(misses >= limit) <= rows:
                    # Few rows are left: go on with these alone.
                    left = np.flatnonzero(misses >= limit)
                    rest = Equations(*(part[left] for part in self)).solve(
                        activity[left], tolerance=tolerance, most=most - count
                    )
                    activity[left], radicals[left] = rest.activity, rest.radicals_mol_l
                    sink[left] = rest.sink + self.returned[left]
                    newton[left] = rest.matrix[1]
                    misses[left] = np.where(rest.converged, 0.0, np.inf)
                    break
            np.multiply(fall, activity, out=sink)
            np.subtract(self.known, sink, out=miss)
            activity = tridiagonal((self.lower, newton, self.upper), miss)
            np.multiply(slope, activity, out=slope)
            np.add(sink, slope, out=sink)
        matrix = (self.lower, newton, self.upper)
        np.subtract(sink, self.returned, out=sink)
        return Stage(activity, radicals, sink, matrix, misses < limit)


def tridiagonal(matrix: Matrix, right: FloatArray) -> FloatArray:
    """Solve all rows at once; lower and upper carry a 0 where a row ends."""
    lower, diagonal, upper = matrix
    solution: FloatArray = dgtsv(
        lower.ravel()[1:], diagonal.ravel(), upper.ravel()[:-1], right.ravel()
    )[3]
    return solution.reshape(right.shape)


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """What the stages of one step share: tau (rows, 1), matrix, sinks."""

    tau_s: FloatArray
    kinetics: Kinetics
    matrix: Matrix
    supply: FloatArray
    sink_rate: FloatArray
    scavenging: FloatArray
    hold: FloatArray
    per_saturation: FloatArray

    @staticmethod
    def of(
        tau_s: FloatArray,
        conduction: Conduction,
        kinetics: Kinetics,
        *,
        hold: FloatArray,
        per_saturation: FloatArray,
    ) -> "Step":
        """Return the step whose stages have the length tau."""
        scavenging = kinetics.scavenging_per_s
        return Step(
            tau_s,
            kinetics,
            (
                -tau_s * conduction.lower,
                1.0 + tau_s * conduction.diagonal,
                -tau_s * conduction.upper,
            ),
            supply=tau_s * conduction.supply,
            sink_rate=tau_s * kinetics.scavenging_l_mol_s,
            scavenging=scavenging if kinetics.quasi_steady else tau_s * scavenging,
            hold=hold,
            per_saturation=per_saturation,
        )

    def stage(
        self,
        known: FloatArray,
        *,
        carried: FloatArray,
        initiation: FloatArray,
        kt_l_mol_s: FloatArray,
    ) -> Equations:
        """Return the equations of a stage.

        Parameters
        ----------
        known
            Right-hand side of the oxygen equation without supply.
        carried
            Radicals the stage starts from; not used in the quasi-steady state.
        initiation
            Rate of initiation in mol/L/s.
        kt_l_mol_s
            Termination.
        """
        if self.kinetics.quasi_steady:
            made, span = initiation, np.ones_like(self.tau_s)
            returned = np.zeros_like(made)
        else:
            total = carried + self.tau_s * initiation
            made, span = np.maximum(total, NOTHING), self.tau_s
            returned = (made - total) * self.per_saturation
        return Equations(
            *self.matrix,
            known + self.supply + returned,
            self.sink_rate,
            self.scavenging,
            self.hold,
            doubled=made + made,
            under_root=(8.0 * span) * kt_l_mol_s * made,
            returned=returned,
        )
