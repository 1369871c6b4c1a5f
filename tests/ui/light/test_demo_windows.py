"""The demo practice tacks inside its windows: a warning at every coat is none."""

import pytest

from benchassist.domain import commands as cm
from benchassist.physics.coat_tack import SKIN_LIMIT_UM
from benchassist.sums.coat import coating
from benchassist.sums.subject import subject
from benchassist.ui.present.physics import forecast, tack

DRAWS = 24  # as many as the page has when it first shows the band


@pytest.fixture(
    params=[
        ("EX-22", "EX-LM-A", 10),
        ("EX-22", "EX-LM-C", 17),
        ("EX-21", "EX-LM-A", 10),
        ("EX-21", "EX-LM-C", 17),
    ],
    ids=str,
)
def planned(request, desk, monkeypatch):
    """Return a crown's or a splint's coats, tacked as the light check asks."""
    for module in (forecast, tack):
        monkeypatch.setattr(module, "CHUNK", DRAWS)
        monkeypatch.setattr(module, "CHUNKS", 1)
    part, lamp, seconds = request.param
    desk.must(cm.ChoosePart(part))
    made = coating(desk.bench, subject(desk.bench, desk.now, lamp))

    assert made.subject.part.code == part
    assert made.planned_s == seconds
    return made


def test_what_is_planned_lies_inside_the_window_and_three_times_it_beyond(
    desk, planned
):
    drawn = tack.drawn(planned, tack.central(planned), lambda: False)

    view = tack.tack_view(desk.bench, planned, drawn)

    assert len(drawn.pairs) == 1 + DRAWS
    assert view.verdict.endswith("lies inside the window.")
    assert view.fits
    ends = (tack._three([pair[n] for pair in drawn.pairs]) for n in (0, 1))
    told, fits = tack.judged(3 * planned.planned_s, *ends)
    assert "too long" in told
    assert not fits


def test_the_second_half_leaves_no_more_skin_than_is_allowed(planned):
    setting = forecast.Setting(planned.coat_um, 1.0, planned.planned_s)

    ends = forecast.drawn(planned, setting, lambda: False).ends

    assert max(ends["glycerine"].soft_um) <= SKIN_LIMIT_UM
    assert min(ends["air"].soft_um) > SKIN_LIMIT_UM
