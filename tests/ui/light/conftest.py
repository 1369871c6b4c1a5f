"""The demo practice in memory, with parts taken in: nothing on disk, no window."""

import pytest

from benchassist import assets
from benchassist.domain import commands as cm
from benchassist.library_file import parse_library
from benchassist.ui.present.physics import forecast, tack
from tests.domain.builders import Desk


def _library():
    return parse_library(
        assets.read_text("demo_cases", "practice.toml"),
        name="practice.toml",
        beside=lambda name: assets.read_text("demo_cases", name),
    )


@pytest.fixture
def _few_draws(monkeypatch):
    """Draw little: how many draws there are is the bench's business."""
    for module in (forecast, tack):
        monkeypatch.setattr(module, "CHUNK", 4)
        monkeypatch.setattr(module, "CHUNKS", 1)


@pytest.fixture(scope="session")
def library():
    return _library()


@pytest.fixture
def desk(library):
    """Return a bench of the demo practice: a splint, and a crown in front."""
    desk = Desk(kind="demo", filed=library)
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
