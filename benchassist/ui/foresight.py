"""What is worked out now and then, between presses: who is next, who will be late."""

from __future__ import annotations

from collections.abc import Mapping

from benchassist.clock import Instant
from benchassist.domain.advice import Advice, answer
from benchassist.domain.state import Bench
from benchassist.ui.present.day_chart import DayView
from benchassist.ui.present.day_column import day_column
from benchassist.ui.present.look import UNASKED
from benchassist.ui.present.rows import NO_PLANS, slacks

ADVICE_MS = 1000  # [ms] who comes next is asked anew so often, and at every event
PROMISES_MS = 10_000  # [ms] whether each makes its time is worked out so often


class Foresight:
    """Asked at the look after an event, so that no press waits for it.

    ``advice`` says who comes next, ``slack`` by how much each makes its time,
    ``day`` what is ahead of each, for a screen with room for it.
    """

    def __init__(self) -> None:
        self.advice: Advice = UNASKED
        self.slack: Mapping[str, int] = NO_PLANS
        self.day: DayView | None = None
        self._asked = (0, 0)
        self._promised = (-1, -1, False)

    def look(self, bench: Bench, now: Instant, *, day: bool = False) -> None:
        """Work out what is old; the ``day`` only where it is seen."""
        asking = (bench.seq, now.mono_ms // ADVICE_MS)
        if asking != self._asked:
            self._asked, self.advice = asking, answer(bench, now)
        promising = (bench.seq, now.mono_ms // PROMISES_MS, day)
        if promising != self._promised:
            self._promised = promising
            self.slack = slacks(bench, now)
            self.day = day_column(bench, now) if day else None
