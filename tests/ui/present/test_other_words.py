"""What a look decides hangs on the record, never on the words it is said in."""

from types import SimpleNamespace

import pytest

from benchassist.clock import DAY_MS, HOUR_MS
from benchassist.domain import commands as cm
from benchassist.domain.standing import Standing
from benchassist.domain.state import Ready, Soaking
from benchassist.ui.present import day_end, intake_sheet, story
from benchassist.ui.present.intake_draft import begun
from benchassist.ui.present.look import look
from benchassist.ui.present.physics import eyes, working_time
from benchassist.ui.present.shown import month
from benchassist.ui.words import look_up_by
from benchassist.value import replace
from tests.domain.builders import Desk, desk_at
from tests.ui.light.test_eyes_words import at_the_coat, lamp_of, tacked
from tests.ui.longer import longer


@pytest.fixture(params=["English", "longer words"])
def _spoken(request):
    look_up_by(longer if request.param == "longer words" else None)
    yield
    look_up_by(None)


pytestmark = pytest.mark.usefixtures("_spoken")


def test_glasses_not_shown_for_a_lamp_never_stretch_its_limit():
    desk = at_the_coat(1000)
    desk.must(cm.SetLimit("part_reflectance", 40.0, "a mirror, for the test"))
    bare = eyes.notice(desk.bench, desk.part(), desk.now)
    desk.must(cm.ShowGlasses("OP-1", "orange", 420, 525, 0.001))

    assert bare
    assert not eyes.budget(desk.bench, desk.now, "LM-A").shown
    assert eyes.notice(desk.bench, desk.part(), desk.now) == bare


def test_light_past_its_limit_is_marked():
    desk = tacked(lamp_of(nm=460, fwhm=25))
    assert not look(desk.bench, desk.now).past
    desk.must(cm.SetLimit("part_reflectance", 8.0, "a mirror, for the test"))

    assert look(desk.bench, desk.now).past


def test_an_open_dish_is_known_from_a_covered_one():
    desk = Desk()
    desk.must(cm.ChangeDish("L-COAT", "open", "bench", 0.75))
    assert not working_time.room_view(desk.bench, desk.now).dishes[0].covered
    desk.must(cm.ChangeDish("L-COAT", "covered"))

    assert working_time.room_view(desk.bench, desk.now).dishes[0].covered


def test_a_bottle_past_its_day_is_told_in_straw():
    desk = Desk()
    draft = replace(begun(desk.bench, desk.now), step="how", coat_lot="L-OLD")
    rows = intake_sheet.sheet(desk.bench, draft, desk.now).rows

    assert {row.name: row.tone for row in rows}["coat_lot"] == "attention"


@pytest.mark.parametrize(
    ("stage", "phase", "tone"),
    [("fit", Ready, "plain"), ("wash-1", Soaking, "attention")],
)
def test_a_part_that_is_harmed_before_the_morning_is_told_in_straw(stage, phase, tone):
    desk = desk_at(stage, phase=phase)
    (row,) = day_end.night(desk.bench, desk.now)

    assert row.tone == tone, row.right


def test_after_midnight_is_before_the_morning():
    """A hold of 24 h ends at 2:00 for who goes home at 18:00."""
    desk = desk_at("fit", phase=Ready)
    desk.must(cm.HoldPart("EX-1", "phone"))
    whole = Standing(desk.bench, desk.part(), desk.now).need.harm_ms
    tones = [
        day_end.night(desk.bench, desk.now.plus(whole - left_h * HOUR_MS))[0].tone
        for left_h in (24, 17, 8, 1)
    ]

    assert tones == ["plain", "plain", "attention", "attention"]


def test_the_days_along_a_long_way_are_said():
    began = Desk().now
    way = SimpleNamespace(began=began, until_ms=5 * DAY_MS)
    named = [name for _, name in story._ticks(way)]

    days = (began.plus(n * DAY_MS).local() for n in range(1, 6))
    assert named == [month(day) for day in days]
