"""The demo practice in memory, with parts taken in: nothing on disk, no window."""

from functools import cache

from benchassist import assets
from benchassist.domain import commands as cm
from benchassist.library_file import parse_library
from tests.domain.builders import Desk


@cache
def library():
    return parse_library(
        assets.read_text("demo_cases", "practice.toml"),
        name="practice.toml",
        beside=lambda name: assets.read_text("demo_cases", name),
    )


def demo_desk():
    """Return a bench of the demo practice: a splint, and a crown in front."""
    desk = Desk(kind="demo", filed=library())
    for code, recipe, lot in (
        ("EX-21", "EX-RC-S r1", "EX-LT-S1"),
        ("EX-22", "EX-RC-C r1", "EX-LT-C1"),
    ):
        desk.must(
            cm.TakeIn(
                code,
                recipe,
                lot,
                lot,
                lamp="EX-LM-A",
                box="EX-BX-1",
                vessel="EX-GV-01",
                reason="stained later",
            )
        )
    return desk
