r"""Oxygen between cells, radicals inside them: one implicit stage of the coat model.

The unknown is the oxygen activity u = C / C_air, equal on both sides of a contact in
equilibrium. In every cell the radicals are the root of a quadratic, so that a stage
is one tridiagonal Newton iteration for u alone. All rows (draws) are one
block-diagonal matrix to LAPACK.
"""

from typing import NamedTuple, TypeAlias

import numpy as np
from scipy.linalg.lapack import dgtsv

from benchassist.physics.coat_column import Conduction, Kinetics
from benchassist.physics.coat_grid import BoolArray
from benchassist.physics.spectra import FloatArray

MOST_NEWTON = 20
NOTHING = np.zeros(())  # quicker than a float
TINY = 1e-30  # in place of 0 where 0/0 would follow; far below any effect


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
        most_gain = self.sink_rate * self.doubled
        # Written into place: for many draws fresh arrays cost more than the sums.
        total, root, wet, gain, fall, slope, newton, sink, miss = np.empty(
            (9, *guess.shape)
        )
        radicals = np.empty(guess.shape)
        converged = np.zeros(rows, dtype=np.bool_)
        below, above = self.lower.ravel()[1:], self.upper.ravel()[:-1]
        for count in range(most + 1):
            np.maximum(activity, NOTHING, out=wet)
            np.multiply(self.scavenging, wet, out=wet)
            np.add(wet, self.hold, out=total)
            np.multiply(total, total, out=root)
            np.add(root, self.under_root, out=root)
            np.sqrt(root, out=root)
            np.add(total, root, out=total)
            np.divide(most_gain, total, out=gain)
            np.divide(wet, root, out=wet)
            np.multiply(gain, wet, out=fall)
            np.subtract(gain, fall, out=slope)
            np.add(self.diagonal, slope, out=newton)
            if count:
                np.multiply(gain, activity, out=miss)
                np.subtract(miss, sink, out=miss)
                if rows == 1:  # a dot is quicker, and a single coat follows a slider
                    done = int(np.vdot(miss, miss) < limit)
                    converged[0] = done
                else:
                    converged = np.einsum("ij,ij->i", miss, miss) < limit
                    done = int(np.count_nonzero(converged))
                if count == most or 2 * done >= rows:
                    np.divide(self.doubled, total, out=radicals)
                if count == most or done == rows:
                    break
                if 2 * done >= rows:
                    # Few rows are left: go on with these alone.
                    left = np.flatnonzero(~converged)
                    rest = Equations(*(part[left] for part in self)).solve(
                        activity[left], tolerance=tolerance, most=most - count
                    )
                    activity[left], radicals[left] = rest.activity, rest.radicals_mol_l
                    sink[left] = rest.sink + self.returned[left]
                    newton[left] = rest.matrix[1]
                    converged[left] = rest.converged
                    break
            np.multiply(fall, activity, out=sink)
            np.subtract(self.known, sink, out=miss)
            activity = dgtsv(below, newton.ravel(), above, miss.ravel())[3]
            activity = activity.reshape(guess.shape)
            np.multiply(slope, activity, out=slope)
            np.add(sink, slope, out=sink)
        matrix = (self.lower, newton, self.upper)
        np.subtract(sink, self.returned, out=sink)
        return Stage(activity, radicals, sink, matrix, converged)


def tridiagonal(matrix: Matrix, right: FloatArray) -> FloatArray:
    """Solve all rows at once; lower and upper carry a 0 where a row ends."""
    lower, diagonal, upper = matrix
    solution: FloatArray = dgtsv(
        lower.ravel()[1:], diagonal.ravel(), upper.ravel()[:-1], right.ravel()
    )[3]
    return solution.reshape(right.shape)


class Step(NamedTuple):
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
