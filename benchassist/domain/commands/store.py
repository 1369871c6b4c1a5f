"""The program's own wishes: its store, its clock, its restarts and faults."""

from __future__ import annotations

from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.commands.base import Command, Held
from benchassist.domain.events.carried import CarriedForward
from benchassist.domain.library import (
    Box,
    Coupon,
    Curve,
    Lamp,
    Lot,
    Material,
    Meter,
    Recipe,
    Vessel,
)
from benchassist.value import value


@value
class CreateStore(Command):
    """Begin a journal of a kind that never changes."""

    kind: Literal["real", "demo", "training", "rehearsal"]
    store_id: str
    station: str
    zone: str


@value
class Reopen(Command):
    """The program opened an existing journal."""

    program_version: str
    last_heartbeat: Instant | None


@value
class Tick(Command):
    """Time passed; ``gap_ms`` is how long ago the last tick was."""

    gap_ms: int = 0


@value
class NoteWallStep(Command):
    """The wall clock stepped against the monotonic one."""

    step_ms: int


@value
class NoteGap(Command):
    """No look for ``gap_ms``: the machine slept, or the program stood still."""

    gap_ms: int


@value
class TellDark(Held, Command):
    """Say how long the machine was off: as the clocks say, in minutes, or not known.

    ``minutes`` is what was typed: ``6``, or ``5-10`` for at least and at most.
    """

    how: Literal["clocks", "minutes", "not sure"]
    minutes: str = ""


@value
class NoteFault(Command):
    """The program itself failed somewhere; ``digest`` names the fault."""

    fault: str
    digest: str


@value
class ContinueStore(Command):
    """Go on in this store from a damaged one; see the events of that name.

    ``carried`` is what was known there beside its shelf.
    """

    store: str
    first: str
    seq: int
    hash: str
    folder: str
    reason: str
    carried: CarriedForward | None = None


@value
class AcceptDamage(Command):
    """The owner goes on with a store in which these entries are damaged."""

    entries: tuple[int, ...]
    findings: tuple[str, ...]
    aside: str
    reason: str


@value
class FileLibrary(Command):
    """File what a library file holds; all of it or nothing.

    A coupon comes with the local day it was done, empty for today.
    """

    curves: tuple[Curve, ...] = ()
    materials: tuple[Material, ...] = ()
    lots: tuple[Lot, ...] = ()
    lamps: tuple[Lamp, ...] = ()
    boxes: tuple[Box, ...] = ()
    vessels: tuple[Vessel, ...] = ()
    meters: tuple[Meter, ...] = ()
    recipes: tuple[Recipe, ...] = ()
    readings: tuple[tuple[str, float], ...] = ()
    fills: tuple[tuple[str, str, int], ...] = ()
    coupons: tuple[tuple[Coupon, str], ...] = ()
    limits: tuple[tuple[str, float, str], ...] = ()


@value
class SetLimit(Held, Command):
    """Set a limit that gates use.

    Past its default only by a validation record: ``document``, its ``revision``, its
    number ``record`` and the last day it holds, ``until`` (``YYYY-MM-DD``).
    """

    code: str
    value: float
    reason: str
    document: str = ""
    revision: str = ""
    record: str = ""
    until: str = ""


@value
class SetCodeShape(Held, Command):
    """Set how codes of a kind are written: # a digit, @ a letter, * the rest."""

    kind: Literal["part", "operator", "prescriber", "lot", "equipment", "tooth"]
    shape: str
    reason: str
