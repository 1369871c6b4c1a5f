"""A part taken in, chosen, put together with others, given its equipment."""

from __future__ import annotations

from typing import ClassVar, Literal

from benchassist.clock import Instant
from benchassist.domain.events.base import Event, FreeText, Jaw, Numbers
from benchassist.domain.library import Variant
from benchassist.domain.route import Stage
from benchassist.value import value


@value
class PartTaken(Event):
    """A part was taken in: recipe revision pinned, route built and stored.

    ``before`` is what its body had on an earlier visit, by its own record:
    side, low and high bound. ``tray`` is where it lies from now on (0: entries from
    before there were trays), ``jaw``, ``tooth``, ``shade`` and ``prescriber`` are as
    the slip says, ``reason`` why it departs from its recipe;
    ``printed`` is the day of its printing ("": nobody was asked, that of its intake).
    """

    version: ClassVar[int] = 2

    part: str
    recipe: str
    variant: Variant
    route: tuple[Stage, ...]
    print_lot: str
    coat_lot: str
    stain_lot: str
    lamp: str
    box: str
    vessel: str
    peg: str
    due: Instant | None
    before: tuple[tuple[str, int, int], ...] = ()
    tray: int = 0
    jaw: Jaw = ""
    tooth: str = ""
    prescriber: str = ""
    shade: FreeText = ""
    reason: FreeText = ""
    printed: str = ""


@value
class PartChosen(Event):
    """The operator chose a part by hand."""

    part: str


@value
class FocusMoved(Event):
    """The tool brought a part to the front because it became due."""

    part: str


@value
class BasketFormed(Event):
    """Parts were put together; they start and end by one action."""

    basket: str
    parts: tuple[str, ...]


@value
class BasketLeft(Event):
    """A part was taken out of its basket, into a tray of its own."""

    basket: str
    part: str
    tray: int


@value
class EquipmentChosen(Event):
    """Another lamp, box or vessel was chosen for a part by hand."""

    part: str
    role: Literal["lamp", "box", "vessel"]
    code: str


@value
class LotChosen(Event):
    """Another lot was chosen for a part by hand."""

    part: str
    role: Literal["print", "coat", "stain"]
    lot: str


@value
class GateAccepted(Event):
    """A hand accepted a gate's warning, with a reason; ``scope`` is what for."""

    gate: str
    scope: str
    part: str
    reason: FreeText
    numbers: Numbers


@value
class ThingAccepted(Event):
    """A hand accepted a gate's warning for a thing, not for one part, until a day.

    ``scope`` names the things (a lamp on a material, a box with a vessel), ``until``
    is the last day as ``YYYY-MM-DD``, ``part`` the one in front when it was asked.
    """

    gate: str
    scope: str
    part: str
    until: str
    reason: FreeText
    numbers: Numbers


@value
class PartChanged(Event):
    """A part in flight goes on otherwise; what was done stays as it was done.

    ``changes`` says in words what, what it was, what it is. Codes are empty where
    they stay; ``route`` and ``variant`` are whole, and ``at`` where it stands.
    """

    part: str
    variant: Variant
    route: tuple[Stage, ...]
    at: int
    changes: tuple[tuple[str, str, str], ...]
    reason: FreeText
    print_lot: str = ""
    coat_lot: str = ""
    stain_lot: str = ""
    lamp: str = ""
    box: str = ""
    vessel: str = ""
    due: Instant | None = None


@value
class StageReopened(Event):
    """A part goes back to the stage before, which is done once more."""

    part: str
    stage: str
    at: int
    reason: FreeText
