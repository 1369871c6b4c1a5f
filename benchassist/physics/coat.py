"""The coat model: coats laid on one another, lit, covered and left in the dark.

Per depth z, 0 at the top::

    c'  = -phi I_a                                  initiator
    C'  = d/dz (D dC/dz) - kO2 C R                  oxygen
    R'  = Ri - 2 kt R^2 - kO2 C R                   radicals, Ri = 2 phi f I_a
    X'  = kp R (1 - X)                              conversion of double bonds

One oxygen molecule per radical, peroxyl radicals inert, only oxygen moves, isothermal,
no reflection from the part and no scattering. The structure is that of O'Brien and
Bowman 2006, Macromol Theory Simul 15:176 (abstract), with bleaching.
"""

from collections.abc import Iterator, Sequence
from dataclasses import astuple, dataclass, replace
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from benchassist.physics.coat_column import Kinetics, Medium, Segment, State
from benchassist.physics.coat_grid import (
    IndexArray,
    centres_um,
    coat_widths_um,
    film_widths_um,
    soft_depth_um,
    soft_everywhere_um,
)
from benchassist.physics.coat_light import Initiation, initiate, merge_bands
from benchassist.physics.coat_march import Balance, Tolerance, march
from benchassist.physics.coat_resin import CoatError, Effort, Film, Radicals, Resin
from benchassist.physics.coat_uncertainty import Sample, nominal_sample
from benchassist.physics.purge import OXYGEN_IN_AIR_PERCENT
from benchassist.physics.spectra import FloatArray, wavelength_grid

UM2_PER_M2 = 1e12
CELLS_AT_ONCE = 100_000  # in all rows together, which is what memory it takes
SET_CONVERSION = 0.2  # from this conversion the resin counts as set; a convention


class Nitrogen(NamedTuple):
    """Flowing nitrogen and the oxygen left in it, in vol%; 0 is never reached."""

    oxygen_percent: float


Cover: TypeAlias = Literal["air", "inert", "purge"] | Nitrogen | Film
"""What stands over the coat: air, a gas that lets no oxygen in or out, flowing
nitrogen that carries all oxygen away or leaves some, or a liquid."""

_OUTSIDE: dict[str, float | None] = {"air": 1.0, "inert": None, "purge": 0.0}


class NewCoat(NamedTuple):
    """Fresh resin laid on top: full of initiator and air, not converted."""

    thickness_um: float


class Exposure(NamedTuple):
    """A stretch of time.

    Attributes
    ----------
    duration_s
        One value, or one for each row of the sample.
    cover
        A film stays the same through consecutive exposures under an equal film;
        otherwise it is poured fresh.
    irradiance_mw_cm2_nm
        Spectral irradiance at the top of the coat on the wavelength grid; None is
        darkness.
    fresh_film
        Pour the film afresh although an equal one was there.
    flash_hz
        How often a light flashes whose mean the irradiance is; None is steady light.
    """

    duration_s: float | FloatArray
    cover: Cover = "air"
    irradiance_mw_cm2_nm: FloatArray | None = None
    fresh_film: bool = False
    flash_hz: float | None = None


@dataclass(frozen=True, slots=True)
class Resolution:
    """How finely the coat model is solved.

    Cells grow by ``growth`` from ``finest_um`` at every fresh surface to
    ``coarsest_um``; a film's cells from ``finest_um`` by ``film_growth``. Wavelengths
    whose absorbance through all coats differs by less than ``band_absorbance`` go
    together. Tolerances are per step; ``bleaching`` is a share of the fresh initiator.
    """

    finest_um: float
    growth: float
    coarsest_um: float
    film_growth: float
    band_absorbance: float
    bleaching: float
    march: Tolerance


STANDARD = Resolution(
    0.08, 1.08, 0.25, 1.2, 0.01, 2e-3, Tolerance(3e-3, 1e-3, 1e-3, 0.2, 20.0)
)
"""Two coats lie within 2e-3 in mean conversion and 0.05 um in soft skin of the limit
of ever finer steps."""
COARSE = Resolution(
    0.3, 1.15, 0.8, 2.0, 0.03, 3e-3, Tolerance(1e-2, 2.5e-3, 2e-3, 0.25, 20.0)
)
"""Within 0.01 and 0.2 um for the same; for draws, whose spread is far wider."""
PREVIEW = Resolution(
    0.4, 1.2, 1.5, 3.0, 0.05, 1e-2, Tolerance(0.1, 4e-2, 3e-2, 0.5, 5.0)
)
"""Within 0.02 and 0.5 um for the same; follows a slider."""


@dataclass(frozen=True, slots=True, eq=False)
class Snapshot:
    """The coats at the end of a segment; rows are draws, cells run from the top.

    ``depth_um`` and ``widths_um`` are (cells,), the fields (rows, cells), initiator
    (rows, initiators, cells), the rest (rows,). ``inhibition_s`` counts from the
    start of the segment and is infinite where no cell was freed of oxygen.
    """

    depth_um: FloatArray
    widths_um: FloatArray
    conversion: FloatArray
    oxygen_mol_l: FloatArray
    radicals_mol_l: FloatArray
    initiator_mol_l: FloatArray
    inhibition_s: FloatArray
    duration_s: FloatArray
    balance: Balance | None

    @property
    def mean_conversion(self) -> FloatArray:
        """Conversion averaged over the depth of all coats, (rows,)."""
        mean = self.conversion @ self.widths_um / self.widths_um.sum()
        clipped: FloatArray = np.minimum(mean, 1.0)  # rounding
        return clipped

    def soft_top_um(self, threshold: float = SET_CONVERSION) -> FloatArray:
        """Return the soft skin at the top, (rows,): see soft_depth_um."""
        return soft_depth_um(self.conversion, self.widths_um, threshold=threshold)

    def soft_um(self, threshold: float = SET_CONVERSION) -> FloatArray:
        """Return all soft depth, in any coat, (rows,)."""
        return soft_everywhere_um(self.conversion, self.widths_um, threshold=threshold)

    def soft_bottom_um(self, threshold: float = SET_CONVERSION) -> FloatArray:
        """Return the soft depth at the bottom, (rows,)."""
        return soft_depth_um(
            self.conversion[:, ::-1], self.widths_um[::-1], threshold=threshold
        )


def simulate(
    resin: Resin,
    segments: Sequence[NewCoat | Exposure],
    *,
    sample: Sample | None = None,
    radicals: Radicals = "full",
    resolution: Resolution = STANDARD,
    grid_nm: FloatArray | None = None,
    balance: bool = False,
    effort: Effort | None = None,
) -> list[Snapshot]:
    """Run coats through their segments.

    Parameters
    ----------
    resin
        The resin of all coats.
    segments
        In the order of time, the first a new coat.
    sample
        Factors on the uncertain values, one row a draw; by default one row of ones.
    radicals
        Full balance or quasi-steady state.
    resolution
        STANDARD, COARSE or PREVIEW.
    grid_nm
        Grid of all curves, by default 300 to 600 nm in steps of 0.5 nm.
    balance
        Keep the amounts of oxygen and radicals of each exposure.
    effort
        What it may cost, if several computations share it.

    Returns
    -------
    list[Snapshot]
        One per exposure.

    Raises
    ------
    CoatError
        If there is no coat to expose, or the effort runs out.
    """
    if sample is None:
        sample = nominal_sample(initiators=len(resin.initiators))
    grid_nm = wavelength_grid() if grid_nm is None else grid_nm
    effort = effort or Effort()
    laid_um = sum(s.thickness_um for s in segments if isinstance(s, NewCoat))
    coarsest_um = resolution.coarsest_um
    at_once = max(1, int(CELLS_AT_ONCE * coarsest_um / max(laid_um, coarsest_um)))
    parts, order = [], []
    for rows in _rows_at_once(sample, at_once):
        some = sample if rows.size == sample.rows else sample.take(rows)
        by_set = resin.with_rates(int(some.rate_set[0]))
        coats = _Coats(by_set, some, radicals, resolution, grid_nm, effort=effort)
        snapshots = []
        order.append(rows)
        for segment in segments:
            if isinstance(segment, NewCoat):
                coats.lay(segment.thickness_um)
                continue
            every_s = np.broadcast_to(segment.duration_s, (sample.rows,))
            part = segment._replace(duration_s=every_s[rows].astype(float))
            snapshots.append(coats.expose(part, balance=balance))
        parts.append(snapshots)
    back = np.argsort(np.concatenate(order)) if len(order) > 1 else None
    return [stacked(shots, back) for shots in zip(*parts, strict=True)]


def _rows_at_once(sample: Sample, most: int) -> Iterator[IndexArray]:
    """Yield rows that go together: of one set of rates, and not too many."""
    for index in np.unique(sample.rate_set):
        rows = np.flatnonzero(sample.rate_set == index)
        for at in range(0, rows.size, most):
            yield rows[at : at + most]


def stacked(shots: Sequence[Snapshot], order: IndexArray | None = None) -> Snapshot:
    """Return all rows of the same coats in one, put in an order if it is given."""
    if len(shots) == 1 and order is None:
        return shots[0]
    back = slice(None) if order is None else order
    fields = (
        "conversion",
        "oxygen_mol_l",
        "radicals_mol_l",
        "initiator_mol_l",
        "inhibition_s",
        "duration_s",
    )
    rows = {
        name: np.concatenate([getattr(shot, name) for shot in shots])[back]
        for name in fields
    }
    balances = [astuple(shot.balance) for shot in shots if shot.balance is not None]
    sums = [np.concatenate(parts)[back] for parts in zip(*balances, strict=True)]
    return replace(shots[0], **rows, balance=Balance(*sums) if sums else None)


class _Coats:
    """The coats on the part as they are built up."""

    def __init__(
        self,
        resin: Resin,
        sample: Sample,
        radicals: Radicals,
        resolution: Resolution,
        grid_nm: FloatArray,
        *,
        effort: Effort,
    ) -> None:
        self.resin, self.sample, self.resolution = resin, sample, resolution
        self.effort = effort
        self.quasi_steady = radicals == "quasi-steady"
        self.grid_nm = grid_nm
        rows = sample.rows
        factors = sample.factors
        again = resin.initiators if resin.stages > 1 else ()
        # Behind the initiators stand what cleaved once of them: none when fresh.
        self.fresh_mol_l = factors["mol_l"] * [
            *(i.mol_l for i in resin.initiators),
            *(0.0 for _ in again),
        ]
        self.quantum_yield = factors["quantum_yield"] * [
            *(i.quantum_yield for i in resin.initiators),
            *(i.second.quantum_yield if i.second else 0.0 for i in again),
        ]
        self.efficiency = np.minimum(
            factors["efficiency"] * [i.efficiency for i in resin.initiators], 1.0
        )
        self.widths_um = np.empty(0)
        self.mol_l = np.empty((*self.fresh_mol_l.shape, 0))
        self.state = State(*(np.empty((rows, 0)) for _ in range(3)))
        self.film: Film | None = None
        self.film_activity = np.empty((rows, 0))

    def lay(self, thickness_um: float) -> None:
        """Lay a fresh coat; a film that was there is gone."""
        resolution = self.resolution
        widths = coat_widths_um(
            thickness_um,
            finest_um=resolution.finest_um,
            growth=resolution.growth,
            coarsest_um=resolution.coarsest_um,
        )
        self.widths_um = np.concatenate((widths, self.widths_um))
        fresh = np.repeat(self.fresh_mol_l[:, :, None], widths.size, axis=2)
        self.mol_l = np.concatenate((fresh, self.mol_l), axis=2)
        shape = (self.sample.rows, widths.size)
        self.state = _stack(State(np.ones(shape), *np.zeros((2, *shape))), self.state)
        self.film = None

    def expose(self, segment: Exposure, *, balance: bool) -> Snapshot:
        """Carry the coats through an exposure and return what they are then."""
        if self.widths_um.size == 0:
            raise CoatError("There is no coat yet: begin the segments with new_coat.")
        duration_s = np.asarray(segment.duration_s)
        light = self._bleach(segment, duration_s)
        above = self._film_widths_um(segment)
        medium = self._medium(segment.cover, above)
        kinetics = self._kinetics(medium, above.size, segment, lit=light is not None)
        if light is not None:
            light = light.below(above.size)
        empty = np.zeros_like(self.film_activity)
        outcome = march(
            _stack(State(self.film_activity, empty, empty), self.state),
            Segment(duration_s, medium, kinetics, light),
            self.resolution.march,
            effort=self.effort,
            balance=balance,
        )
        end = outcome.state
        self.film_activity = end.activity[:, : above.size]
        self.state = State(
            end.activity[:, above.size :],
            end.radicals_mol_l[:, above.size :],
            end.exponent[:, above.size :],
        )
        return Snapshot(
            depth_um=centres_um(self.widths_um),
            widths_um=self.widths_um,
            conversion=-np.expm1(-self.state.exponent),
            oxygen_mol_l=self.state.activity * medium.saturation_mol_l[:, above.size :],
            radicals_mol_l=self.state.radicals_mol_l,
            initiator_mol_l=self.mol_l[:, : len(self.resin.initiators)],
            inhibition_s=outcome.inhibition_s,
            duration_s=duration_s,
            balance=outcome.balance,
        )

    def _bleach(self, segment: Exposure, duration_s: FloatArray) -> Initiation | None:
        if segment.irradiance_mw_cm2_nm is None or not duration_s.max() > 0.0:
            return None
        bands = merge_bands(
            segment.irradiance_mw_cm2_nm,
            self.grid_nm,
            self.resin,
            self.sample,
            depth_um=float(self.widths_um.sum()),
            band_absorbance=self.resolution.band_absorbance,
        )
        if bands is None:
            return None
        initiation = initiate(
            bands,
            self.mol_l,
            fresh_mol_l=self.fresh_mol_l,
            quantum_yield=self.quantum_yield,
            efficiency=self.efficiency,
            widths_um=self.widths_um,
            duration_s=duration_s,
            tolerance=self.resolution.bleaching,
            effort=self.effort,
        )
        self.mol_l = initiation.mol_l
        return initiation

    def _film_widths_um(self, segment: Exposure) -> FloatArray:
        """Return the cells of the film over the coat, pouring it if it is new."""
        if not isinstance(segment.cover, Film):
            self.film = None
            self.film_activity = self.film_activity[:, :0]
            return np.empty(0)
        widths = film_widths_um(
            segment.cover.thickness_um,
            finest_um=self.resolution.finest_um,
            growth=self.resolution.film_growth,
        )
        if segment.fresh_film or segment.cover != self.film:
            self.film_activity = np.ones((self.sample.rows, widths.size))
        self.film = segment.cover
        return widths

    def _medium(self, cover: Cover, above_um: FloatArray) -> Medium:
        factors, resin = self.sample.factors, self.resin
        cells = np.ones(self.widths_um.size)
        diffusivity = resin.oxygen_diffusivity_m2_s * factors["oxygen_diffusivity"]
        saturation = resin.oxygen_saturation_mol_l * factors["oxygen_saturation"]
        diffusivity, saturation = diffusivity * cells, saturation * cells
        outside: float | None
        if isinstance(cover, Film):
            film = np.ones(above_um.size)
            over = cover.oxygen_diffusivity_m2_s * factors["film_diffusivity"] * film
            diffusivity = np.concatenate((over, diffusivity), axis=1)
            over = cover.oxygen_saturation_mol_l * factors["film_saturation"] * film
            saturation = np.concatenate((over, saturation), axis=1)
            outside = None if cover.sealed else 1.0
        elif isinstance(cover, Nitrogen):
            outside = cover.oxygen_percent / OXYGEN_IN_AIR_PERCENT
        else:
            outside = _OUTSIDE[cover]
        return Medium(
            np.concatenate((above_um, self.widths_um)),
            UM2_PER_M2 * diffusivity,
            saturation,
            outside,
            resin.cured_diffusivity_ratio,
        )

    def _kinetics(
        self, medium: Medium, above: int, segment: Exposure, *, lit: bool
    ) -> Kinetics:
        factors, resin = self.sample.factors, self.resin
        rates = resin.rates
        cells = np.ones(medium.widths_um.size)
        scavenging = resin.ko2_l_mol_s * factors["ko2"] * cells
        scavenging[:, :above] = 0.0
        return Kinetics(
            kp_l_mol_s=rates.kp_l_mol_s * factors["kp"] * cells,
            kt_l_mol_s=rates.kt_l_mol_s * factors["kt"] * cells,
            scavenging_l_mol_s=scavenging,
            scavenging_per_s=scavenging * medium.saturation_mol_l,
            double_bonds_mol_l=resin.double_bonds_mol_l,
            limits=rates.limits,
            quasi_steady=self.quasi_steady,
            flash_hz=segment.flash_hz if lit else None,
            lasting=None if lit else factors["dark_kt"],
        )


def _stack(above: State, below: State) -> State:
    return State(
        np.concatenate((above.activity, below.activity), axis=1),
        np.concatenate((above.radicals_mol_l, below.radicals_mol_l), axis=1),
        np.concatenate((above.exponent, below.exponent), axis=1),
    )
