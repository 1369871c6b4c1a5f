"""The bottle in hand, asked at each coat: what goes on record with the brush."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.layer import lot_for
from benchassist.ui.present.intake_words import good_to
from benchassist.ui.view import Panel

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench, Part


def bottle_panel(bench: Bench, part: Part, now: Instant) -> tuple[Panel, ...]:
    """Return which bottle goes on record with the brush.

    Wetting the brush says that it is this one: no key is asked for what is so.
    """
    layer = part.stage.layer
    if not layer:
        return ()
    lot = lot_for(part, layer)
    row = "2, more rows" if layer.startswith("stain") else "3"
    told = (good_to(bench, lot, now), f"another one: keys C, {row}")
    return (Panel("BOTTLE IN HAND", lot or "none", "plain", told),)
