"""How the practice writes its codes: one hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.ui.places.bottle_away import SmallPage
from benchassist.ui.present import small_acts

if TYPE_CHECKING:
    from benchassist.ui.host import Host


def make(host: Host) -> SmallPage:
    """Return the page."""
    return SmallPage(host, small_acts.shape, "How codes are written")
