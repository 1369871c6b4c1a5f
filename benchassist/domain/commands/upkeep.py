"""Keeping the bench fit for work: bottles, baths, lamps, routine checks."""

from __future__ import annotations

from benchassist.domain.commands.base import Command, Held
from benchassist.domain.events.upkeep import BottleAct, BoxReading, LampAct, Seen
from benchassist.value import value


@value
class SetKeeping(Held, Command):
    """Enter how long a material keeps once opened, from its papers; 0: not said."""

    material: str
    open_days: float
    decanted_days: float
    stir_min: float
    document: str
    revision: str


@value
class HandleBottle(Command):
    """Enter that a bottle was opened, decanted or stirred."""

    lot: str
    act: BottleAct


@value
class FillBath(Held, Command):
    """Empty a wash bath and fill it with fresh solvent."""

    bath: str
    litres: float
    lot: str = ""


@value
class RotateBaths(Held, Command):
    """Discard the first bath, let the clean one take its place, fill that anew."""

    first: str
    clean: str
    litres: float
    lot: str = ""


@value
class MeasureBath(Command):
    """Enter a hydrometer's reading of a bath, and of fresh solvent beside it."""

    bath: str
    density: float
    fresh: float
    celsius: float = 20.0


@value
class SeeGlycerine(Held, Command):
    """Enter how a vessel's glycerine looks, and what a hydrometer reads in it."""

    vessel: str
    seen: Seen
    density: float = 0.0
    celsius: float = 20.0


@value
class ReadBox(Held, Command):
    """Enter a reading of a box; of a full run its counts, and how long it took.

    A counter that does not agree with what was logged wants a reason.
    """

    box: str
    what: BoxReading
    value: float
    seconds: float = 0.0
    reason: str = ""


@value
class SetNitrogen(Held, Command):
    """Enter flow in L/min, the room to be flushed in L, and oxygen left in vol%.

    0: not known, or no meter for it.
    """

    flow_l_min: float
    chamber_l: float
    oxygen_percent: float
    reason: str


@value
class ServiceLamp(Command):
    """Enter that a lamp's tip was cleaned or changed, or the lamp repaired."""

    lamp: str
    act: LampAct
    note: str = ""


@value
class DoRoutine(Command):
    """Enter a routine check; one that is not good wants a note."""

    routine: str
    good: bool
    thing: str = ""
    note: str = ""
