"""Whatever the engine lets a hand do can be done from the window."""

import re
from pathlib import Path

import benchassist.ui
from benchassist.domain import commands as cm

# What the program itself notes: at opening, at each look, when a clock was stepped.
BY_ITSELF = {
    "AcceptDamage", "ContinueStore", "CreateStore", "NoteGap", "NoteWallStep",
    "Reopen", "Tick",
}  # fmt: skip
# What the foot does, by the pedal table.
BY_FOOT = {
    "BackOne", "BreakSpot", "FinishStage", "GoOn", "HoldHere", "LightTab", "Quiet",
    "StartRun", "StartStage", "StartWalk", "StopTab", "TakeOut", "WetBrush",
}  # fmt: skip

HERE = Path(benchassist.ui.__file__).parent
DOMAIN = HERE.parent / "domain"


def commands():
    found = (getattr(cm, name) for name in dir(cm))
    kinds = (each for each in found if isinstance(each, type))
    return {
        each.__name__
        for each in kinds
        if issubclass(each, cm.Command) and each is not cm.Command
    }


def named_in(text, names):
    """Return the commands that a text makes: by a call, or by a form's ``as_read``."""
    return {
        name
        for name in names
        if re.search(rf"\b(?:cm\.)?{name}\(|\bas_read\(cm\.{name}\)", text)
    }


def test_every_command_a_hand_may_give_has_a_way_in_the_window():
    """A new command without a key and a place to press fails here."""
    text = "\n".join(file.read_text() for file in sorted(HERE.rglob("*.py")))
    offered = named_in(text, commands())

    assert commands() - offered - BY_ITSELF - BY_FOOT == set()


def test_what_the_foot_does_is_in_the_pedal_table():
    files = ("pedal.py", "pedal_acts.py", "pedal_coupon.py")
    there = [DOMAIN / name for name in files if (DOMAIN / name).exists()]
    text = "\n".join(file.read_text() for file in there)

    assert named_in(text, BY_FOOT) == BY_FOOT
    assert commands() >= BY_FOOT | BY_ITSELF
