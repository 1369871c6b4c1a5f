"""No place of the window has a fault, whatever became of the part in front."""

from itertools import islice

import pytest

from tests.ui.every_place import Shown, cases

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("_fonts")]
SHARES = 4  # of the cases, each a test


@pytest.mark.parametrize("share", range(SHARES))
def test_every_place_opens_for_a_part_of_every_kind_of_state(share, tmp_path):
    found = {}
    for case in islice(cases(), share, None, SHARES):
        shown = Shown(case, tmp_path)
        if amiss := shown.amiss():
            found[case.name] = amiss
        shown.close()

    assert found == {}


def test_every_kind_of_state_is_among_the_cases():
    new = {kind.strip() for case in cases() for kind in case.new}

    for kind in (
        "closed released", "closed scrapped", "on hold", "back, at disinfect",
        "back, at checks", "corrected released", "entered late", "in a basket",
        "recall released", "put right DoseCredited", "asks shut", "floated",
        "dropped-wet", "use as is", "ask prescriber", "rework", "by hand",
        "light seen: True scrapped", "nitrogen, held between: False",
    ):  # fmt: skip
        assert kind in new, kind


def test_a_place_with_a_fault_is_found(monkeypatch, tmp_path):
    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("benchassist.ui.present.story.view", broken)
    monkeypatch.setattr("benchassist.ui.places.change.ChangePage.fill", broken)
    shown = Shown(next(cases()), tmp_path)

    assert {"P", "C"} <= set(shown.amiss())
    shown.close()
