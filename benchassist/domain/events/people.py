"""Breaks, claims, hand-overs, and those who learn the work."""

from __future__ import annotations

from benchassist.domain.events.base import Event, FreeText, Level, Thing
from benchassist.domain.place import Place
from benchassist.value import value


@value
class CalledAway(Event):
    """The operator was called away; the place was frozen before the break."""

    place: Place


@value
class CameBack(Event):
    """The operator came back by hand; the place is as it was frozen."""

    away_ms: int


@value
class ThingClaimed(Event):
    """An operator took a part or a lamp; nobody else uses it until it is free."""

    kind: Thing
    code: str
    who: str


@value
class ThingPutDown(Event):
    """A claim was given up."""

    kind: Thing
    code: str
    who: str


@value
class ThingTakenOver(Event):
    """A claim was taken from its holder by hand, with a reason."""

    kind: Thing
    code: str
    holder: str
    who: str
    reason: FreeText


@value
class StationHandedOver(Event):
    """The station and every claim of one operator went to another."""

    giver: str
    taker: str
    parts: tuple[str, ...]


@value
class HandOverRead(Event):
    """Whoever took the station read what was handed over."""

    who: str


@value
class OperatorUnconfirmed(Event):
    """Nobody acted for so long that who stands here is no longer known."""

    who: str


@value
class LevelSet(Event):
    """How far an operator works by themselves."""

    who: str
    level: Level


@value
class AnswerPredicted(Event):
    """A trainee said beforehand what the bench would show."""

    part: str
    question: str
    predicted: float
    expected: float
    right: bool
