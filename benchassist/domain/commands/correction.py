"""Put right what a hand told wrong."""

from __future__ import annotations

from benchassist.domain.commands.base import Command, Held
from benchassist.value import value


@value
class Correct(Held, Command):
    """Tell what an entry should have said, and why.

    ``field`` is one that a hand told, ``gone`` where it did not happen; ``value`` is
    what it really was, as typed. ``part`` narrows it to one of the entry's parts.
    """

    entry: int
    field: str
    value: str
    reason: str
    part: str = ""
