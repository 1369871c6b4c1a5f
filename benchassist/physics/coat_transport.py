r"""Oxygen, radicals and conversion in a column of cells, through one segment of time.

The unknown is the oxygen activity u = C / C_air, equal on both sides of a contact in
equilibrium. In every cell the radicals are the root of a quadratic, so that each
implicit stage is one tridiagonal Newton iteration for u alone. Time runs by the
L-stable two-stage SDIRK method of Alexander 1977, SIAM J Numer Anal 14:1006, with a
step of its own for each row. All rows are one block-diagonal matrix to LAPACK.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

import numpy as np
from scipy.linalg.lapack import dgtsv

from benchassist.physics.coat_light import Initiation
from benchassist.physics.spectra import FloatArray

GAMMA = 1.0 - np.sqrt(0.5)
# Weights of old slope, first and second stage: third-order quadrature minus SDIRK.
_FIRST = 1.0 / (6.0 * GAMMA * (1.0 - GAMMA))
_SECOND = 0.5 - GAMMA * _FIRST
ERROR_WEIGHTS = (
    1.0 - _FIRST - _SECOND,
    _FIRST - (1.0 - GAMMA),
    _SECOND - GAMMA,
)
EXTRAPOLATION = (1.0 - GAMMA) / GAMMA
MOST_NEWTON = 12
MOST_STEPS = 20000

Top: TypeAlias = Literal["open", "closed", "swept"]


class CoatError(ValueError):
    """A coat that cannot be computed; the message is one sentence for people."""


class Rates(NamedTuple):
    """Propagation and termination in L/mol/s, (rows, cells)."""

    kp: FloatArray
    kt: FloatArray


class Tolerance(NamedTuple):
    """Error allowed in one step, in activity and conversion, and in the iteration."""

    activity: float
    conversion: float
    iteration: float


@dataclass(slots=True, eq=False)
class Conduction:
    """What moves oxygen between cells, as rates in 1/s, each (rows, cells).

    du/dt = lower u(above) - diagonal u + upper u(below) + supply.
    """

    lower: FloatArray
    diagonal: FloatArray
    upper: FloatArray
    supply: FloatArray

    def take(self, rows: FloatArray) -> "Conduction":
        """Return the same for some of the rows."""
        return Conduction(
            self.lower[rows],
            self.diagonal[rows],
            self.upper[rows],
            self.supply[rows],
        )

    def flow(self, activity: FloatArray) -> FloatArray:
        """Return du/dt by diffusion alone, in 1/s."""
        change = self.supply - self.diagonal * activity
        change[:, 1:] += self.lower[:, 1:] * activity[:, :-1]
        change[:, :-1] += self.upper[:, :-1] * activity[:, 1:]
        return change


def conduct(
    widths_um: FloatArray,
    *,
    diffusivity_um2_s: FloatArray,
    saturation_mol_l: FloatArray,
    top: Top,
) -> Conduction:
    r"""Return the conduction of a column with no flow through its bottom.

    .. math::
        F = \frac{u_1 - u_2}{\Delta z_1 / 2 D_1 S_1 + \Delta z_2 / 2 D_2 S_2}

    with S the concentration in equilibrium with air; this is the partition condition
    C1 / C2 = S1 / S2 at a contact. ``open`` holds the top face at u = 1, ``swept`` at
    0, ``closed`` lets nothing through.
    """
    resistance = widths_um / (2.0 * diffusivity_um2_s * saturation_mol_l)
    capacity = widths_um * saturation_mol_l
    between = 1.0 / (resistance[:, :-1] + resistance[:, 1:])
    lower, upper = np.zeros_like(capacity), np.zeros_like(capacity)
    lower[:, 1:] = between / capacity[:, 1:]
    upper[:, :-1] = between / capacity[:, :-1]
    diagonal = lower + upper
    supply = np.zeros_like(capacity)
    if top != "closed":
        entry = 1.0 / (resistance[:, 0] * capacity[:, 0])
        diagonal[:, 0] += entry
        if top == "open":
            supply[:, 0] = entry
    return Conduction(lower, diagonal, upper, supply)


@dataclass(slots=True, eq=False)
class State:
    """What a column holds, each (rows, cells): activity, radicals, exponent.

    ``exponent`` is -ln(1 - X). Radicals and exponent are 0 in the film.
    """

    activity: FloatArray
    radicals_mol_l: FloatArray
    exponent: FloatArray

    def take(self, rows: FloatArray) -> "State":
        """Return the same for some of the rows."""
        return State(
            self.activity[rows], self.radicals_mol_l[rows], self.exponent[rows]
        )

    def put(self, rows: FloatArray, other: "State") -> None:
        """Overwrite some of the rows."""
        self.activity[rows] = other.activity
        self.radicals_mol_l[rows] = other.radicals_mol_l
        self.exponent[rows] = other.exponent


@dataclass(slots=True, eq=False)
class Segment:
    """One stretch of time under the same light and the same top, for all rows.

    ``scavenging_per_s`` is kO2 times the saturation, 0 in the film, and
    ``scavenging_l_mol_s`` kO2 itself, both (rows, cells). ``rates`` gives kp and kt
    at an exponent; ``light`` is None in the dark.
    """

    duration_s: FloatArray
    conduction: Conduction
    scavenging_per_s: FloatArray
    scavenging_l_mol_s: FloatArray
    rates: Callable[[FloatArray, FloatArray], Rates]
    light: Initiation | None
    film_cells: int
    quasi_steady: bool


class Stage(NamedTuple):
    """One implicit stage: its solution, the sink in it, and its matrix."""

    activity: FloatArray
    radicals: FloatArray
    sink: FloatArray
    matrix: tuple[FloatArray, FloatArray, FloatArray]
    converged: bool


def solve_stage(
    known: FloatArray,
    generated: FloatArray,
    guess: FloatArray,
    matrix: tuple[FloatArray, FloatArray, FloatArray],
    *,
    scavenging: FloatArray,
    sink_rate: FloatArray,
    eightfold_kt: FloatArray,
    rest: FloatArray,
    tolerance: float,
) -> Stage:
    r"""Solve one implicit stage.

    Oxygen: :math:`(I - \tau T) u + \tau k_{O2} u R = known`. Radicals, eliminated:
    :math:`2 \tau k_t R^2 + (1 + \tau k_{O2} S u) R = generated`, whose root is
    :math:`R = 2 g / (a + \sqrt{a^2 + 8 \tau k_t g})`; with the quasi-steady state
    the 1 is absent and ``rest`` next to nothing. The iteration ends when the sink
    that was solved for and the true one at the solution agree.
    """
    lower, diagonal, upper = matrix
    shape = known.shape
    doubled, under_root = 2.0 * generated, eightfold_kt * generated
    nothing = np.zeros(shape)
    activity, sink, first = guess, nothing, True
    for _ in range(MOST_NEWTON):
        wet = scavenging * np.maximum(activity, nothing)
        total = wet + rest
        root = np.sqrt(total * total + under_root)
        radicals = doubled / (total + root)
        gain = sink_rate * radicals
        fall = gain * wet / root
        if not first:
            miss = (gain * activity - sink).ravel()
            if miss @ miss < tolerance * tolerance * shape[0]:
                return Stage(
                    activity,
                    radicals,
                    sink,
                    (lower, (diagonal + gain - fall), upper),
                    converged=True,
                )
        first = False
        slope = gain - fall
        sink = fall * activity
        activity = tridiagonal((lower, diagonal + slope, upper), known - sink)
        sink += slope * activity
    return Stage(activity, radicals, sink, matrix, converged=False)


def tridiagonal(
    matrix: tuple[FloatArray, FloatArray, FloatArray], right: FloatArray
) -> FloatArray:
    """Solve all rows at once; lower and upper carry a 0 where a row ends."""
    lower, diagonal, upper = matrix
    solution = dgtsv(
        lower.ravel()[1:], diagonal.ravel(), upper.ravel()[:-1], right.ravel()
    )[3]
    return solution.reshape(right.shape)
