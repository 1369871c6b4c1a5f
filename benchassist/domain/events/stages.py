"""Timed stages and hand work: begun, ended, undone."""

from __future__ import annotations

from typing import ClassVar, Literal

from benchassist.domain.events.base import Event
from benchassist.value import value


@value
class StageStarted(Event):
    """A timed stage began for a basket; ``by_itself`` when nobody pressed."""

    stage: str
    kind: str
    parts: tuple[str, ...]
    by_itself: bool = False


@value
class StageEnded(Event):
    """One part left a stage; ``elapsed_ms`` is the most that it can have taken.

    ``least_ms`` is what it surely took; they differ where the machine was off.
    """

    version: ClassVar[int] = 2

    part: str
    stage: str
    elapsed_ms: int
    least_ms: int


@value
class DueQuieted(Event):
    """The sound of what is due was put to rest for a while; nothing is credited."""

    parts: tuple[str, ...]
    for_ms: int


@value
class StartVoided(Event):
    """A start was undone by hand; the real exposure stays on the record."""

    stage: str
    parts: tuple[str, ...]
    elapsed_ms: int
    really_ran: Literal["yes", "no", "not sure"]
