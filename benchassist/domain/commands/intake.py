"""Take a part in, choose it, put it together with others, change its equipment."""

from __future__ import annotations

from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.commands.base import Command, Held
from benchassist.domain.library import Variant
from benchassist.value import value


@value
class TakeIn(Command):
    """Take a part in; empty equipment codes leave the choice for later.

    ``before`` is the count a side of its body had on an earlier visit, by its own
    record; for a part that comes back. ``tray`` 0 takes the first that is free;
    ``reason`` says why it departs from its recipe, ``printed`` when it was printed
    (``YYYY-MM-DD``; empty: today).
    """

    part: str
    recipe: str
    print_lot: str
    coat_lot: str = ""
    stain_lot: str = ""
    lamp: str = ""
    box: str = ""
    vessel: str = ""
    peg: str = ""
    due: Instant | None = None
    variant: Variant | None = None
    before: int = 0
    tray: int = 0
    jaw: Literal["", "upper", "lower"] = ""
    tooth: str = ""
    prescriber: str = ""
    shade: str = ""
    reason: str = ""
    printed: str = ""


@value
class ChoosePart(Command):
    """Bring a part to the front by hand."""

    part: str


@value
class FormBasket(Command):
    """Put parts together so that they start and end by one action."""

    parts: tuple[str, ...]


@value
class LeaveBasket(Command):
    """Take a part out of its basket; ``tray`` 0 takes the first that is free."""

    part: str
    tray: int = 0


@value
class ChooseEquipment(Held, Command):
    """Use another lamp, box or vessel for a part."""

    part: str
    role: Literal["lamp", "box", "vessel"]
    code: str


@value
class ChooseLot(Held, Command):
    """Use another lot for a part."""

    part: str
    role: Literal["print", "coat", "stain"]
    lot: str


@value
class ChangePart(Held, Command):
    """Let a part in flight go on otherwise; what is left empty stays as it is.

    ``again`` puts one more wash or rinse where the part stands.
    """

    part: str
    reason: str
    variant: Variant | None = None
    print_lot: str = ""
    coat_lot: str = ""
    stain_lot: str = ""
    lamp: str = ""
    box: str = ""
    vessel: str = ""
    again: Literal["", "wash", "rinse"] = ""
    due: Instant | None = None


@value
class StepBack(Held, Command):
    """Go back to the stage before, to do it once more."""

    part: str
    reason: str
