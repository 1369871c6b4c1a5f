"""The tack window: how long a lamp must and may set a coat before the last cure.

Too short, and the coat's body is still liquid under its soft skin. Too long, and the
skin's initiator is spent while oxygen still wins there, so that nothing is left to
cure the skin with when oxygen is kept out.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeAlias

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
from benchassist.physics.coat_grid import BoolArray, IndexArray, centres_um, lowest_um
from benchassist.physics.coat_resin import Effort, Radicals, Resin
from benchassist.physics.coat_uncertainty import Sample, nominal_sample
from benchassist.physics.spectra import FloatArray

SHORTEST_S, LONGEST_S = 0.1, 600.0  # [s] past what a hand holds; a choice, no source
PAUSE_S = 30.0  # [s] in the dark after a tack; assumed
SKIN_LIMIT_UM = 1.0  # [um] that may stay soft in all coats together; no source
FIRST_TRIED_S = np.geomspace(SHORTEST_S, LONGEST_S, 16)
AROUND_NEAR = (0.7, 1.0, 1.5)  # tried first of an end that this one lies near
CLOSE = 0.01  # of a time: what is nearer to one that was tried is not tried itself
AROUND = (0.95, 1.06, 1.2)  # of a guess, tried where a row costs next to nothing
NARROW = 1.06  # ratio of two tried times between which a parabola is good enough
FEW_ROWS, MOST_TRIED = 4, 4
GAP = 2.0  # between neighbours in which a crossing may hide
STRIDE = 3.0  # most that a guess may be longer than what was tried
ROUNDS = 12  # never reached but by an excess that jumps to and fro
SKIN_TIMES = (0.3, 10.0)  # what is more or less of a skin does not matter
WITHIN = (0.15, 0.85)  # where between two times the next is tried, in logarithms
FULLY = 1.0 - 1e-15  # conversion whose exponent is still finite


class Lamp(NamedTuple):
    """What sets each coat: a spectral irradiance, and the pause after each light.

    ``weakest`` and ``strongest`` are the shares of it where it is least and most: at
    a tip's cold spots held far, and held near; under one circle alone, or where there
    is a hole 0. ``circles`` is how many circles lie over one point at most.
    """

    irradiance_mw_cm2_nm: FloatArray
    pause_s: float = PAUSE_S
    weakest: float = 1.0
    strongest: float = 1.0
    circles: int = 1


class Tried(NamedTuple):
    """What tacks of several lengths come to, each (rows, tacks).

    NaN where a row was not tried with as many as others. ``excess`` rises through 0.
    Of a body it is by how much the slowest coat is more than set as the lamp goes off,
    as a share of the exponent -ln(1 - X) that it takes; ``coat`` is that coat and
    ``soft_um`` how deep from the bottom of all the coats have not set as the last tack
    ends. Of a skin it is the logarithm of how many times too little what may stay soft
    has after the later segments; ``soft_um`` is all that is soft then and
    ``buried_um`` what of it lies under a later coat.
    """

    seconds: FloatArray
    excess: FloatArray
    soft_um: FloatArray
    buried_um: FloatArray
    coat: FloatArray


class TackWindow(NamedTuple):
    """Seconds a spot, one row a draw, to about a hundredth.

    ``least_s`` is infinite where no time up to the longest sets the body of every
    coat at the weakest point, and 0 where the shortest does. ``most_s`` is infinite
    where the longest still leaves no more soft than allowed, and 0 where even the
    shortest leaves more. ``skin_um`` is what stays soft after the later segments by
    ``least_s``, ``buried_um`` what of it lies under a later coat, and
    ``slowest_coat`` the coat that sets last, all of the nearest time tried.
    ``body`` and ``skin`` are all that was tried.
    """

    least_s: FloatArray
    most_s: FloatArray
    slowest_coat: FloatArray
    skin_um: FloatArray
    buried_um: FloatArray
    body: Tried
    skin: Tried


def tack_window(
    resin: Resin,
    lamp: Lamp,
    coats_um: Sequence[float],
    later: Sequence[Exposure],
    *,
    sample: Sample | None = None,
    near: Sequence[tuple[float, float]] = (),
    threshold: float = SET_CONVERSION,
    skin_limit_um: float = SKIN_LIMIT_UM,
    radicals: Radicals = "full",
    resolution: Resolution = STANDARD,
    grid_nm: FloatArray | None = None,
) -> TackWindow:
    """Find the shortest and the longest tack, the same for every spot and coat.

    Every coat is laid on the ones before, lit in air and left in the dark. Its body
    is set when, as the lamp goes off, the conversion reaches the threshold from the
    coat's bottom up to its soft skin, lit once and where the lamp is weakest. The
    longest tack is the one after whose later segments as much is soft as allowed, in
    all coats together, where the lamp is strongest and as many circles as there are
    lie over the point, each lit for itself with its pause.

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
    near
        Least and most seconds of windows that the rows are likely to lie near, such as
        those of the values in use, one for each set of rates; saves most of the time.
    threshold
        Conversion from which the resin counts as set.
    skin_limit_um
        What may stay soft at the end, in all coats together.
    radicals, resolution, grid_nm
        As for ``simulate``.
    """
    sample = sample or nominal_sample(initiators=len(resin.initiators))
    exponent, effort = float(-np.log1p(-threshold)), Effort()

    def run(rows: IndexArray, segments: list[NewCoat | Exposure]) -> list[Snapshot]:
        return simulate(
            resin,
            segments,
            sample=sample.take(rows),
            radicals=radicals,
            resolution=resolution,
            grid_nm=grid_nm,
            effort=effort,
        )

    def body(rows: IndexArray, seconds: FloatArray) -> Sequence[FloatArray]:
        lit_nm = lamp.irradiance_mw_cm2_nm * lamp.weakest
        segments: list[NewCoat | Exposure] = []
        for coat_um in coats_um:
            lit = Exposure(seconds, "air", lit_nm)
            segments += [NewCoat(coat_um), lit, Exposure(lamp.pause_s)]
        shots = run(rows, segments[:-1])[::2]
        bodies = np.stack(
            [_body_conversion(*each) for each in zip(shots, coats_um, strict=True)]
        )
        return (
            np.minimum(_times(bodies.min(axis=0), exponent) - 1.0, 1.0),
            shots[-1].soft_bottom_um(threshold),
            np.zeros(rows.size),
            bodies.argmin(axis=0),
        )

    def skin(rows: IndexArray, seconds: FloatArray) -> Sequence[FloatArray]:
        lit_nm = lamp.irradiance_mw_cm2_nm * lamp.strongest
        lit = [Exposure(seconds, "air", lit_nm), Exposure(lamp.pause_s)]
        segments: list[NewCoat | Exposure] = []
        for coat_um in coats_um:
            segments += [NewCoat(coat_um), *(lit * lamp.circles)]
        end = run(rows, [*segments, *later])[-1]
        there = lowest_um(end.conversion, end.widths_um, depth_um=skin_limit_um)
        soft_um = end.soft_um(threshold)
        # Between cells and over whole ones the two depths differ by rounding.
        buried_um = np.maximum(soft_um - end.soft_top_um(threshold), 0.0)
        return (
            -np.log(np.clip(_times(there, exponent), *SKIN_TIMES)),
            soft_um,
            buried_um,
            np.zeros(rows.size),
        )

    near_s = np.array(near or [(np.inf, np.inf)] * (1 + len(resin.others)))
    near_s = near_s[sample.rate_set]
    least_s, bodies = _search(body, near_s[:, 0], last=False)
    most_s, skins = _search(skin, near_s[:, 1], last=True)
    at_body, at_skin = _nearest(bodies, least_s), _nearest(skins, least_s)
    return TackWindow(
        least_s=least_s,
        most_s=most_s,
        slowest_coat=bodies.coat[at_body].astype(np.intp),
        skin_um=skins.soft_um[at_skin],
        buried_um=skins.buried_um[at_skin],
        body=bodies,
        skin=skins,
    )


Trial: TypeAlias = Callable[[IndexArray, FloatArray], Sequence[FloatArray]]


def _search(
    trial: Trial, near_s: FloatArray, *, last: bool
) -> tuple[FloatArray, Tried]:
    """Return where an excess crosses zero in every row, and all that was tried.

    ``near_s`` are times that the rows are likely to cross near, (rows,); infinite
    where nothing is known.
    """

    def tried(seconds: FloatArray) -> Tried:
        """Try every row with the seconds that are not NaN, (rows, tacks)."""
        given = np.isfinite(seconds)
        found = np.full((5, *seconds.shape), np.nan)
        found[:, given] = (
            seconds[given],
            *trial(np.nonzero(given)[0], seconds[given]),
        )
        return Tried(*found)

    rows = near_s.size
    known = tried(_first_s(near_s))
    end_s, close = _crossing(known.seconds, known.excess, last=last)
    for _ in range(ROUNDS):
        if close.all():
            break
        # A round costs much the same for few rows as for all: try more of each.
        most = MOST_TRIED if rows <= FEW_ROWS else rows // int((~close).sum())
        asked_s = np.where(close, np.nan, end_s)[:, None]
        asked_s = _between(known, asked_s, min(most, MOST_TRIED), last=last)
        both = zip(known, tried(np.clip(asked_s, SHORTEST_S, LONGEST_S)), strict=True)
        known = Tried(*(np.concatenate(pair, axis=1) for pair in both))
        end_s, close = _crossing(known.seconds, known.excess, last=last)
    return end_s, known


def _between(
    known: Tried, asked_s: FloatArray, count: int, *, last: bool
) -> FloatArray:
    """Return times to try beside those asked for, (rows, count).

    Evenly over the logarithms of what a crossing is known to lie between, else around
    the one that was guessed.
    """
    before, after = _bracket(known.seconds, known.excess, last=last)
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = np.log(after / before)[:, None]
        shares = np.arange(1, count) / count
        inside = before[:, None] * np.exp(shares * apart)
    around = asked_s * np.array(AROUND[: count - 1])
    rest = np.where(np.isfinite(apart), inside, around)
    rest[np.isnan(asked_s[:, 0])] = np.nan
    return np.concatenate((asked_s, rest), axis=1)


def _bracket(
    seconds: FloatArray, excess: FloatArray, *, last: bool
) -> tuple[FloatArray, FloatArray]:
    """Return between which times an excess rises through zero, 0 and inf for none."""
    below, above = excess < 0.0, excess >= 0.0
    if last:
        before = np.where(below, seconds, 0.0).max(axis=1)
        later = above & (seconds > before[:, None])
        return before, np.where(later, seconds, np.inf).min(axis=1)
    after = np.where(above, seconds, np.inf).min(axis=1)
    sooner = below & (seconds < after[:, None])
    return np.where(sooner, seconds, 0.0).max(axis=1), after


def _nearest(known: Tried, seconds: FloatArray) -> tuple[IndexArray, IndexArray]:
    """Return where each row was tried nearest to some seconds."""
    far = np.abs(known.seconds - np.clip(seconds, SHORTEST_S, LONGEST_S)[:, None])
    return np.arange(seconds.size), np.nanargmin(far, axis=1)


def _first_s(near_s: FloatArray) -> FloatArray:
    """Return what to try first: around an end, or everything if it is unknown.

    (rows, tacks), NaN where a row needs fewer.
    """
    known = (near_s > 0.0) & np.isfinite(near_s)
    few = len(AROUND_NEAR)
    first_s = np.full((near_s.size, few if known.all() else FIRST_TRIED_S.size), np.nan)
    first_s[~known] = FIRST_TRIED_S[: first_s.shape[1]]
    around_s = np.outer(near_s[known], AROUND_NEAR)
    first_s[known, :few] = np.clip(around_s, SHORTEST_S, LONGEST_S)
    return first_s


def _times(conversion: FloatArray, exponent: float) -> FloatArray:
    """Return how many times an exponent -ln(1 - X) is, finite."""
    times: FloatArray = -np.log1p(-np.minimum(conversion, FULLY)) / exponent
    return times


def _body_conversion(snapshot: Snapshot, thickness_um: float) -> FloatArray:
    """Return the lowest conversion of the top coat below its most converted cell."""
    coat = snapshot.conversion[:, centres_um(snapshot.widths_um) < thickness_um]
    lowest = np.minimum.accumulate(coat[:, ::-1], axis=1)[:, ::-1]
    best = coat.argmax(axis=1)
    conversion: FloatArray = lowest[np.arange(best.size), best]
    return conversion


def _crossing(
    seconds: FloatArray, excess: FloatArray, *, last: bool
) -> tuple[FloatArray, BoolArray]:
    """Return where an excess rises through zero, and whether that is near enough.

    Of several crossings that are known the first or the last counts. Infinite where
    the excess stays below zero: up to the longest time, or past its peak. 0 where it
    is not below even at the shortest. Over the time it bends down if at all: a line
    through two times before the crossing does not pass it and is followed until a time
    behind is known; from then on it is the parabola through all three.

    Parameters
    ----------
    seconds, excess
        What was tried, (rows, tacks) in any order; NaN does not count.
    last
        Which of several crossings counts.
    """
    below = excess < 0.0

    def latest(those: BoolArray) -> FloatArray:
        found: FloatArray = np.where(those, seconds, 0.0).max(axis=1)
        return found

    def first(those: BoolArray) -> FloatArray:
        found: FloatArray = np.where(those, seconds, np.inf).min(axis=1)
        return found

    def at(moment_s: FloatArray) -> FloatArray:
        there = seconds == moment_s[:, None]
        found = np.where(there, excess, -np.inf).max(axis=1)
        return np.where(there.any(axis=1), found, np.nan)

    before, after = _bracket(seconds, excess, last=last)
    if not last:
        # Nothing is above: the crossing, if any, lies just before or behind the peak.
        peak = np.where(below, excess, -np.inf).max(axis=1)
        at_peak = first(below & (excess == peak[:, None]))
        before = np.where(np.isinf(after), at_peak, before)
    sooner = latest(below & (seconds < before[:, None]))
    later = first(seconds > before[:, None])
    low, high = at(before), at(after)
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = (low - at(sooner)) / (before - sooner)
        chord = (high - low) / (after - before)
        bend = (chord - rise) / (after - sooner)
        slope = rise + bend * (before - sooner)
        bent = before - 2.0 * low / (slope + np.sqrt(slope**2 - 4.0 * bend * low))
        line = np.where(rise > 0.0, before - low / rise, np.inf)
        straight = before - low / chord
    guess = np.where(
        np.isfinite(after),
        np.where((before < bent) & (bent < after), bent, straight),
        np.minimum(line, STRIDE * before),
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        # An excess that jumps would otherwise be crept up to.
        wide, apart = after > NARROW * before, np.log(after / before)
        inner = [before * np.exp(share * apart) for share in WITHIN]
        clipped = np.clip(guess, *inner)
    guess = np.where(wide & np.isfinite(apart), clipped, guess)
    guess = np.where(before > 0.0, guess, after / STRIDE)
    guess = np.clip(guess, SHORTEST_S, LONGEST_S)
    # Before a peak below zero counts as one, what lies beside it is looked at.
    peaked = np.isinf(after) & ((guess >= later) | (before >= LONGEST_S))
    with np.errstate(invalid="ignore"):
        wide = peaked & (later > GAP * before) & np.isfinite(later)
        guess = np.where(wide, np.sqrt(before * later), guess)
        wide_before = peaked & ~wide & (sooner > 0.0) & (before > GAP * sooner)
        guess = np.where(wide_before, np.sqrt(before * sooner), guess)
    never = peaked & ~wide & ~wide_before
    always = (before == 0.0) & (after <= SHORTEST_S)
    close = (np.abs(guess - before) <= CLOSE * guess) | (after <= NARROW * before)
    close &= guess < LONGEST_S
    found = np.where(never, np.inf, np.where(always, 0.0, guess))
    return found, close | never | always
