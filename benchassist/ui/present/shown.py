"""What the part in front contributes to one look."""

from __future__ import annotations

from benchassist.ui.view import (
    Band,
    Card,
    Countdown,
    GateRow,
    LightCheck,
    Panel,
    SpotMap,
)
from benchassist.value import value


@value
class Now:
    """Band, words, and whatever of card, map, gates and light check applies."""

    band: Band
    headline: str
    subline: str = ""
    countdown: Countdown | None = None
    card: Card | None = None
    gates: tuple[GateRow, ...] = ()
    spots: SpotMap | None = None
    light: LightCheck | None = None
    panels: tuple[Panel, ...] = ()
    right_hint: str = ""
