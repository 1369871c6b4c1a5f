"""How the practice writes its codes: one hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.ui.places.bottle_away import SmallPage
from benchassist.ui.present import small_acts
from benchassist.ui.words import say

if TYPE_CHECKING:
    from benchassist.ui.host import Host


def make(host: Host) -> SmallPage:
    """Return the page."""
    return SmallPage(host, small_acts.shape, say("How codes are written"))
