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
    the slip says, ``reason`` why it departs from its recipe.
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
