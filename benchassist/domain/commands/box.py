"""Cards of the curing box, and how its run ended."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.commands.base import Command, Held
from benchassist.value import value


@value
class ConfirmLoad(Held, Command):
    """Hold the load card: dry, ``count`` set on the box, door shut."""

    parts: tuple[str, ...]
    box: str
    count: int


@value
class ConfirmSubmerged(Held, Command):
    """Hold the submerge card: submerged, no bubbles, held down, count set."""

    parts: tuple[str, ...]
    box: str
    vessel: str
    count: int


@value
class StartRun(Command):
    """Start the loaded box together with the program's countdown."""

    box: str


@value
class TellRunEnd(Held, Command):
    """Tell by hand what the box did.

    ``delivered`` is what its counter showed when it stopped early or ran
    another count than planned; ``begun`` earlier, where that is more than can have
    been given since its start was told.
    """

    run: str
    outcome: Literal["completed", "stopped", "unknown", "died with the PC"]
    delivered: int = 0
    begun: Literal["", "earlier"] = ""
