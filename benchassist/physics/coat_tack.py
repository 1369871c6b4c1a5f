"""The tack window: how long a lamp must and may set a coat before the last cure.

Too short, and the coat's body is still liquid under its soft skin. Too long, and the
skin's initiator is spent while oxygen still wins there, so that nothing is left to
cure the skin with when oxygen is kept out.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from benchassist.physics.coat import (
    SET_CONVERSION,
    STANDARD,
    Exposure,
    NewCoat,
    Resolution,
    Snapshot,
    simulate,
)
from benchassist.physics.coat_resin import Radicals, Resin
from benchassist.physics.coat_uncertainty import Sample, nominal_sample
from benchassist.physics.spectra import FloatArray

SHORTEST_S, LONGEST_S = 0.1, 600.0  # [s] past what a hand holds; a choice, no source
PAUSE_S = 30.0  # [s] in the dark after a tack; assumed
SKIN_LIMIT_UM = 1.0  # [um] soft skin that may be left at the end; a choice, no source
CANDIDATES = 6  # times tried at once between two others
ROUNDS = 3  # of trying, which leaves 3 % of a time and linear interpolation in it


class Lamp(NamedTuple):
    """What sets each coat: a spectral irradiance, and the pause after it."""

    irradiance_mw_cm2_nm: FloatArray
    pause_s: float = PAUSE_S


class TackWindow(NamedTuple):
    """Seconds per coat, one row a draw.

    ``least_s`` is infinite where no time up to the longest sets the body of every
    coat. ``most_s`` is infinite where the longest still leaves no more than the
    allowed skin, and 0 where even the shortest leaves more. ``skin_um`` is the soft
    skin left after the later segments by ``least_s`` (the shortest or longest time
    where that is out of range).
    """

    least_s: FloatArray
    most_s: FloatArray
    slowest_coat: FloatArray
    skin_um: FloatArray


def tack_window(
    resin: Resin,
    lamp: Lamp,
    coats_um: Sequence[float],
    later: Sequence[Exposure],
    *,
    sample: Sample | None = None,
    threshold: float = SET_CONVERSION,
    skin_limit_um: float = SKIN_LIMIT_UM,
    radicals: Radicals = "full",
    resolution: Resolution = STANDARD,
    grid_nm: FloatArray | None = None,
) -> TackWindow:
    """Find the shortest and the longest tack, the same for every coat.

    Every coat is laid on the ones before, lit in air and left in the dark. Its body
    is set when, as the lamp goes off, the conversion reaches the threshold from the
    coat's bottom up to its soft skin. The longest tack is the one after whose later
    segments the soft skin is as thick as allowed.

    Parameters
    ----------
    resin, lamp
        Resin of all coats and the lamp that sets them.
    coats_um
        Thicknesses in the order they are laid.
    later
        Exposures after the last pause, such as the second half under glycerine.
    sample
        Factors on the uncertain values, one row a draw; by default one row of ones.
    threshold
        Conversion from which the resin counts as set.
    skin_limit_um
        Soft skin that may be left at the end.
    radicals, resolution, grid_nm
        As for ``simulate``.
    """
    sample = sample or nominal_sample(initiators=len(resin.initiators))

    def run(seconds: FloatArray, after: Sequence[Exposure]) -> list[Snapshot]:
        segments: list[NewCoat | Exposure] = []
        for thickness_um in coats_um:
            segments.append(NewCoat(thickness_um))
            segments.append(Exposure(seconds, "air", lamp.irradiance_mw_cm2_nm))
            segments.append(Exposure(lamp.pause_s))
        return simulate(
            resin,
            [*segments, *after],
            sample=sample.repeat(seconds.size // sample.rows),
            radicals=radicals,
            resolution=resolution,
            grid_nm=grid_nm,
        )

    def bodies(seconds: FloatArray) -> FloatArray:
        """Return the least conversion in each coat's body, (rows, coats)."""
        lit = run(seconds, ())[::2]
        return np.stack(
            [
                _body_conversion(snapshot, thickness_um)
                for snapshot, thickness_um in zip(lit, coats_um, strict=True)
            ],
            axis=1,
        )

    def skin(seconds: FloatArray) -> FloatArray:
        return run(seconds, later)[-1].soft_top_um(threshold)

    least_s = _crossing(
        lambda seconds: bodies(seconds).min(axis=1) - threshold,
        sample.rows,
        last=False,
    )
    most_s = _crossing(
        lambda seconds: skin(seconds) - skin_limit_um, sample.rows, last=True
    )
    at_least_s = np.clip(least_s, SHORTEST_S, LONGEST_S)
    return TackWindow(
        least_s=least_s,
        most_s=most_s,
        slowest_coat=bodies(at_least_s).argmin(axis=1),
        skin_um=skin(at_least_s),
    )


def _body_conversion(snapshot: Snapshot, thickness_um: float) -> FloatArray:
    """Return the lowest conversion of the top coat below its most converted cell."""
    cells = int(
        np.count_nonzero(snapshot.widths_um.cumsum() <= thickness_um * (1.0 + 1e-9))
    )
    coat = snapshot.conversion[:, :cells]
    lowest = np.minimum.accumulate(coat[:, ::-1], axis=1)[:, ::-1]
    best = coat.argmax(axis=1)
    conversion: FloatArray = lowest[np.arange(best.size), best]
    return conversion


def _crossing(
    excess: Callable[[FloatArray], FloatArray], rows: int, *, last: bool
) -> FloatArray:
    """Return when an excess over a limit passes zero from below, (rows,).

    Several times are tried at once, evenly over the logarithm, then several between
    the two around the crossing; the rest is linear. Of many crossings the first or
    the last counts. Infinite where the excess never gets to zero, 0 where it is
    never below.
    """
    low, high = np.full(rows, np.log(SHORTEST_S)), np.full(rows, np.log(LONGEST_S))
    shares = np.linspace(0.0, 1.0, CANDIDATES + 2)
    everyone = np.arange(rows)
    never = always = np.zeros(rows, dtype=np.bool_)
    left, right = np.zeros(rows), np.zeros(rows)
    for turn in range(ROUNDS):
        tried = low[:, None] + (high - low)[:, None] * shares
        values = excess(np.exp(tried).ravel()).reshape(tried.shape)
        above = values >= 0.0
        if turn == 0:
            never = np.logical_and.reduce(~above, axis=1)
            always = np.logical_and.reduce(above, axis=1)
        if last:
            after = shares.size - np.argmax(~above[:, ::-1], axis=1)
        else:
            after = np.argmax(above, axis=1)
        after = np.clip(after, 1, shares.size - 1)
        left, right = values[everyone, after - 1], values[everyone, after]
        low, high = tried[everyone, after - 1], tried[everyone, after]
    gap = np.where(right > left, right - left, 1.0)
    share = np.clip(-left / gap, 0.0, 1.0)
    seconds = np.exp(low + share * (high - low))
    return np.where(never, np.inf, np.where(always, 0.0, seconds))
