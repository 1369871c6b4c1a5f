"""Enter what was done away from the program: from a paper card, from memory."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.commands.base import Command, Held
from benchassist.value import value


@value
class EnterLate(Held, Command):
    """Tell what was done at the stage a part is at while the program was not there.

    ``began`` and ``ended`` are when; without ``began`` it is when the part came there,
    or when its timer was started. ``count`` is what the box's counter showed (below 0:
    nobody read it), ``spot_s`` the seconds each spot had, ``source`` where it was
    noted.
    """

    part: str
    ended: Instant
    began: Instant | None = None
    count: int = -1
    spot_s: int = 0
    source: str = ""
