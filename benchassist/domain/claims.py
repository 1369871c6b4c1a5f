"""Who holds which part or lamp. Plain values; this module knows no state."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.events import Thing
from benchassist.value import value

UNCONFIRMED = " (unconfirmed)"


@value
class Claim:
    """One operator's hold on a part or a lamp.

    ``lasting`` claims were made by hand; the others come with a wet brush or a
    lamp in hand and go with them.
    """

    kind: Thing
    code: str
    who: str
    since: Instant
    lasting: bool
