"""How far the coat model's uncertain numbers may lie from their values, and draws.

Every range is a pair of factors on the value in use, so that it also travels with a
value typed by a practice. Within a range the value in use is the most likely and the
ends are not passed: a triangle over the logarithm of the factor.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from benchassist.physics.coat_grid import IndexArray
from benchassist.physics.coat_resin import Initiator
from benchassist.physics.spectra import FloatArray


class Range(NamedTuple):
    """Lowest and highest factor on a value, and where they come from."""

    low: float
    high: float
    source: str


RANGES = {
    "irradiance": Range(
        0.8, 1.2, "9 of 12 radiometers within 20 %: Price et al. 2012, summary seen"
    ),
    "mol_l": Range(0.7, 1.3, "common practice, no source"),
    "quantum_yield": Range(
        0.83, 1.17, "0.5 to 0.7 around 0.6: Sumiyoshi et al. 1985, abstract"
    ),
    "efficiency": Range(0.7, 1.3, "from memory"),
    "kp": Range(0.7, 1.3, "from memory"),
    "kt": Range(0.5, 2.0, "from memory; falls by decades as the network forms"),
    "dark_kt": Range(
        0.02,
        1.0,
        "after the light a measured film gained up to 0.11 more conversion than these "
        "equations give it: Taki et al. 2014, read off its figures",
    ),
    "ko2": Range(
        0.2, 8.0, "5.3e8 L/mol/s: Zhao et al. 1999, abstract; 4e9 from memory"
    ),
    "oxygen_diffusivity": Range(
        0.1, 10.0, "1e-11 m2/s: Montgomery et al. 2022, second-hand; 1e-9 from memory"
    ),
    "oxygen_saturation": Range(0.57, 1.43, "0.6 to 1.5 mmol/L, from memory"),
    "film_diffusivity": Range(
        0.2, 3.0, "between Stokes from water and the -2/3 power of Hiss and Cussler"
    ),
    "film_saturation": Range(0.14, 1.5, "10 to 100 umol/L, from memory"),
}
"""Factors on the values in use. The absorption curves carry ranges of their own."""


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    """Factors on the nominal values, one row a draw.

    Attributes
    ----------
    factors
        By the names of RANGES, each of shape (rows, 1).
    curve
        Per initiator the position 0 to 1 between the ends of its absorption curve,
        shape (rows, initiators); NaN for the curve itself.
    rate_set
        Which of the resin's sets of rates, (rows,): 0 the one in use, then others.
    """

    factors: dict[str, FloatArray]
    curve: FloatArray
    rate_set: IndexArray

    @property
    def rows(self) -> int:
        """Number of draws."""
        return int(self.factors["kp"].shape[0])

    def take(self, rows: IndexArray) -> "Sample":
        """Return the same for some of the rows, each as often as it is named."""
        return Sample(
            {name: factor[rows] for name, factor in self.factors.items()},
            self.curve[rows],
            self.rate_set[rows],
        )

    def absorptivity_l_mol_cm(self, index: int, initiator: Initiator) -> FloatArray:
        """Return the initiator's curve in each draw, shape (rows, grid)."""
        nominal = initiator.absorptivity_l_mol_cm[None, :]
        position = self.curve[:, index, None]
        drawn = triangle(
            np.nan_to_num(position),
            low=np.minimum(initiator.low_l_mol_cm, nominal),
            mode=nominal,
            high=np.maximum(initiator.high_l_mol_cm, nominal),
        )
        return np.where(np.isnan(position), nominal, drawn)


def nominal_sample(*, initiators: int, rows: int = 1) -> Sample:
    """Return rows that all carry the values in use."""
    return Sample(
        {name: np.ones((rows, 1)) for name in RANGES},
        np.full((rows, initiators), np.nan),
        np.zeros(rows, dtype=np.intp),
    )


def draw_sample(
    draws: int, *, initiators: int, seed: int, rate_sets: int = 1
) -> Sample:
    """Return draws from all ranges by Latin hypercube, the same for the same seed.

    Each range is cut into as many equally likely strips as there are draws and every
    strip is drawn once (McKay, Beckman, Conover 1979, Technometrics 21:239). Of
    several sets of rates each is drawn as often as the others.
    """
    generator = np.random.default_rng(seed)
    strips = np.argsort(generator.random((len(RANGES) + initiators, draws)), axis=1)
    position = (strips + generator.random(strips.shape)) / draws
    factors = {
        name: np.exp(
            triangle(
                position[index, :, None],
                low=np.log(limits.low),
                mode=np.float64(0.0),
                high=np.log(limits.high),
            )
        )
        for index, (name, limits) in enumerate(RANGES.items())
    }
    rate_set = generator.permutation(draws) % rate_sets
    return Sample(factors, position[len(RANGES) :].T, rate_set.astype(np.intp))


def triangle(
    position: FloatArray,
    *,
    low: FloatArray | np.float64,
    mode: FloatArray | np.float64,
    high: FloatArray | np.float64,
) -> FloatArray:
    """Return the quantile of a triangular distribution, element by element.

    A range of no width gives its mode.
    """
    width = high - low
    rising = low + np.sqrt(position * width * (mode - low))
    falling = high - np.sqrt((1.0 - position) * width * (high - mode))
    return np.where(position * width < mode - low, rising, falling)


class Band(NamedTuple):
    """The middle 90 % of draws and their median; infinite where draws are."""

    low: FloatArray
    median: FloatArray
    high: FloatArray


def band(values: FloatArray) -> Band:
    """Return the 5th, 50th and 95th percentile over the rows.

    Each is one of the draws, so that infinite ones do not spoil the others.
    """
    low, median, high = np.quantile(
        values, (0.05, 0.5, 0.95), axis=0, method="inverted_cdf"
    )
    return Band(low, median, high)
