"""The demo practice in memory, and draws that are few."""

import pytest

from benchassist.ui.present.physics import forecast, tack
from tests.sums.demo import demo_desk


@pytest.fixture
def _few_draws(monkeypatch):
    """Draw little: how many draws there are is the bench's business."""
    for module in (forecast, tack):
        monkeypatch.setattr(module, "CHUNK", 4)
        monkeypatch.setattr(module, "CHUNKS", 1)


@pytest.fixture
def desk():
    return demo_desk()
