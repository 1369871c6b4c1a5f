"""What somebody may wish at the bench, in the imperative.

A press, a key, a script line and a tick of the clock all end up as one of
these. Fields are plain values so that a script can write them down.
A module for each subject; users take all of them from here.
"""

from benchassist.domain.commands.base import *
from benchassist.domain.commands.box import *
from benchassist.domain.commands.coat import *
from benchassist.domain.commands.correction import *
from benchassist.domain.commands.coupon import *
from benchassist.domain.commands.day import *
from benchassist.domain.commands.facts import *
from benchassist.domain.commands.intake import *
from benchassist.domain.commands.late import *
from benchassist.domain.commands.people import *
from benchassist.domain.commands.recall import *
from benchassist.domain.commands.release import *
from benchassist.domain.commands.shelf import *
from benchassist.domain.commands.stages import *
from benchassist.domain.commands.store import *
from benchassist.domain.commands.upkeep import *

HELD = frozenset(kind for kind in Command.__subclasses__() if issubclass(kind, Held))


def held(command: object) -> bool:
    """Return whether a command is done by a hold; so is a check that failed."""
    if isinstance(command, RecordCheck):
        return not command.passed
    return isinstance(command, Held)
