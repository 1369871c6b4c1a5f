"""The bottle in hand, asked at each coat: what goes on record with the brush.

The press that wets the brush says that it is the bottle named over it; another one is
scanned, or its lot typed, and looked at before it is taken.
"""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.layer import lot_for
from benchassist.domain.shelf import LotRole, allowed
from benchassist.domain.state import Bench, Part
from benchassist.scan import ScanError, read
from benchassist.ui.actions import TakeBottle
from benchassist.ui.present import shelf
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.forms import GS_SHOWN
from benchassist.ui.present.intake_words import good_to
from benchassist.ui.view import FormView, Option, Panel, Tone
from benchassist.ui.words import say


def bottle_panel(bench: Bench, part: Part, now: Instant) -> tuple[Panel, ...]:
    """Return which bottle goes on record with the brush."""
    if not part.stage.layer:
        return ()
    lot = lot_for(part, part.stage.layer)
    lasts, pressing = good_to(bench, lot, now)
    told = (lasts, say("pressing confirms this bottle"))
    tone: Tone = "attention" if pressing else "plain"
    return (Panel(say("BOTTLE IN HAND"), lot or "none", tone, told),)


def role_of(part: Part) -> LotRole:
    """Return what the bottle of the layer at hand is for."""
    return "stain" if part.stage.layer.startswith("stain") else "coat"


def another(part: Part) -> tuple[Option, ...]:
    """Return the way to take another bottle than the one named."""
    if not part.stage.layer:
        return ()
    role = role_of(part)
    return (
        Option(
            say("Another bottle in hand: scan it"),
            "1",
            Gap(TakeBottle(part.code, role), "typed"),
            needs_text=say(
                "Scan the {role} bottle in hand, or type its lot", role=role
            ),
        ),
    )


def taken(bench: Bench, action: TakeBottle) -> cm.ChooseLot | None:
    """Return the command for the bottle that was scanned or typed.

    None where its lot is not on the shelf yet.

    Raises
    ------
    ScanError
        With one sentence, where it is neither a lot on file nor a label.
    """
    typed = action.typed.replace(GS_SHOWN, "\x1d").strip()
    lot = next((each for each in bench.lots if each.upper() == typed.upper()), "")
    if not lot:
        label = read(typed)
        if not label.lot:
            told = say("That label names no lot: scan the other one, or type the lot.")
            raise ScanError(told)
        lot = label.lot if label.lot in bench.lots else ""
    return cm.ChooseLot(action.part, action.role, lot) if lot else None


def new(bench: Bench, wanted: TakeBottle, error: str) -> FormView:
    """Return the form for a bottle in hand that is not on the shelf yet."""
    recipe = bench.recipe_of(bench.parts[wanted.part])
    likely = next(iter(allowed(recipe, wanted.role)), "")
    return shelf.BOTTLE.view(bench, error, scan=wanted.typed, material=likely)
