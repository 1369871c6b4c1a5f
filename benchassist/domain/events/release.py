"""Deviations, holds, checks, release and scrap."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.events.base import Event, FreeText
from benchassist.value import value


@value
class DeviationOpened(Event):
    """Something departed from the recipe; release waits until it is assessed."""

    deviation: str
    rule: str
    parts: tuple[str, ...]
    text: FreeText


@value
class DeviationClosed(Event):
    """A deviation was assessed by hand."""

    deviation: str
    decision: Literal["use as is", "rework", "scrap", "ask prescriber"]
    reason: FreeText


@value
class PartHeld(Event):
    """A part waits between halves, covered and dark, until it is resumed."""

    part: str
    reason: FreeText


@value
class HoldEnded(Event):
    """A part put on hold by hand is ready again at the stage where it was."""

    part: str
    elapsed_ms: int


@value
class CheckRecorded(Event):
    """A named release check was done by hand."""

    part: str
    check: str
    passed: bool


@value
class PartReleased(Event):
    """The bench process was signed as complete against the recipe revision."""

    part: str
    recipe: str


@value
class PartScrapped(Event):
    """A part was taken out of work for good; nothing of it is deleted."""

    part: str
    reason: FreeText
