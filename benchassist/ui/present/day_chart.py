"""A day as a chart: parts against time, and the hours along it."""

from __future__ import annotations

from typing import Literal

from benchassist.clock import MINUTE_MS, MS, Instant
from benchassist.ui.view import Option, Tone
from benchassist.value import value

LEAST_MS = 60 * MINUTE_MS  # [ms] of the time that is shown


@value
class DayBar:
    """A stretch in ms from now: hands, alone, or in a box or bath."""

    kind: Literal["hands", "alone", "place"]
    start_ms: int
    end_ms: int


@value
class DayRow:
    """One part: what is planned, when it is promised, when it will be done.

    It is done between ``done_ms`` (in half of all days) and ``late_ms`` (in four of
    five). ``front`` says that it is the one chosen.
    """

    key: str
    code: str
    what: str
    bars: tuple[DayBar, ...] = ()
    due_ms: int | None = None
    done_ms: int = 0
    late_ms: int = 0
    right: str = ""
    tone: Tone = "quiet"
    front: bool = False


@value
class DayView:
    """The page: title, time from now to ``until_ms``, rows, lanes, and what it says.

    ``far`` is the one line to be read across the room, ``why`` its reason. ``ticks``
    are the whole hours with their names.
    """

    title: str
    now: str
    notes: tuple[str, ...] = ()
    options: tuple[Option, ...] = ()
    line: str = ""
    right: str = ""
    until_ms: int = LEAST_MS
    ticks: tuple[tuple[int, str], ...] = ()
    rows: tuple[DayRow, ...] = ()
    lanes: tuple[DayRow, ...] = ()
    far: str = ""
    why: str = ""


def ticks(now: Instant, until_ms: int) -> tuple[tuple[int, str], ...]:
    """Return the whole hours from now on, each with its name."""
    local = now.local()
    first = MINUTE_MS * (60 - local.minute) - MS * local.second
    hours = range(first, until_ms + 1, 60 * MINUTE_MS)
    apart = 1 + len(hours) // 10  # a long day names every second hour, and so on
    return tuple(
        (ms, f"{now.plus(ms).local():%H:%M}")
        for n, ms in enumerate(hours)
        if n % apart == 0
    )
