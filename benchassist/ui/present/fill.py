"""A command as an option offers it: held, or with one gap that a hand fills."""

from __future__ import annotations

from typing import Any

from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import replace, value


class NotANumberError(ValueError):
    """What was typed is not the whole number that was asked for."""


@value
class Gap:
    """A command, or an action of the window, whose ``field`` is still to be typed."""

    command: Any
    field: str
    number: bool = False

    def filled(self, typed: str) -> object:
        """Return the command with what was typed in its gap."""
        value: Any = typed.strip()
        if self.number:
            if not value.isdecimal():
                msg = say("“{value}” is not a whole number.", value=value)
                raise NotANumberError(msg)
            value = int(value)
        return replace(self.command, **{self.field: value})


def held(text: str, command: object) -> Option:
    """Return the one act of a card or a page: on Enter, and only when it is held."""
    return Option(text, "Enter", command, hold=True, tone="attention")
