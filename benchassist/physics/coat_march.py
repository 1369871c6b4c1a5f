"""Marching one segment of time with steps of their own for every row of a batch."""

from dataclasses import dataclass

import numpy as np

from benchassist.physics.coat_transport import (
    ERROR_WEIGHTS,
    EXTRAPOLATION,
    GAMMA,
    CoatError,
    Segment,
    Stage,
    State,
    Tolerance,
    solve_stage,
    tridiagonal,
)
from benchassist.physics.spectra import FloatArray

MOST_STEPS = 20000
SHRINK, GROW, CAUTION = 0.2, 5.0, 0.9


@dataclass(slots=True, eq=False)
class Outcome:
    """What one segment did.

    ``inhibition_s`` is when, from the start of the segment, any cell first carries
    half of the radicals it would have without oxygen; infinite if none did.
    """

    state: State
    inhibition_s: FloatArray
    steps: int


def march(state: State, segment: Segment, tolerance: Tolerance) -> Outcome:
    """Carry all rows through a segment; rows that are done leave the batch."""
    rows = segment.duration_s.size
    result = Outcome(state, np.full(rows, np.inf), 0)
    active = np.arange(rows)
    run = _Run(state, segment, tolerance)
    for count in range(MOST_STEPS):
        run.step()
        going = run.time_s < run.segment.duration_s * (1.0 - 1e-12)
        left = int(np.count_nonzero(going))
        if left == 0 or 2 * left <= active.size:
            ...
    raise CoatError("x")
