"""What a hand says of the day: who first, who last, and what it does not want."""

from __future__ import annotations

from benchassist.domain.commands.base import Command
from benchassist.domain.order import Wish
from benchassist.value import value


@value
class OrderPart(Command):
    """Put a part first, put it back, leave it for another day, or none of these."""

    part: str
    wish: Wish


@value
class RefusePutBack(Command):
    """Refuse that a part is put back; it is not proposed again meanwhile."""

    part: str
