"""Liquid that a part carries out of a bath, and resin that it carries into one."""

from collections.abc import Iterable, Iterator, Sequence
from math import sqrt
from typing import NamedTuple

from benchassist.physics.constants import STANDARD_GRAVITY_M_S2

# [-] Landau and Levich 1942, from the asymptotic curvature 0.643 of their equation.
LANDAU_LEVICH = 0.9458
# [-] above it the law overstates the film; limit by custom of the literature.
CAPILLARY_NUMBER_LIMIT = 0.05


class DrainedFilm(NamedTuple):
    """Film left on a plate that is drawn out of a liquid."""

    film_um: float
    capillary_number: float

    @property
    def law_holds(self) -> bool:
        """Whether the capillary number is small enough; else an upper estimate."""
        return self.capillary_number <= CAPILLARY_NUMBER_LIMIT


def drained_film(
    *, viscosity_pa_s: float, speed_m_s: float, tension_n_m: float, density_kg_m3: float
) -> DrainedFilm:
    r"""Return the film on a clean, smooth, vertical plate drawn from a liquid.

    .. math:: h = 0.9458 \sqrt{\gamma / \rho g} \, Ca^{2/3}, \quad
              Ca = \mu U / \gamma

    Landau and Levich 1942, valid for Ca well below 1; the power law is reviewed by
    Rio and Boulogne 2016. Dripping and shaking leave less.
    """
    capillary = viscosity_pa_s * speed_m_s / tension_n_m
    length_m = sqrt(tension_n_m / (density_kg_m3 * STANDARD_GRAVITY_M_S2))
    return DrainedFilm(
        film_um=LANDAU_LEVICH * length_m * capillary ** (2.0 / 3.0) * 1e6,
        capillary_number=capillary,
    )


def wt_percent(
    concentration_g_l: float, *, solvent_g_cm3: float, resin_g_cm3: float
) -> float:
    """Return per cent by mass of resin at a concentration, volumes adding up."""
    solvent_g_l = 1e3 * solvent_g_cm3 * (1.0 - concentration_g_l / (1e3 * resin_g_cm3))
    return 100.0 * concentration_g_l / (concentration_g_l + solvent_g_l)


def concentration_g_l(
    wt_percent: float, *, solvent_g_cm3: float, resin_g_cm3: float
) -> float:
    """Return the concentration of a mixture with a given per cent by mass of resin."""
    share = wt_percent / 100.0
    return 1e3 * share / (share / resin_g_cm3 + (1.0 - share) / solvent_g_cm3)


def bath_concentrations_g_l(
    *,
    volumes_ml: Sequence[float],
    resin_in_g: float,
    volume_in_ml: float,
    drag_out_ml: float,
) -> Iterator[tuple[float, ...]]:
    r"""Yield the concentration in each bath after every further part, without end.

    .. math:: c_k = \frac{m_{in}}{V + v_{in}} \frac{1 - r^k}{1 - r}, \quad
              r = \frac{V + v_{in} - v_{out}}{V + v_{in}}

    Mass balance: a part brings resin, the bath mixes, the part leaves with its film
    of it, and the bath is topped up with fresh solvent. In a cascade the film from
    one bath is what enters the next.

    Parameters
    ----------
    volumes_ml
        Filling of each bath in the order of washing.
    resin_in_g, volume_in_ml
        Mass and volume of resin on the part that enters the first bath.
    drag_out_ml
        Volume that leaves each bath with the part.
    """
    held_g = [0.0] * len(volumes_ml)
    while True:
        row = []
        entering_g, entering_ml = resin_in_g, volume_in_ml
        for index, volume_ml in enumerate(volumes_ml):
            held_g[index] += entering_g
            mixed_g_ml = held_g[index] / (volume_ml + entering_ml)
            entering_g, entering_ml = drag_out_ml * mixed_g_ml, drag_out_ml
            held_g[index] -= entering_g
            row.append(1e3 * mixed_g_ml)
        yield tuple(row)


def parts_to_limit(
    concentrations_g_l: Iterable[tuple[float, ...]], limit_g_l: float
) -> tuple[int | None, ...]:
    """Return for each bath how many parts leave it at or below a limit.

    None for a bath that is still below it when the concentrations end.

    Parameters
    ----------
    concentrations_g_l
        Of every bath after every part, as `bath_concentrations_g_l` yields them.
    limit_g_l
        Concentration that must not be passed; rising from part to part is assumed.
    """
    counts: tuple[int | None, ...] = ()
    for parts, row in enumerate(concentrations_g_l):
        counts = counts or (None,) * len(row)
        counts = tuple(
            parts if count is None and held > limit_g_l else count
            for count, held in zip(counts, row, strict=True)
        )
        if None not in counts:
            break
    return counts


def plateau_g_l(*, resin_in_g: float, drag_out_ml: float) -> float:
    """Return the concentration that every bath approaches, infinite without drag-out.

    What a part brings in then leaves with it.
    """
    return 1e3 * resin_in_g / drag_out_ml if drag_out_ml > 0.0 else float("inf")
