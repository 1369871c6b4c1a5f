"""What was done away from the program, entered afterwards."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.events.base import Event, FreeText
from benchassist.value import value


@value
class EnteredLate(Event):
    """A stage was done away from the program: when, by its own telling.

    When it was entered is the entry's own time; what it led to was written with it.
    ``source`` is where it was noted, such as a paper card.
    """

    part: str
    stage: str
    began: Instant
    ended: Instant
    source: FreeText = ""
