"""The day ahead in the whole window: played by a worker, ordered by hand, never stale."""

import pytest
from PySide6.QtCore import QSize

from benchassist.domain import events as ev
from benchassist.ui.paint import Run
from tests.ui.screens import Moment, Stage

FULL = Moment("day", "08:40:51 confirm-load", "08:40:45 end", keys=("D",))
ROOMY = Moment(
    "day", "11:21:30 choose-part", "11:21:20 choose-part EX-10\n", keys=("D",)
)


@pytest.fixture
def open_stage(tmp_path, qtbot, _fonts):
    opened = []

    def open_(moment):
        stage = Stage(moment, tmp_path)
        opened.append(stage)
        stage.show_on((1366, 768), 0.253, "dark")
        qtbot.waitUntil(lambda: page(stage)._player.seen is not None, timeout=60_000)
        stage.look()
        return stage

    yield open_
    for stage in opened:
        stage.close()


def page(stage):
    return stage.window.pages._own["day"]


def chart(stage):
    return page(stage)._chart


def words(stage):
    return [run.text for run in chart(stage).runs()]


def events(stage, kind):
    entries = stage.player.session.journal.entries()
    return [each.event for each in entries if isinstance(each.event, kind)]


def test_the_day_says_across_the_room_what_holds_and_what_to_put_back(open_stage):
    stage = open_stage(FULL)
    (far,) = (run for run in chart(stage).runs() if run.reading == "far")

    assert "of 11 make it by 16:00. Put " in far.text
    assert any("makes it" in text for text in words(stage))
    assert any(text.startswith("Front desk: call about ") for text in words(stage))


def test_putting_back_is_one_key_on_record_and_the_day_is_played_anew(
    open_stage, qtbot
):
    stage = open_stage(FULL)
    before = page(stage)._player.seen
    part = before.outlook.back.code
    stage.press("1")

    assert [(e.part, e.wish) for e in events(stage, ev.PartOrdered)] == [(part, "back")]
    qtbot.waitUntil(lambda: page(stage)._player.seen is not before, timeout=60_000)
    stage.look()
    assert any(text.endswith("put back") for text in words(stage))


def test_a_refusal_is_on_record_and_is_not_offered_again(open_stage, qtbot):
    stage = open_stage(FULL)
    before = page(stage)._player.seen
    part = before.outlook.back.code
    stage.press("2")

    assert [each.part for each in events(stage, ev.PutBackRefused)] == [part]
    qtbot.waitUntil(lambda: page(stage)._player.seen is not before, timeout=60_000)
    back = page(stage)._player.seen.outlook.back
    assert back is None or back.code != part


def test_the_part_in_front_is_put_first_or_off_by_hand(open_stage):
    stage = open_stage(ROOMY)
    stage.press("1")
    stage.press("2")

    wishes = [(each.part, each.wish) for each in events(stage, ev.PartOrdered)]
    assert wishes[0] == ("EX-10", "first")
    assert len(wishes) == 2


def test_a_plan_a_minute_old_says_so_while_it_is_looked_at(open_stage):
    stage = open_stage(ROOMY)
    assert "played at" in page(stage)._title.view.right
    for _ in stage.pass_time(61_000):
        pass

    assert page(stage)._title.view.right == "this plan is 1:00 old"


def test_nothing_moves_the_focus_starts_or_drops_anything(open_stage, qtbot):
    stage = open_stage(FULL)
    before = stage.player.session.bench
    qtbot.wait(200)

    assert stage.player.session.bench == before


@pytest.mark.parametrize("size", [(1024, 768), (1366, 768), (1920, 1080)])
def test_no_word_of_the_chart_leaves_it_and_none_lies_on_another(open_stage, size):
    stage = open_stage(FULL)
    stage.show_on(size, 0.253, "dark")
    stage.look()
    stage.app.processEvents()
    runs = [run for run in chart(stage).runs() if run.text]
    area = chart(stage).rect()

    for run in runs:
        assert run.x >= 0, run
        assert run.rect.right() <= area.width() + 1, run
        assert run.baseline <= area.height() + 1, run
    for n, one in enumerate(runs):
        for other in runs[n + 1 :]:
            assert not _overlap(one, other), (one.text, other.text)


def _overlap(one: Run, other: Run) -> bool:
    box = one.capitals.adjusted(1, 1, -1, -1)
    return box.intersects(other.capitals.adjusted(1, 1, -1, -1))


def test_the_table_is_one_key_away(open_stage):
    stage = open_stage(ROOMY)
    (key,) = (
        option.key
        for option in chart(stage).view.options
        if option.text.startswith("Table")
    )
    stage.press(key)

    assert stage.window.pages._table.accessibleName().startswith("Day ")
    assert QSize(stage.window.size()).isValid()
