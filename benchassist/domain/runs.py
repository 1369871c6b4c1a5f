"""Box runs on the clock: when one is due and what it may have given so far."""

from __future__ import annotations

from benchassist.clock import MS, Instant
from benchassist.domain.library import Box
from benchassist.domain.state import Run

DRIFT_SHARE = 0.05  # of a box's rate: flash boxes drift; common practice, no source


def box_ms(box: Box, count: int) -> int:
    """Return how long a box takes for a count, start allowance included."""
    return round(count / box.rate_hz * MS) + box.start_allowance_s * MS


def length_ms(run: Run, box: Box) -> int:
    """Return how long the whole run takes, start allowance included."""
    return round(run.planned / run.rate_hz * MS) + box.start_allowance_s * MS


def left_ms(run: Run, box: Box, now: Instant) -> int:
    """Return the milliseconds to the end of a run at least; negative once due."""
    return length_ms(run, box) - now.most_since(run.started)


def counts_after(run: Run, box: Box, elapsed_ms: int) -> int:
    """Return the counts a box can have given ``elapsed_ms`` after its start."""
    lit_ms = max(0, elapsed_ms - box.start_allowance_s * MS)
    return min(run.planned, int(lit_ms * run.rate_hz / MS))


def can_have_given(run: Run, box: Box, now: Instant) -> int:
    """Return the counts a box can have given since its start, at its fastest.

    More than was planned where it ran on. A counter that shows more is not wrong: it
    wins over the clock, and the start was told late.
    """
    return most_in(run, box, now.most_since(run.started))


def most_in(run: Run, box: Box, elapsed_ms: int) -> int:
    """Return the counts a box can have given in so long, at its fastest."""
    lit_ms = max(0, elapsed_ms - box.start_allowance_s * MS)
    return int(lit_ms * run.rate_hz * (1 + DRIFT_SHARE) / MS) + 1
