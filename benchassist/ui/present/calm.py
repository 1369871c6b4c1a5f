"""Reduced motion: what fills up does so in a few steps, never gliding."""

from __future__ import annotations

from benchassist.ui.view import BenchView
from benchassist.value import replace

STEPS = 4


def calmed(view: BenchView) -> BenchView:
    """Return a look whose bars stand at the last quarter that is full."""
    countdown = view.countdown
    if countdown is not None and countdown.fill is not None:
        countdown = replace(countdown, fill=_step(countdown.fill))
    return replace(
        view,
        band=replace(view.band, fill=_step(view.band.fill)),
        countdown=countdown,
        rows=tuple(replace(row, fill=_step(row.fill)) for row in view.rows),
        spots=view.spots and replace(view.spots, wet_fill=_step(view.spots.wet_fill)),
    )


def _step(share: float) -> float:
    return int(share * STEPS) / STEPS
