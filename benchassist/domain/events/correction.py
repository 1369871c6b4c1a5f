"""What a hand told wrong, put right: nothing is deleted, and both stay readable."""

from __future__ import annotations

from benchassist.domain.events.base import Event, FreeText
from benchassist.value import value

GONE = "gone"  # the field of a change that says: it did not happen
Plain = bool | int | float | str | tuple[str, ...]


@value
class Change:
    """One field of one entry: what was told, and what is true.

    ``field`` may reach into a field (``lot.expires``), or be ``GONE``. ``version`` is
    that of the entry's kind when the change was made. ``part`` names the part in whose
    reading alone it holds, where the entry names several; empty means all of them.
    """

    seq: int
    kind: str
    version: int
    field: str
    old: Plain
    new: Plain
    part: str = ""


@value
class Corrected(Event):
    """Entry ``entry`` was told wrong: what of it, and of what followed, changes.

    ``parts`` are the parts whose history reads otherwise from now on.
    """

    entry: int
    parts: tuple[str, ...]
    changes: tuple[Change, ...]
    reason: FreeText


@value
class FillRecounted(Event):
    """A filling's immersions, counted anew after what lay in it was put right."""

    vessel: str
    immersions: int


@value
class LampRecounted(Event):
    """A lamp's light of a day, more or less by what was put right."""

    who: str
    day: str
    lamp: str
    light_ms: int
