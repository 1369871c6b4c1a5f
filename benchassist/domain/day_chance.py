"""What chance decides of a day that is played: how long work takes, who calls.

Work is taken as lognormal through a median and an 80th percentile, calls as a Poisson
process; both are our own choice of model. Every draw has its own name, so the same
seed and state give the same day, and two orders are played on the same chances.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from hashlib import sha256
from itertools import count

from benchassist.clock import HOUR_MS, MINUTE_MS
from benchassist.domain.day_play import Draws, Way

DAY_H = 24
Z80 = 0.841621  # standard normal quantile of 0.8; Abramowitz and Stegun, Table 26.5
DAY_SIGMA = 0.08  # of ln: a whole day is slow or quick; our own guess
GUESSED_SIGMA = 0.4  # of ln, where there are too few own times; our own guess


def sigma_of(median: float, eighty: float) -> float:
    """Return the spread of the logarithm of a lognormal through its two percentiles.

    Raises ValueError if the median is not above 0 or the 80th is below it.
    """
    if median <= 0 or eighty < median:
        msg = "The median must be above 0, and the 80th percentile no less than it."
        raise ValueError(msg)
    return math.log(eighty / median) / Z80


def drawn(
    ways: Iterable[Way],
    *,
    seed: str,
    day: int,
    hands: int = 1,
    calls_per_h: float = 0.0,
    call_ms: int = 0,
    reserve_ms: int = 0,
    over_ms: int = 12 * HOUR_MS,
    day_sigma: float = DAY_SIGMA,
) -> Draws:
    """Return the draws of one day; every piece of work has its own, named after it.

    ``reserve_ms`` of hands go to work that nobody knows of yet, somewhere in
    ``over_ms``, ten minutes at a time.
    """
    whole = day_sigma * _normal(seed, day)
    works = {
        (way.code, leg.key): math.exp(
            leg.sigma * _normal(seed, day, way.code, leg.key) + whole
        )
        for way in ways
        for leg in way.legs
        if leg.sigma > 0
    }
    calls = []
    for hand in range(hands):
        found, at_h = [], 0.0
        for n in count() if calls_per_h > 0 else ():
            at_h += _exponential(seed, day, hand, n, "from") / calls_per_h
            if at_h >= DAY_H:
                break
            length = _exponential(seed, day, hand, n, "for") * call_ms
            found.append((round(at_h * HOUR_MS), round(length)))
        start = round(_even(seed, day, hand, "reserve") * over_ms)
        share = reserve_ms // hands
        found += [
            (start + n * 15 * MINUTE_MS, min(10 * MINUTE_MS, share - done))
            for n, done in enumerate(range(0, share, 10 * MINUTE_MS))
        ]
        calls.append(tuple(sorted(found)))
    return Draws(works, tuple(calls))


def _even(*named: object) -> float:
    """Return a number between 0 and 1, both left out, that is the name's own.

    The first 53 bits of a digest are as even as those of any generator, and no draw
    hangs on how many were made before it.
    """
    digest = sha256(repr(named).encode()).digest()
    return ((int.from_bytes(digest[:8]) >> 11) + 0.5) / 2**53


def _normal(*named: object) -> float:
    # Nothing is drawn before the first paint, and this brings fractions and decimals.
    from statistics import NormalDist  # noqa: PLC0415

    return NormalDist().inv_cdf(_even(*named))


def _exponential(*named: object) -> float:
    return -math.log(_even(*named))
