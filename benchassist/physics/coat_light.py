"""Light through a coat and the bleaching of its initiators.

Independent of oxygen and conversion, so it is solved first. Arrays run over draws
(rows), initiators, cells (top first) and bands of wavelengths.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from benchassist.physics.coat_grid import IndexArray
from benchassist.physics.coat_resin import BAND_CELL_US, BLEACH_US, Effort, Resin
from benchassist.physics.coat_uncertainty import Sample
from benchassist.physics.spectra import (
    LN10,
    FloatArray,
    photon_flux_mol_cm2_s,
)

CM_PER_UM = 1e-4
CM3_PER_L = 1e3
# Decay that a cubic over one interval of time follows to 1e-4: (kh)^4 / 1944.
DECAY_PER_PIECE = 0.66
FIRST_DECAY = 4.0  # first step: decay of the fastest initiator; thin coats pass it
THIRDS = np.array([0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0])
CUBIC = np.linalg.inv(np.vander(THIRDS, 4, increasing=True))
NOTHING = np.zeros(())  # quicker than a float
BLOCK = 2_000_000  # cells x bands worked at a time, which is what memory it takes
MOST_PIECES = 200  # never reached by steps that pass their tolerance


class Bands(NamedTuple):
    """Light and absorbers, summed over bands of like absorption.

    ``flux`` in mol photons/cm2/s, (rows, bands); ``absorptivity`` and ``product`` in
    L/mol/cm, naperian, (rows, initiators, bands); ``static`` in 1/cm, naperian,
    (bands,). Behind the initiators stand, in the same order, what they are after a
    first cleavage, if any of them cleaves twice.
    """

    flux: FloatArray
    absorptivity: FloatArray
    product: FloatArray
    static: FloatArray

    def take(self, rows: slice) -> "Bands":
        """Return the same for some of the rows."""
        return Bands(
            self.flux[rows], self.absorptivity[rows], self.product[rows], self.static
        )


class Absorption(NamedTuple):
    """Where the photons of each band go, in mol/cm2/s.

    ``per_absorption`` is the mean flux in a cell, (rows, cells, bands): times an
    absorber's absorbance per cm it is what that absorber takes per cm.
    """

    per_absorption: FloatArray
    absorbed: FloatArray
    transmitted: FloatArray


def merge_bands(
    irradiance_mw_cm2_nm: FloatArray,
    grid_nm: FloatArray,
    resin: Resin,
    sample: Sample,
    *,
    depth_um: float,
    band_absorbance: float,
) -> Bands | None:
    """Return a light and the resin's absorbers in few bands, None for darkness.

    Neighbouring wavelengths are merged while no absorber's absorbance through the
    whole depth changes by more than ``band_absorbance`` (naperian). A band keeps its
    photons and the photons each absorber takes at the surface, so that the rate there
    is the trapezium integral over the grid.
    """
    weights = np.zeros(grid_nm.shape)
    steps = np.diff(grid_nm)
    weights[:-1] += 0.5 * steps
    weights[1:] += 0.5 * steps
    photons = weights * photon_flux_mol_cm2_s(irradiance_mw_cm2_nm, grid_nm)
    lit = photons > 0.0
    if not lit.any():
        return None
    photons = photons[lit]
    depth_cm = LN10 * CM_PER_UM * depth_um
    curves = [resin.static_per_cm[lit] * depth_cm]
    for initiator in resin.initiators:
        scale = initiator.mol_l * depth_cm
        curves.append(initiator.absorptivity_l_mol_cm[lit] * scale)
        curves.append(initiator.product_l_mol_cm[lit] * scale)
        if initiator.second is not None:
            curves.append(initiator.second.absorptivity_l_mol_cm[lit] * scale)
    starts = _band_starts(np.array(curves) / band_absorbance)
    total = np.add.reduceat(photons, starts)

    def mean(curve: FloatArray) -> FloatArray:
        return LN10 * np.add.reduceat(photons * curve[..., lit], starts, -1) / total

    count = len(resin.initiators)
    absorptivity = np.zeros((sample.rows, count * resin.stages, starts.size))
    product = np.zeros_like(absorptivity)
    for index, initiator in enumerate(resin.initiators):
        absorptivity[:, index] = mean(sample.absorptivity_l_mol_cm(index, initiator))
        product[:, index] = mean(initiator.product_l_mol_cm)
        if initiator.second is not None:
            curve = initiator.second.absorptivity_l_mol_cm
            absorptivity[:, count + index] = mean(curve)
    return Bands(
        flux=total * sample.factors["irradiance"],
        absorptivity=absorptivity,
        product=product,
        static=mean(resin.static_per_cm),
    )


def _band_starts(absorbance: FloatArray) -> IndexArray:
    """Return the first index of each band, in which no absorber changes by 1.

    ``absorbance`` has the shape (absorbers, grid).
    """
    # Cutting where the summed change passes a whole number keeps bands within it.
    change = np.abs(np.diff(absorbance, axis=1)).max(axis=0, initial=0.0)
    band = np.floor(np.concatenate(([0.0], np.cumsum(change))))
    return np.unique(band, return_index=True)[1]


def absorb(
    bands: Bands, mol_l: FloatArray, fresh_mol_l: FloatArray, widths_um: FloatArray
) -> Absorption:
    r"""Return where the light goes in one instant.

    .. math::
        dq/dz = -\ln 10 \; (\varepsilon c + \varepsilon_p (c_0 - c) + a) q

    for each band, exact inside a cell, so that photons are conserved to rounding.
    Nothing is reflected and nothing scattered.

    Parameters
    ----------
    bands
        Light and absorbers.
    mol_l
        Initiators left, (rows, initiators, cells), and what cleaved once of them.
    fresh_mol_l
        The same of the fresh resin, (rows, initiators).
    widths_um
        Cell widths.
    """
    per_cm = (
        mol_l.transpose(0, 2, 1) @ (bands.absorptivity - bands.product)
        + (fresh_mol_l[:, None, :] @ bands.product)
        + bands.static
    )
    # A floor far below any effect, in place of 0/0 in a clear cell.
    absorbance = np.maximum(per_cm * (CM_PER_UM * widths_um)[:, None], 1e-30)
    share = -np.expm1(-absorbance)
    arriving = np.empty_like(absorbance)
    arriving[:, 0] = 0.0
    np.cumsum(absorbance[:, :-1], axis=1, out=arriving[:, 1:])
    arriving = np.exp(-arriving) * bands.flux[:, None, :]
    absorbed = arriving * share
    return Absorption(
        per_absorption=absorbed / absorbance,
        absorbed=absorbed,
        transmitted=arriving[:, -1] - absorbed[:, -1],
    )


@dataclass(slots=True, eq=False)
class Initiation:
    """The rate of initiation over one segment, and what it leaves of the initiators.

    ``edges_s`` are the ends of intervals, ``pieces`` the coefficients of a cubic in
    the share of the interval, (intervals, rows, 4, cells), in mol/L/s.
    """

    edges_s: FloatArray
    pieces: FloatArray
    mol_l: FloatArray

    def take(self, rows: IndexArray) -> "Initiation":
        """Return the same for some of the rows."""
        return Initiation(self.edges_s, self.pieces[:, rows], self.mol_l[rows])

    def below(self, cells: int) -> "Initiation":
        """Return the same with cells above that hold no initiator."""
        none = np.zeros((*self.pieces.shape[:3], cells))
        pieces = np.concatenate((none, self.pieces), axis=3)
        return Initiation(self.edges_s, pieces, self.mol_l)

    def at(self, time_s: FloatArray) -> FloatArray:
        """Return the rate of initiation in mol/L/s, each row at its own time."""
        last = self.edges_s.size - 2
        if time_s.size == 1:
            moment = time_s.item()
            place = min(int(self.edges_s.searchsorted(moment, side="right")) - 1, last)
            start, end = self.edges_s[place : place + 2].tolist()
            x = (moment - start) / (end - start)
            powers = np.array([1.0, x, x * x, x * x * x])
            rate = (powers @ self.pieces[place, 0])[None, :]
        else:
            index = self.edges_s.searchsorted(time_s, side="right") - 1
            index = np.minimum(index, last)
            begin = self.edges_s[index]
            share = (time_s - begin) / (self.edges_s[index + 1] - begin)
            powers = np.minimum(share, 1.0)[:, None, None] ** np.arange(4)
            rate = (powers @ self.pieces[index, np.arange(time_s.size)])[:, 0]
        positive: FloatArray = np.maximum(rate, NOTHING)
        return positive


def initiate(
    bands: Bands,
    mol_l: FloatArray,
    *,
    fresh_mol_l: FloatArray,
    quantum_yield: FloatArray,
    efficiency: FloatArray,
    widths_um: FloatArray,
    duration_s: FloatArray,
    tolerance: float,
    effort: Effort | None = None,
) -> Initiation:
    r"""Bleach the initiators of a coat in steady light.

    .. math::
        \dot c = -\phi I_a, \quad R_i = 2 \phi f I_a

    and, where an initiator cleaves twice, for what it is in between

    .. math::
        \dot c_2 = \phi I_a - \phi_2 I_2, \quad
        R_i = 2 f (\phi I_a + \phi_2 I_2) = 2 f (-2 \dot c - \dot c_2)

    The unknown is the logarithm of the share left, whose slope hardly changes in a
    thin coat, and beside it c2 itself. Runge-Kutta 3(2) of Bogacki and Shampine 1989,
    Appl Math Lett 2:321, with cubic Hermite interpolation; the tolerance is on the
    share left.

    Parameters
    ----------
    bands
        Light and absorbers.
    mol_l
        Initiators at the start, (rows, initiators, cells), and behind them as many
        that cleaved once if the bands hold these.
    fresh_mol_l, quantum_yield
        Of the fresh resin, (rows, initiators), of what cleaved once too.
    efficiency
        Of the initiators alone, (rows, initiators).
    widths_um
        Cell widths.
    duration_s
        Length of the segment, (rows,).
    tolerance
        Error allowed per step, as a share of the fresh initiator.
    effort
        What the steps may cost; by default as much as a whole computation.

    Raises
    ------
    CoatError
        If the effort runs out.
    """
    bleaching = _Bleaching(
        bands, mol_l, fresh_mol_l, quantum_yield, efficiency, widths_um
    )
    longest_s = float(duration_s.max())
    state = bleaching.start()
    start = bleaching.slope(state)
    fastest = max(bleaching.fastest(start), 1e-12 / longest_s)
    step_s = min(longest_s, FIRST_DECAY / fastest)
    time_s, edges, pieces = 0.0, [np.zeros(1)], []
    left_at_end = mol_l.copy()
    effort = effort or Effort()
    step_us = BLEACH_US + BAND_CELL_US * bands.flux.size * widths_um.size
    while True:
        effort.spend(step_us)
        step_s = min(step_s, longest_s - time_s)
        second = bleaching.slope(state + 0.5 * step_s * start)
        third = bleaching.slope(state + 0.75 * step_s * second)
        new = state + step_s * (2.0 * start + 3.0 * second + 4.0 * third) / 9.0
        end = bleaching.slope(new)
        difference = -5.0 * start + 6.0 * second + 8.0 * third - 9.0 * end
        error = bleaching.largest(difference, state) * step_s / 72.0 / tolerance
        if error <= 1.0:
            whole = Hermite(state, new, step_s * start, step_s * end)
            passed = (time_s <= duration_s) & (duration_s <= time_s + step_s)
            at_end = np.clip((duration_s - time_s) / step_s, 0.0, 1.0)
            left = bleaching.amounts(whole.value(at_end[:, None, None]))
            left_at_end = np.where(passed[:, None, None], left, left_at_end)
            cuts, rate = bleaching.initiated(whole)
            pieces.append(CUBIC @ (rate / step_s).sum(axis=3).transpose(0, 2, 1, 3))
            edges.append(time_s + step_s * cuts[1:])
            time_s += step_s
            state, start = new, end
            if time_s >= longest_s * (1.0 - 1e-12):
                return Initiation(
                    np.concatenate(edges), np.concatenate(pieces), left_at_end
                )
        step_s *= min(5.0, max(0.2, 0.9 * max(error, 1e-9) ** (-1.0 / 3.0)))


class _Bleaching:
    """The unknowns of a coat that bleaches, and how they change.

    Of every initiator the logarithm of the share left, and behind these the share of
    the fresh initiator that has cleaved once, where any cleaves twice.
    """

    def __init__(  # noqa: PLR0917 - what initiate is given
        self,
        bands: Bands,
        mol_l: FloatArray,
        fresh_mol_l: FloatArray,
        quantum_yield: FloatArray,
        efficiency: FloatArray,
        widths_um: FloatArray,
    ) -> None:
        self.bands, self.mol_l, self.fresh_mol_l = bands, mol_l, fresh_mol_l
        self.widths_um = widths_um
        self.radicals_per_loss = 2.0 * efficiency[..., None]
        self.yield_per_flux = CM3_PER_L * quantum_yield[..., None] * bands.absorptivity
        self.count = count = efficiency.shape[1]
        self.twice = mol_l.shape[1] > count
        # An initiator without a second cleavage leaves nothing that could cleave.
        self.cleaves_on = (quantum_yield[:, count:, None] > 0.0).astype(float)
        self.first_mol_l = mol_l[:, :count]
        self.scale = np.maximum(fresh_mol_l[:, :count], 1e-300)[..., None]
        rows = max(1, BLOCK // (widths_um.size * bands.static.size))
        self.blocks = [slice(at, at + rows) for at in range(0, mol_l.shape[0], rows)]

    def start(self) -> FloatArray:
        """Return the unknowns at the start."""
        state = np.zeros(self.mol_l.shape)
        if self.twice:
            state[:, self.count :] = self.mol_l[:, self.count :] / self.scale
        return state

    def amounts(self, state: FloatArray) -> FloatArray:
        """Return what there is of everything, in mol/L."""
        left = self.first_mol_l * np.exp(state[:, : self.count])
        if not self.twice:
            return left
        once = self.scale * np.maximum(state[:, self.count :], 0.0)
        return np.concatenate((left, once), axis=1)

    def slope(self, state: FloatArray) -> FloatArray:
        """Return how fast the unknowns change, per second."""
        left, change, count = self.amounts(state), np.empty_like(state), self.count
        for some in self.blocks:
            flux = absorb(
                self.bands.take(some),
                left[some],
                self.fresh_mol_l[some],
                self.widths_um,
            ).per_absorption
            change[some] = -self.yield_per_flux[some] @ flux.transpose(0, 2, 1)
        if self.twice:
            made = -change[:, :count] * left[:, :count] * self.cleaves_on
            gone = change[:, count:] * left[:, count:]
            change[:, count:] = (made + gone) / self.scale
        return change

    def fastest(self, slope: FloatArray) -> float:
        """Return the decay of the fastest initiator, per second."""
        return float(-slope[:, : self.count].min())

    def largest(self, difference: FloatArray, state: FloatArray) -> float:
        """Return the largest of some differences as a share of fresh initiator."""
        share = self._share(state)
        largest = np.abs(difference[:, : self.count] * share).max()
        if self.twice:
            largest = max(largest, np.abs(difference[:, self.count :]).max())
        return float(largest)

    def initiated(self, step: "Hermite") -> tuple[FloatArray, FloatArray]:
        """Return the cuts of a step and the radicals made per step at their nodes.

        The latter by initiator, (pieces, 4, rows, initiators, cells).
        """
        logs = step.part(slice(0, self.count))
        cuts = logs.cuts(self._share(step.low))
        lost = self.first_mol_l * logs.loss(cuts)
        if self.twice:
            gained = step.part(slice(self.count, None)).gain(cuts)
            lost = (1.0 + self.cleaves_on) * lost - self.scale * gained
        return cuts, self.radicals_per_loss * lost

    def _share(self, state: FloatArray) -> FloatArray:
        share: FloatArray = self.first_mol_l / self.scale
        return share * np.exp(state[:, : self.count])


class Hermite(NamedTuple):
    """The logarithm of what is left over one step: a cubic in the share of the step.

    Slopes are per step, not per second. The arrays are (rows, initiators, cells).
    """

    low: FloatArray
    high: FloatArray
    low_slope: FloatArray
    high_slope: FloatArray

    def part(self, which: slice) -> "Hermite":
        """Return the same for some of the initiators."""
        return Hermite(*(each[:, which] for each in self))

    def value(self, share: FloatArray) -> FloatArray:
        """Return the value at a share of the interval."""
        rest = 1.0 - share
        return rest**2 * (
            (1.0 + 2.0 * share) * self.low + share * self.low_slope
        ) + share**2 * ((3.0 - 2.0 * share) * self.high - rest * self.high_slope)

    def slope(self, share: FloatArray) -> FloatArray:
        """Return the derivative by the share."""
        return (
            6.0 * share * (1.0 - share) * (self.high - self.low)
            + (1.0 - share) * (1.0 - 3.0 * share) * self.low_slope
            + share * (3.0 * share - 2.0) * self.high_slope
        )

    def cuts(self, amount: FloatArray) -> FloatArray:
        """Return shares between which a cubic follows the exponential to 1e-4.

        ``amount`` is the share of fresh initiator at the start of the step.
        """
        decay = -np.minimum(self.low_slope, self.high_slope) * amount**0.25
        pieces = float(decay.max()) / DECAY_PER_PIECE
        return np.linspace(0.0, 1.0, 1 + int(np.clip(np.ceil(pieces), 1, MOST_PIECES)))

    def loss(self, cuts: FloatArray) -> FloatArray:
        """Return what is lost per step at the four nodes of each piece.

        Relative to the amount that the logarithm is of, (pieces, 4, rows,
        initiators, cells).
        """
        share = _nodes(cuts)
        return -np.exp(self.value(share)) * self.slope(share)

    def gain(self, cuts: FloatArray) -> FloatArray:
        """Return what is gained per step at the same nodes, of the value itself."""
        return self.slope(_nodes(cuts))


def _nodes(cuts: FloatArray) -> FloatArray:
    share: FloatArray = cuts[:-1, None] + np.diff(cuts)[:, None] * THIRDS
    return share[:, :, None, None, None]
