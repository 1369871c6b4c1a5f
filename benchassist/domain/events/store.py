"""What happened to the store and the program itself."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.events.base import Event, FreeText, Numbers, StoreKind
from benchassist.value import value


@value
class StoreCreated(Event):
    """The first event of every journal; kind and id never change."""

    kind: StoreKind
    store_id: str
    station: str
    zone: str


@value
class ProgramOpened(Event):
    """The program opened this journal; says what the last heartbeat was."""

    program_version: str
    last_heartbeat: Instant | None


@value
class WallClockStepped(Event):
    """The wall clock jumped by ``step_ms`` against the monotonic one."""

    step_ms: int


@value
class NobodyWatched(Event):
    """The program stood still for ``gap_ms`` and then went on, as after a sleep.

    The time counts like any other; what nobody saw in it is not credited.
    """

    gap_ms: int


@value
class DarkTold(Event):
    """A hand said how long the machine was off before this boot, in milliseconds.

    ``low_ms`` to ``high_ms``; believed only inside what the clocks allow.
    """

    boot: str
    low_ms: int
    high_ms: int


@value
class ProgramFaulted(Event):
    """A fault of the program itself, once per fault."""

    fault: str
    digest: str


@value
class TextBlanked(Event):
    """An owner had the free text of some entries removed; the chain stays whole."""

    entries: tuple[int, ...]
    reason: FreeText


@value
class StoreContinued(Event):
    """A new store went on from a damaged one; says what of that one was whole.

    ``seq`` and ``hash`` are the last entry that its chain vouches for, ``first`` the
    hash of its first one, by which it is known; ``folder`` is where it was laid.
    """

    store: str
    first: str
    seq: int
    hash: str
    folder: str
    reason: FreeText


@value
class DamageAccepted(Event):
    """The owner saw what is damaged and goes on; a copy was set aside first.

    ``entries`` are those that are not what was written; they stay so, and stay said.
    """

    entries: tuple[int, ...]
    findings: tuple[str, ...]
    aside: str
    reason: FreeText


@value
class StateKept(Event):
    """The state after the entry before this one was kept, with this digest (hex)."""

    digest: str


@value
class OperatorClaimed(Event):
    """An operator took the station by a deliberate hand action."""

    who: str


@value
class CommandRefused(Event):
    """A gate or rule said no; kept so that it can be said in any language."""

    command: str
    code: str
    part: str
    numbers: Numbers


@value
class LimitSet(Event):
    """A limit that gates use was set to ``value``."""

    code: str
    value: float
    unit: str
    source: str
    reason: FreeText = ""


@value
class LimitValidated(Event):
    """A limit was loosened by a validation record, until its last day.

    ``document``, ``revision`` and ``record`` name it; ``until`` is ``YYYY-MM-DD``.
    """

    code: str
    value: float
    unit: str
    document: str
    revision: str
    record: str
    until: str
    reason: FreeText


@value
class CodeShapeSet(Event):
    """The practice set how its codes of a kind are written; empty: as they come."""

    kind: str
    shape: str
    reason: FreeText
