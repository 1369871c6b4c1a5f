"""What was done to keep the bench fit for work: bottles, baths, lamps, routines."""

from __future__ import annotations

from typing import Literal

from benchassist.domain.events.base import Event, FreeText
from benchassist.value import value

BottleAct = Literal["opened", "decanted", "stirred"]
LampAct = Literal["tip cleaned", "repaired", "tip changed"]
BoxReading = Literal["life counter", "light", "full run", "new lamp"]
Seen = Literal["clear", "hazy", "tinted", "debris", "sticky"]


@value
class KeepingSet(Event):
    """How long a material keeps once it is opened, as its papers say.

    Lives are in days, ``stir_min`` in minutes between stirrings; 0: not said.
    """

    material: str
    open_days: float
    decanted_days: float
    stir_min: float
    document: str
    revision: str


@value
class BottleHandled(Event):
    """A bottle was opened, some of it decanted, or it was stirred."""

    lot: str
    act: BottleAct


@value
class BathFilled(Event):
    """A wash bath was emptied and filled anew; what it has washed starts at none."""

    bath: str
    litres: float
    lot: str


@value
class BathMoved(Event):
    """The clean bath became the first one, with what it has washed."""

    bath: str
    to: str


@value
class BathMeasured(Event):
    """A bath was read by hydrometer: its density over water's, at a temperature.

    ``fresh`` is what the same hydrometer read in fresh solvent, because water in it
    shifts the reading as resin does; ``percent`` the resin by mass that follows.
    """

    bath: str
    density: float
    fresh: float
    celsius: float
    percent: float


@value
class GlycerineSeen(Event):
    """A vessel's glycerine was looked at, with print held behind it.

    ``density`` is a hydrometer's reading, in g/cm3 at ``celsius`` (0: none), and
    ``percent`` the glycerine by mass that follows.
    """

    vessel: str
    seen: Seen
    density: float = 0.0
    celsius: float = 0.0
    percent: float = 0.0


@value
class BoxRead(Event):
    """Something of a box was read: its life counter, its light, or one full run.

    ``value`` is the counter, a reading in one place by the same meter or coupon, or
    counts a second; of a new lamp the counter it begins at. ``logged`` is what runs
    gave since the counter was last read, at the most.
    """

    box: str
    what: BoxReading
    value: float
    logged: float = 0.0
    reason: FreeText = ""


@value
class LampServiced(Event):
    """A lamp's tip was cleaned or changed, or the lamp repaired."""

    lamp: str
    act: LampAct
    note: FreeText = ""


@value
class RoutineDone(Event):
    """A routine check was done; ``thing`` names what of several was looked at."""

    routine: str
    thing: str
    good: bool
    note: FreeText = ""
