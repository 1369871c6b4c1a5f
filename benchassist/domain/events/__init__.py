"""Everything that can happen at a bench, one frozen dataclass each.

Past tense, versioned, made of tuples and plain values; the single vocabulary of
the journal, the exports and the tests. An event stores the numbers that were
judged, as they were judged, so that replay never recomputes. These modules know
no physics, no files and no clock beyond the ``Instant`` it is given.

A module for each subject; users take all of them from here.
"""

from benchassist.domain.events.base import *
from benchassist.domain.events.box import *
from benchassist.domain.events.carried import *
from benchassist.domain.events.coat import *
from benchassist.domain.events.correction import *
from benchassist.domain.events.coupon import *
from benchassist.domain.events.day import *
from benchassist.domain.events.facts import *
from benchassist.domain.events.intake import *
from benchassist.domain.events.late import *
from benchassist.domain.events.mishaps import *
from benchassist.domain.events.people import *
from benchassist.domain.events.recall import *
from benchassist.domain.events.release import *
from benchassist.domain.events.shelf import *
from benchassist.domain.events.stages import *
from benchassist.domain.events.store import *
from benchassist.domain.events.upkeep import *

KINDS: dict[str, type[Event]] = {kind.__name__: kind for kind in Event.__subclasses__()}
