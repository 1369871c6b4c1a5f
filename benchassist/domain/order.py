"""Who comes first: the one order, of the bench as it is and of a day that is played.

Harm that is near goes before everything, the least time first. Then what a hand put
first, then the appointment, and slack breaks ties; of two that are equal in all of it
what takes seconds comes first. What a hand put back comes last. The ten minutes are
common practice, no source.
"""

from __future__ import annotations

from typing import Literal

URGENT_MS = 10 * 60 * 1000  # [ms] harm nearer than this goes before everything else
Wish = Literal["first", "as due", "back", "not today"]  # what a hand said of a part
FIRST, AS_DUE, BACK, NOT_TODAY = 1, 2, 3, 4
RANKS: dict[Wish, int] = {
    "first": FIRST,
    "as due": AS_DUE,
    "back": BACK,
    "not today": NOT_TODAY,
}

Key = tuple[int, int, int, bool]


def order(
    harm_ms: int, promise_ms: int, slack_ms: int, *, long: bool, said: int = AS_DUE
) -> Key:
    """Return what is sorted by; all times in ms from now, large where there is none."""
    if harm_ms <= URGENT_MS:
        return 0, harm_ms, 0, long
    return said, promise_ms, slack_ms, long
