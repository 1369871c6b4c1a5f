"""Recall something; sign the day."""

from __future__ import annotations

from benchassist.domain.commands.base import Command, Held
from benchassist.domain.events.recall import RecallKind
from benchassist.value import value


@value
class OpenRecall(Held, Command):
    """Recall a lot, a lamp, a box and so on, of all days or of some, with a reason.

    Days are YYYY-MM-DD; an empty one is open. Its parts are found in the record.
    """

    kind: RecallKind
    code: str
    reason: str
    first: str = ""
    last: str = ""


@value
class SignDay(Held, Command):
    """Sign the day as it stands; ``signed`` is the operator's own code, typed."""

    signed: str = ""
