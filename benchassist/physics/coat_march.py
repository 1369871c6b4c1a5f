"""One segment of time, under one light and one top, with steps of each row's own.

Time runs by the L-stable two-stage SDIRK method of Alexander 1977, SIAM J Numer Anal
14:1006. The error estimate is the difference to a third-order quadrature over old
slope and stages, filtered by the Newton matrix so that stiff parts do not count.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from benchassist.physics.coat_column import Rates, Segment, State
from benchassist.physics.coat_grid import BoolArray, IndexArray
from benchassist.physics.coat_resin import CELL_STEP_US, STEP_US, Effort
from benchassist.physics.coat_transport import (
    TINY,
    Stage,
    Step,
    tridiagonal,
)
from benchassist.physics.spectra import FloatArray

GAMMA = float(1.0 - np.sqrt(0.5))
EXTRAPOLATION = (1.0 - GAMMA) / GAMMA
_FIRST = 1.0 / (6.0 * GAMMA * (1.0 - GAMMA))
_SECOND = 0.5 - GAMMA * _FIRST
# Weights of old slope, first and second stage in the estimate of the error.
ERROR_OLD = 1.0 - _FIRST - _SECOND
ERROR_FIRST = _FIRST - (1.0 - GAMMA)
ERROR_SECOND = _SECOND - GAMMA
SMALLEST_GROWTH, LARGEST_GROWTH, CAUTION = 0.2, 5.0, 0.8
FAILED = 100.0  # error given to a step whose iteration did not end
FINISHED = 1.0 - 1e-12
SHORTEST_S = 1e-9  # [s] below it nothing happens
FIRST_USE = 0.05  # first step: share of an air-saturated cell's oxygen
NEARLY_FREED = 0.25  # share of the oxygen-free radicals
FREED = 0.5  # share of the oxygen-free radicals that ends the inhibition
FIRST_DECAY = 0.4  # first step: share of the radicals' half-life
CELLS_AS_ONE = 60.0  # off alike in so many cells counts as much as the tolerance
SAME_RATE = 0.05  # share of kt that a stage's guess may be off and stay


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Error allowed in a step in activity and conversion, and in the iteration.

    ``jump`` is how far the conversion may move in a step: how the rates move with it
    in between is not seen by an estimate of the error. ``dark`` is how much more the
    activity may be off where no light waits for the oxygen to be gone.
    """

    activity: float
    conversion: float
    iteration: float
    jump: float = 0.2
    dark: float = 1.0


@dataclass(slots=True, eq=False)
class Balance:
    """Amounts per area in a segment, in um mol/L, each (rows,).

    One radical goes with every oxygen molecule consumed.
    """

    oxygen_in: FloatArray
    oxygen_consumed: FloatArray
    radicals_made: FloatArray
    radicals_terminated: FloatArray


@dataclass(slots=True, eq=False)
class Outcome:
    """The state after a segment, and what happened in it.

    ``inhibition_s`` is when, from the start of the segment, any cell first carries
    half the radicals it would have without oxygen, (rows,), infinite if none did.
    """

    state: State
    inhibition_s: FloatArray
    balance: Balance | None
    steps: int = 0


def march(
    state: State,
    segment: Segment,
    tolerance: Tolerance,
    *,
    effort: Effort | None = None,
    balance: bool = False,
) -> Outcome:
    """Carry all rows through a segment, and keep the balance if asked to.

    Raises
    ------
    CoatError
        If the effort runs out.
    """
    rows = segment.duration_s.size
    everyone = np.arange(rows)
    end = state.take(everyone)
    sums = Balance(*(np.zeros(rows) for _ in range(4))) if balance else None
    outcome = Outcome(end, np.full(rows, np.inf), sums)
    index = np.flatnonzero(segment.duration_s > SHORTEST_S)
    if index.size == 0:
        return outcome
    if index.size < rows:
        segment = segment.take(index)
    effort = effort or Effort()
    walk = _Walk(index, end.take(index), segment, tolerance)
    while True:
        effort.spend(STEP_US + CELL_STEP_US * walk.state.activity.size)
        walk.step(outcome)
        outcome.steps += 1
        done = walk.time_s >= walk.segment.duration_s * FINISHED
        # A row that is done costs as much as the others until it is taken out.
        if 4 * np.count_nonzero(done) >= done.size:
            end.put(walk.index[done], walk.state.take(np.flatnonzero(done)))
            if done.all():
                return outcome
            walk.keep(np.flatnonzero(~done))


class _Attempt(NamedTuple):
    """One step of every row, not yet judged: both stages and what went into them."""

    step_s: FloatArray
    one: Stage
    two: Stage
    rates: tuple[Rates, Rates]
    initiation: tuple[FloatArray, FloatArray]
    slope: FloatArray


class _Walk:
    """Rows under way, each at its own time and with its own step."""

    def __init__(
        self, index: IndexArray, state: State, segment: Segment, tolerance: Tolerance
    ) -> None:
        self.index, self.state, self.segment = index, state, segment
        self.tolerance = tolerance
        self.time_s = np.zeros(index.size)
        self.conduction = segment.medium.conduction(state.exponent)
        hold = TINY if segment.kinetics.quasi_steady else 1.0
        self.hold = np.full_like(state.activity, hold)
        self.per_saturation = 1.0 / segment.medium.saturation_mol_l
        self.dark = np.zeros_like(state.activity)
        first = segment.kinetics.rates(state.exponent)
        self.kp = first.kp  # near what it is at the start of the next step
        self.step_s = self._first_step_s(first)
        self.slope = self._first_slope(first)

    def keep(self, rows: IndexArray) -> None:
        """Go on with some of the rows only."""
        self.index, self.time_s = self.index[rows], self.time_s[rows]
        self.step_s, self.slope = self.step_s[rows], self.slope[rows]
        self.state, self.segment = self.state.take(rows), self.segment.take(rows)
        self.conduction, self.hold = self.conduction.take(rows), self.hold[rows]
        self.per_saturation, self.dark = self.per_saturation[rows], self.dark[rows]
        self.kp = self.kp[rows]

    def step(self, outcome: Outcome) -> None:
        """Try one step of every row and take it where its error allows."""
        going = self.time_s < self.segment.duration_s * FINISHED
        attempt = self._attempt(going)
        error = self._error(attempt)
        taken = going & (error <= 1.0)
        if taken.any():
            self._note(attempt, taken, outcome)
            self._take(attempt, taken)
        growth = CAUTION * np.maximum(error, 1e-6) ** (-1.0 / 3.0)
        growth = np.maximum(np.minimum(growth, LARGEST_GROWTH), SMALLEST_GROWTH)
        self.step_s = attempt.step_s * growth

    def _initiation(self, time_s: FloatArray) -> FloatArray:
        if self.segment.light is None:
            return self.dark
        return self.segment.light.at(time_s)

    def _first_step_s(self, rates: Rates) -> FloatArray:
        """Return a step inside the time in which light or radicals use things up."""
        state = self.state
        use = self._initiation(self.time_s) / self.segment.medium.saturation_mol_l
        decay = 2.0 * rates.kt * state.radicals_mol_l
        fastest = np.maximum(
            use.max(axis=1) / FIRST_USE, decay.max(axis=1) / FIRST_DECAY
        )
        first_s: FloatArray = np.minimum(
            self.segment.duration_s, 1.0 / np.maximum(fastest, TINY)
        )
        return first_s

    def _first_slope(self, rates: Rates) -> FloatArray:
        """Return du/dt once the radicals in oxygen have followed the new light.

        They do within microseconds; the slope before that would mislead the estimate
        of the error.
        """
        state, kinetics = self.state, self.segment.kinetics
        tau = (GAMMA * self.step_s)[:, None]
        made = state.radicals_mol_l + tau * self._initiation(self.time_s)
        # Activities are below zero by rounding at times, which fast scavenging shows.
        wet = np.maximum(state.activity, 0.0)
        linear = 1.0 + tau * kinetics.scavenging_per_s * wet
        kt = rates.kt
        radicals = 2.0 * made / (linear + np.sqrt(linear**2 + 8.0 * tau * kt * made))
        sink = kinetics.scavenging_l_mol_s * radicals * state.activity
        return self.conduction.flow(state.activity) - sink

    def _attempt(self, going: BoolArray) -> _Attempt:
        segment, kinetics, state = self.segment, self.segment.kinetics, self.state
        left_s = segment.duration_s - self.time_s
        step_s = np.where(going, np.minimum(self.step_s, left_s), self.step_s)
        step, tau = step_s[:, None], (GAMMA * step_s)[:, None]
        u, carried = state.activity, state.radicals_mol_l
        pace = self.kp * carried
        if segment.medium.cured_ratio != 1.0:
            middle = state.exponent + 0.5 * step * pace
            self.conduction = segment.medium.conduction(middle)
        form = Step.of(
            tau,
            self.conduction,
            kinetics,
            hold=self.hold,
            per_saturation=self.per_saturation,
        )
        early = self._initiation(self.time_s + GAMMA * step_s)
        one, first = self._stage(
            form,
            known=u,
            guess=u + tau * self.slope,
            carried=carried,
            initiation=early,
            exponent=state.exponent,
            pace=pace,
        )
        jump = one.activity - u
        known, pace = u + EXTRAPOLATION * jump, first.kp * one.radicals_mol_l
        late = self._initiation(self.time_s + step_s)
        two, second = self._stage(
            form,
            known=known,
            guess=known + jump,
            carried=carried + EXTRAPOLATION * (one.radicals_mol_l - carried),
            initiation=late,
            exponent=state.exponent + (step - tau) * pace,
            pace=pace,
        )
        slope = (two.activity - known) / tau
        return _Attempt(step_s, one, two, (first, second), (early, late), slope)

    def _stage(
        self,
        form: Step,
        *,
        known: FloatArray,
        guess: FloatArray,
        carried: FloatArray,
        initiation: FloatArray,
        exponent: FloatArray,
        pace: FloatArray,
    ) -> tuple[Stage, Rates]:
        """Solve a stage with the rates at the conversion it comes to.

        From an exponent and a pace of its growth those rates are guessed; where they
        move with the conversion they are taken again at what came out.
        """
        kinetics, within = form.kinetics, self.tolerance.iteration
        rates = kinetics.rates(exponent + form.tau_s * pace)
        rates = kinetics.flashed(rates, initiation)
        stage = form.stage(
            known, carried=carried, initiation=initiation, kt_l_mol_s=rates.kt
        ).solve(guess, tolerance=within)
        if kinetics.limits is not None:
            guessed, pace = rates.kt, rates.kp * stage.radicals_mol_l
            rates = kinetics.rates(exponent + form.tau_s * pace)
            rates = kinetics.flashed(rates, initiation)
            if (np.abs(rates.kt - guessed) <= SAME_RATE * guessed).all():
                rates = Rates(rates.kp, guessed)
            else:
                stage = form.stage(
                    known, carried=carried, initiation=initiation, kt_l_mol_s=rates.kt
                ).solve(stage.activity, tolerance=within)
        return stage, rates

    def _error(self, attempt: _Attempt) -> FloatArray:
        """Return each row's error in units of the tolerance."""
        step_s, one, two, rates, _, slope = attempt
        step = step_s[:, None]
        oxygen = tridiagonal(
            two.matrix,
            step * (ERROR_OLD * self.slope + ERROR_SECOND * slope)
            + (ERROR_FIRST / GAMMA) * (one.activity - self.state.activity),
        )
        conversion = (
            (step * rates[1].kp)
            * np.exp(-self.state.exponent)
            * (
                ERROR_OLD * self.state.radicals_mol_l
                + ERROR_FIRST * one.radicals_mol_l
                + ERROR_SECOND * two.radicals_mol_l
            )
        )
        within = self.tolerance.activity
        if self.segment.light is None:
            within *= self.tolerance.dark
        error = np.maximum(
            _spread(oxygen) / within, _spread(conversion) / self.tolerance.conversion
        )
        # By kp at the start, too: at the end it may have fallen to nothing.
        kp = np.maximum(self.kp, rates[1].kp)
        most = np.maximum(one.radicals_mol_l, two.radicals_mol_l)
        jump = (step * kp) * np.exp(-self.state.exponent) * most
        share = np.maximum.reduce(jump, axis=1) / self.tolerance.jump
        error = np.maximum(error, share**3)  # the step goes by its third root
        known = one.converged & two.converged & np.isfinite(error)
        return np.where(known, error, FAILED)

    def _take(self, attempt: _Attempt, taken: BoolArray) -> None:
        step_s, one, two, rates, _, slope = attempt
        step = step_s[:, None]
        exponent = self.state.exponent + step * (
            (1.0 - GAMMA) * rates[0].kp * one.radicals_mol_l
            + GAMMA * rates[1].kp * two.radicals_mol_l
        )
        new = State(two.activity, two.radicals_mol_l, exponent)
        if taken.all():
            self.state, self.slope, self.kp = new, slope, rates[1].kp
        else:
            self.state.put(taken, new.take(taken))
            self.slope[taken], self.kp[taken] = slope[taken], rates[1].kp[taken]
        self.time_s = np.where(taken, self.time_s + step_s, self.time_s)

    def _note(self, attempt: _Attempt, taken: BoolArray, outcome: Outcome) -> None:
        """Enter what a step did; called before it is taken."""
        index = self.index[taken]
        if np.isinf(outcome.inhibition_s[index]).any():
            first = self._first_freed_s(attempt)
            outcome.inhibition_s[index] = np.minimum(
                outcome.inhibition_s[index], first[taken]
            )
        if outcome.balance is not None:
            self._enter(attempt, taken, outcome.balance)

    def _first_freed_s(self, attempt: _Attempt) -> FloatArray:
        """Return when a cell first carries half its oxygen-free radicals, or inf.

        Oxygen falls almost in a straight line, which is carried on from the start of
        the step, and then the radicals grow as tanh. In the quasi-steady state half
        of them are there at once while a little oxygen is left. A step that ends a
        little short of half of them has passed that moment if the line says so.
        """
        late, kt = attempt.initiation[1], attempt.rates[1].kt
        step, kinetics = attempt.step_s[:, None], self.segment.kinetics
        whole = np.maximum(np.sqrt(late / (2.0 * kt)), TINY)
        share = np.where(late > 0.0, attempt.two.radicals_mol_l / whole, 0.0)
        if not (share >= NEARLY_FREED).any():
            return np.full(self.time_s.shape, np.inf)
        pace = 2.0 * kt * whole
        enough = 1.5 * pace / np.maximum(kinetics.scavenging_per_s, TINY)
        fall = np.maximum(-self.slope, TINY)
        if kinetics.quasi_steady:
            after = (self.state.activity - enough) / fall
        else:
            grown = np.minimum(self.state.radicals_mol_l / whole, FREED)
            after = (np.arctanh(FREED) - np.arctanh(grown)) / pace
            after += np.where(
                self.state.activity > enough, self.state.activity / fall, 0.0
            )
        freed = (share >= FREED) | ((share >= NEARLY_FREED) & (after <= step))
        after = np.where(freed, np.clip(after, 0.0, step), np.inf)
        first: FloatArray = self.time_s + after.min(axis=1)
        return first

    def _enter(self, attempt: _Attempt, taken: BoolArray, balance: Balance) -> None:
        step_s, one, two, rates, initiation, _ = attempt
        weights = ((1.0 - GAMMA) * step_s, GAMMA * step_s)
        medium = self.segment.medium
        widths, capacity = medium.widths_um, medium.widths_um * medium.saturation_mol_l
        sink = EXTRAPOLATION * one.sink + two.sink
        index = self.index[taken]
        balance.oxygen_consumed[index] += (capacity * sink).sum(axis=1)[taken]
        for weight, stage, rate, made in zip(
            weights, (one, two), rates, initiation, strict=True
        ):
            entry = (
                self.conduction.supply - self.conduction.entry[:, None] * stage.activity
            )
            entered = (weight * capacity[:, 0] * entry[:, 0])[taken]
            ended = weight * ((2.0 * rate.kt * stage.radicals_mol_l**2) @ widths)
            balance.oxygen_in[index] += entered
            balance.radicals_made[index] += (weight * (made @ widths))[taken]
            balance.radicals_terminated[index] += ended[taken]


def _spread(error: FloatArray) -> FloatArray:
    """Return the root of the sum of squares, each row's, for so many cells as one."""
    total: FloatArray = np.einsum("ij,ij->i", error, error)
    return np.sqrt(total / CELLS_AS_ONE)
