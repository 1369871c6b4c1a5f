"""What a hand said of the day."""

from __future__ import annotations

from benchassist.domain.events.base import Event
from benchassist.domain.order import Wish
from benchassist.value import value


@value
class PartOrdered(Event):
    """A hand put a part first or back, left it for another day, or took that back."""

    part: str
    wish: Wish


@value
class PutBackRefused(Event):
    """A hand refused that a part is put back, with these parts in flight."""

    part: str
    beside: tuple[str, ...]
