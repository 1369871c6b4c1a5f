"""The tack window: how long a lamp must and may set a coat before the last cure.

Too short, and the coat's body is still liquid under its soft skin. Too long, and the
skin's initiator is spent while oxygen still wins there, so that nothing is left to
cure the skin with when oxygen is kept out.
"""

from collections.abc import Sequence
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
from benchassist.physics.coat_grid import BoolArray
from benchassist.physics.coat_resin import Effort, Radicals, Resin
from benchassist.physics.coat_uncertainty import Sample, nominal_sample
from benchassist.physics.spectra import FloatArray

SHORTEST_S, LONGEST_S = 0.1, 600.0  # [s] past what a hand holds; a choice, no source
PAUSE_S = 30.0  # [s] in the dark after a tack; assumed
SKIN_LIMIT_UM = 1.0  # [um] soft skin that may be left at the end; a choice, no source
FIRST_TRIED_S = np.geomspace(SHORTEST_S, LONGEST_S, 16)
BELOW_NEAR = (0.4, 0.65)  # what is tried first of a window that this one lies near
CLOSE = 0.01  # of a time: what is nearer to one that was tried is not tried itself
AROUND = (0.95, 1.0, 1.06, 1.2)  # of a guess, tried where a row costs next to nothing
NARROW = 1.06  # ratio of two tried times between which a parabola is good enough
FEW_ROWS = 4
GAP = 2.0  # between neighbours in which a crossing may hide
STRIDE = 3.0  # most that a guess may be longer than what was tried
ROUNDS = 12  # never reached but by an excess that jumps to and fro
FULLY = 1.0 - 1e-15  # conversion whose exponent is still finite


class Lamp(NamedTuple):
    """What sets each coat: a spectral irradiance, and the pause after it."""

    irradiance_mw_cm2_nm: FloatArray
    pause_s: float = PAUSE_S


class Tried(NamedTuple):
    """What tacks of several lengths come to, each (rows, tacks).

    NaN where a row was not tried with as many as others. ``body`` is by how much the
    body of its slowest coat is more than set as the lamp goes off, as a share of the
    exponent -ln(1 - X) that it takes; ``skin`` by how much the conversion in the skin
    that may stay soft falls short of it after the later segments. Both rise through 0,
    almost in a straight line over the time. ``skin_um`` is the soft skin then, and
    ``unset_um`` how deep from the bottom of all the coats have not set as the last
    tack ends.
    """

    seconds: FloatArray
    body: FloatArray
    skin: FloatArray
    slowest_coat: FloatArray
    skin_um: FloatArray
    unset_um: FloatArray


class TackWindow(NamedTuple):
    """Seconds per coat, one row a draw, to about a hundredth.

    ``least_s`` is infinite where no time up to the longest sets the body of every
    coat, and 0 where the shortest does. ``most_s`` is infinite where the longest still
    leaves no more than the allowed skin, and 0 where even the shortest leaves more.
    ``skin_um`` is the soft skin left after the later segments by ``least_s``, and
    ``slowest_coat`` the coat that sets last by then, both of the nearest time tried.
    ``tried`` is all that was.
    """

    least_s: FloatArray
    most_s: FloatArray
    slowest_coat: FloatArray
    skin_um: FloatArray
    tried: Tried


def tack_window(
    resin: Resin,
    lamp: Lamp,
    coats_um: Sequence[float],
    later: Sequence[Exposure],
    *,
    sample: Sample | None = None,
    near: tuple[float, float] | None = None,
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
    near
        Least and most seconds of a window that the rows are likely to lie near, such
        as that of the values in use; saves most of the time.
    threshold
        Conversion from which the resin counts as set.
    skin_limit_um
        Soft skin that may be left at the end.
    radicals, resolution, grid_nm
        As for ``simulate``.
    """
    sample = sample or nominal_sample(initiators=len(resin.initiators))
    exponent, effort = -np.log1p(-threshold), Effort()

    def tried(seconds: FloatArray) -> Tried:
        """Try every row with the seconds that are not NaN, (rows, tacks)."""
        given = np.isfinite(seconds)
        rows = np.nonzero(given)[0]
        segments: list[NewCoat | Exposure] = []
        for thickness_um in coats_um:
            segments.append(NewCoat(thickness_um))
            segments.append(Exposure(seconds[given], "air", lamp.irradiance_mw_cm2_nm))
            segments.append(Exposure(lamp.pause_s))
        shots = simulate(
            resin,
            [*segments, *later],
            sample=sample.take(rows),
            radicals=radicals,
            resolution=resolution,
            grid_nm=grid_nm,
            effort=effort,
        )
        lit, end = shots[: 2 * len(coats_um) : 2], shots[-1]
        bodies = np.stack(
            [
                _body_conversion(shot, thickness_um)
                for shot, thickness_um in zip(lit, coats_um, strict=True)
            ]
        )
        skin = _top_conversion(end, skin_limit_um)
        found = np.full((6, *seconds.shape), np.nan)
        found[:, given] = (
            seconds[given],
            _exponent(bodies.min(axis=0)) / exponent - 1.0,
            1.0 - _exponent(skin) / exponent,
            bodies.argmin(axis=0),
            end.soft_top_um(threshold),
            lit[-1].soft_bottom_um(threshold),
        )
        return Tried(*found)

    known = tried(np.tile(_first_s(near), (sample.rows, 1)))
    least_s, most_s, asked_s = _ends(known)
    for _ in range(ROUNDS):
        if np.isnan(asked_s).all():
            break
        if sample.rows <= FEW_ROWS:
            asked_s = (asked_s[..., None] * AROUND).reshape(sample.rows, -1)
        both = zip(known, tried(np.clip(asked_s, SHORTEST_S, LONGEST_S)), strict=True)
        known = Tried(*(np.concatenate(pair, axis=1) for pair in both))
        least_s, most_s, asked_s = _ends(known)
    far = np.abs(known.seconds - np.clip(least_s, SHORTEST_S, LONGEST_S)[:, None])
    nearest = np.arange(sample.rows), np.nanargmin(far, axis=1)
    return TackWindow(
        least_s=least_s,
        most_s=most_s,
        slowest_coat=known.slowest_coat[nearest].astype(np.intp),
        skin_um=known.skin_um[nearest],
        tried=known,
    )


def _first_s(near: tuple[float, float] | None) -> FloatArray:
    """Return what to try first: below both ends, or everything if they are unknown."""
    if near is None or not all(0.0 < end_s < np.inf for end_s in near):
        return FIRST_TRIED_S
    first_s: FloatArray = np.outer(near, BELOW_NEAR).ravel()
    return np.clip(first_s, SHORTEST_S, LONGEST_S)


def _ends(known: Tried) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return both ends by what is known, and what to try next: NaN where they do."""
    least_s, least_close = _crossing(known.seconds, known.body, last=False)
    most_s, most_close = _crossing(known.seconds, known.skin, last=True)
    asked_s = np.stack((least_s, most_s), axis=1)
    asked_s[np.stack((least_close, most_close), axis=1)] = np.nan
    return least_s, most_s, asked_s


def _exponent(conversion: FloatArray) -> FloatArray:
    """Return -ln(1 - X), finite."""
    exponent: FloatArray = -np.log1p(-np.minimum(conversion, FULLY))
    return exponent


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


def _top_conversion(snapshot: Snapshot, depth_um: float) -> FloatArray:
    """Return the highest conversion down to a depth, linear between cell centres.

    It is at the threshold where the soft skin is as thick as the depth. Coats that are
    no thicker than the depth may stay soft throughout, as if they had converted.
    """
    conversion, centres_um = snapshot.conversion, snapshot.depth_um
    if depth_um >= snapshot.widths_um.sum():
        return np.ones(conversion.shape[0])
    cells = max(1, int(centres_um.searchsorted(depth_um, side="right")))
    highest: FloatArray = conversion[:, :cells].max(axis=1)
    if centres_um[0] < depth_um < centres_um[-1]:
        low, high = centres_um[cells - 1 : cells + 1]
        share = (depth_um - low) / (high - low)
        there = conversion[:, cells - 1 : cells + 1] @ (1.0 - share, share)
        highest = np.maximum(highest, there)
    return highest


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
    below, above = excess < 0.0, excess >= 0.0

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

    if last:
        before = latest(below)
        after = first(above & (seconds > before[:, None]))
    else:
        after = first(above)
        before = latest(below & (seconds < after[:, None]))
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
    away = np.minimum(np.abs(guess - before), np.abs(after - guess))
    close = (away <= CLOSE * guess) | (after <= NARROW * before)
    close &= (guess < LONGEST_S) & ~wide & ~wide_before
    found = np.where(never, np.inf, np.where(always, 0.0, guess))
    return found, close | never | always
