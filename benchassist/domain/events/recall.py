"""What was recalled, and the day as it was signed."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.events.base import Event, FreeText
from benchassist.value import value

RecallKind = Literal["lot", "lamp", "box", "bath", "vessel", "operator", "day", "part"]


@value
class RecallOpened(Event):
    """Something is recalled: what, of which days, why.

    Each part that has it, or may, has one of ``deviations`` of its own, written with
    it; ``unknown`` of them may have it and it is not known.
    """

    recall: str
    kind: RecallKind
    thing: str
    first_day: str
    last_day: str
    deviations: tuple[str, ...]
    unknown: int
    reason: FreeText


@value
class DaySigned(Event):
    """A day was signed by the operator's own code, as the record then stood.

    ``head`` and ``hash`` (hex) are of the last entry before: an anchor once they stand
    on paper. ``stood`` has each part of the day with where it stood, ``open`` the
    deviations that nobody assessed, ``otherwise`` what went otherwise than the
    instructions say, ``unseen`` the closing checks that were not good or not done.
    """

    day: str
    head: int
    hash: str
    brought: int
    taken: int
    stood: tuple[tuple[str, str], ...]
    open: tuple[str, ...]
    otherwise: tuple[str, ...]
    unseen: tuple[str, ...]
