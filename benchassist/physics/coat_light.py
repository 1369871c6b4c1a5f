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
    (bands,).
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
    starts = _band_starts(np.array(curves) / band_absorbance)
    total = np.add.reduceat(photons, starts)

    def mean(curve: FloatArray) -> FloatArray:
        return LN10 * np.add.reduceat(photons * curve[..., lit], starts, -1) / total

    rows = sample.rows
    absorptivity = np.empty((rows, len(resin.initiators), starts.size))
    product = np.empty_like(absorptivity)
    for index, initiator in enumerate(resin.initiators):
        absorptivity[:, index] = mean(sample.absorptivity_l_mol_cm(index, initiator))
        product[:, index] = mean(initiator.product_l_mol_cm)
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
    return np.flatnonzero(np.diff(band, prepend=-1.0))


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
        Initiators left, (rows, initiators, cells).
    fresh_mol_l
        Initiators of the fresh resin, (rows, initiators).
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
        pad = ((0, 0), (0, 0), (0, 0), (cells, 0))
        return Initiation(self.edges_s, np.pad(self.pieces, pad), self.mol_l)

    def at(self, time_s: FloatArray) -> FloatArray:
        """Return the rate of initiation in mol/L/s, each row at its own time."""
        last = self.edges_s.size - 2
        if time_s.size == 1:
            moment = time_s.item()
            place = min(int(self.edges_s.searchsorted(moment, side="right")) - 1, last)
            start, end = self.edges_s[place : place + 2].tolist()
            x = min((moment - start) / (end - start), 1.0)
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

    The unknown is the logarithm of the share left, whose slope hardly changes in a
    thin coat. Runge-Kutta 3(2) of Bogacki and Shampine 1989, Appl Math Lett 2:321,
    with cubic Hermite interpolation; the tolerance is on the share left.

    Parameters
    ----------
    bands
        Light and absorbers.
    mol_l
        Initiators at the start, (rows, initiators, cells).
    fresh_mol_l, quantum_yield, efficiency
        Of the fresh resin, (rows, initiators).
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
    yield_per_flux = CM3_PER_L * quantum_yield[..., None] * bands.absorptivity
    share = mol_l / np.maximum(fresh_mol_l, 1e-300)[..., None]

    rows = max(1, BLOCK // (widths_um.size * bands.static.size))
    blocks = [slice(at, at + rows) for at in range(0, mol_l.shape[0], rows)]

    def slope(log_left: FloatArray) -> FloatArray:
        left, change = mol_l * np.exp(log_left), np.empty_like(log_left)
        for some in blocks:
            flux = absorb(
                bands.take(some), left[some], fresh_mol_l[some], widths_um
            ).per_absorption
            change[some] = -yield_per_flux[some] @ flux.transpose(0, 2, 1)
        return change

    longest_s = float(duration_s.max())
    log_left = np.zeros(mol_l.shape)
    start = slope(log_left)
    fastest = max(float(-start.min()), 1e-12 / longest_s)
    step_s = min(longest_s, FIRST_DECAY / fastest)
    time_s, edges, pieces = 0.0, [np.zeros(1)], []
    left_at_end = mol_l.copy()
    effort = effort or Effort()
    step_us = BLEACH_US + BAND_CELL_US * bands.flux.size * widths_um.size
    while True:
        effort.spend(step_us)
        step_s = min(step_s, longest_s - time_s)
        second = slope(log_left + 0.5 * step_s * start)
        third = slope(log_left + 0.75 * step_s * second)
        new = log_left + step_s * (2.0 * start + 3.0 * second + 4.0 * third) / 9.0
        end = slope(new)
        difference = -5.0 * start + 6.0 * second + 8.0 * third - 9.0 * end
        amount = share * np.exp(log_left)
        error = float(np.abs(difference * amount).max()) * step_s / 72.0 / tolerance
        if error <= 1.0:
            hermite = Hermite(log_left, new, step_s * start, step_s * end)
            passed = (time_s <= duration_s) & (duration_s <= time_s + step_s)
            at_end = np.clip((duration_s - time_s) / step_s, 0.0, 1.0)
            left = mol_l * np.exp(hermite.value(at_end[:, None, None]))
            left_at_end = np.where(passed[:, None, None], left, left_at_end)
            cuts = hermite.cuts(amount)
            rate = (2.0 * efficiency[..., None] * mol_l) * hermite.loss(cuts) / step_s
            pieces.append(CUBIC @ rate.sum(axis=3).transpose(0, 2, 1, 3))
            edges.append(time_s + step_s * cuts[1:])
            time_s += step_s
            log_left, start = new, end
            if time_s >= longest_s * (1.0 - 1e-12):
                return Initiation(
                    np.concatenate(edges), np.concatenate(pieces), left_at_end
                )
        step_s *= min(5.0, max(0.2, 0.9 * max(error, 1e-9) ** (-1.0 / 3.0)))


class Hermite(NamedTuple):
    """The logarithm of what is left over one step: a cubic in the share of the step.

    Slopes are per step, not per second.
    """

    low: FloatArray
    high: FloatArray
    low_slope: FloatArray
    high_slope: FloatArray

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
        share = cuts[:-1, None] + np.diff(cuts)[:, None] * THIRDS
        share = share[:, :, None, None, None]
        return -np.exp(self.value(share)) * self.slope(share)
