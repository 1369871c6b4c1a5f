"""What all commands have in common, and the press that becomes one of them."""

from __future__ import annotations

from benchassist.value import value


@value
class Command:
    """The base of all commands."""


@value
class PressPedal(Command):
    """The foot pressed; what it means is in the pedal table alone."""

    long: bool = False
