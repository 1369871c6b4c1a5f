"""What all commands have in common, and the press that becomes one of them."""

from __future__ import annotations

from benchassist.value import value


@value
class Command:
    """The base of all commands."""


class Held:
    """What is done by holding for two seconds, never by the pedal or a tap.

    Whatever a record rests on that nobody but a hand and an eye can know. Choosing a
    part, coming back and reading are taps, because nothing is stated by them.
    """


@value
class PressPedal(Command):
    """The foot pressed; what it means is in the pedal table alone.

    ``check`` is the check that is on the screen where a route of opening or closing
    is walked, its code and thing; an empty code is the signature at its end.
    """

    long: bool = False
    check: tuple[str, str] | None = None
