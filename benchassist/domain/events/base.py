"""What every event has in common, and the words its fields are made of.

Fields typed ``FreeText`` are typed by people; the journal keeps them apart.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from benchassist.clock import Instant
from benchassist.value import value

FreeText = Annotated[str, "free text"]
StoreKind = Literal["real", "demo", "training", "rehearsal"]
Evidence = Literal["observed", "paced", "computed", "assumed"]
Channel = Literal["pedal", "hand", "script", "tool"]
Numbers = tuple[tuple[str, float], ...]
RunBegun = Literal["", "earlier"]
RunOutcome = Literal["completed", "stopped", "unknown", "died with the PC"]
CouponFault = Literal["", "not set", "tacky at the end"]
DishState = Literal["open", "covered", "thrown away"]
Thing = Literal["part", "lamp"]
Level = Literal["watch", "every prompt", "gates only", "alone"]
Jaw = Literal["", "upper", "lower"]
CoatState = Literal["none", "wet", "tacked", "cured"]


@value
class Event:
    """The base of all events; ``version`` rises when a payload changes shape."""

    version: ClassVar[int] = 1


@value
class Entry:
    """An event with its place in the journal: who, when, by what channel.

    ``act`` is the first entry of the command that it was written by.
    """

    seq: int
    id: str
    at: Instant
    operator: str
    channel: Channel
    event: Event
    act: int = 0
