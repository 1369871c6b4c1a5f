"""Mishaps, deviations, checks, release and scrap."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.commands.base import Command, Held
from benchassist.value import value


@value
class ReportMishap(Held, Command):
    """Tell what went wrong and answer its questions, each in order."""

    part: str
    mishap: str
    answers: tuple[str, ...] = ()


@value
class AcceptGate(Held, Command):
    """Accept a gate's warning by hand, with a reason.

    With ``until`` (``YYYY-MM-DD``) for the thing that is warned of, on every part up
    to that day; without for this part alone.
    """

    gate: str
    part: str
    reason: str
    until: str = ""


@value
class OpenDeviation(Held, Command):
    """Open a deviation by hand."""

    parts: tuple[str, ...]
    text: str


@value
class CloseDeviation(Held, Command):
    """Assess a deviation by hand."""

    deviation: str
    decision: Literal["use as is", "rework", "scrap", "ask prescriber"]
    reason: str


@value
class RecordCheck(Command):
    """Record a named release check."""

    part: str
    check: str
    passed: bool = True


@value
class ReleasePart(Held, Command):
    """Sign: bench process complete against the recipe and revision shown.

    ``signed`` is the operator's own code, typed for this.
    """

    part: str
    signed: str = ""


@value
class ScrapPart(Held, Command):
    """Take a part out of work for good."""

    part: str
    reason: str


@value
class KeepPart(Held, Command):
    """Go on with a part although scrapping it was advised."""

    part: str
    reason: str
