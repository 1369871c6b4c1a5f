"""What one label says, whichever form it is printed in."""

from __future__ import annotations

from typing import Literal

from benchassist.value import value

Form = Literal["GS1", "HIBC", "part"]


@value
class Label:
    """The facts of one label; an empty string is not on it.

    ``product`` is the supplier's product code with its leading zeros, ``lot`` and
    ``serial`` keep their case, ``expires`` and ``made`` are ISO 8601 days. ``part`` is
    the code of one of our own labels. ``link`` is what a second label of a pair says
    of the first; empty where there is no pair.
    """

    form: Form
    product: str = ""
    lot: str = ""
    expires: str = ""
    made: str = ""
    serial: str = ""
    part: str = ""
    link: str = ""
    check: str = ""
