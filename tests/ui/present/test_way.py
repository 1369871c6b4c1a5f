"""The way of the part in front: behind, at hand, ahead; drying is a step of its own."""

from benchassist.domain import commands as cm
from benchassist.domain.state import Ready, Soaking
from benchassist.ui.present.look import look
from benchassist.ui.present.rows import slacks
from tests.domain.builders import desk_at


def way(desk):
    return look(desk.bench, desk.now).way


def test_the_way_has_every_stage_once_and_one_at_hand():
    desk = desk_at("wash-2", phase=Soaking)
    stops = way(desk).stops

    assert len(stops) == len(desk.part().route)
    assert [stop.state for stop in stops[:3]] == ["done", "now", "ahead"]
    assert [stop.name for stop in stops[:3]] == ["wash 1", "wash 2", "dry, 15 min"]
    assert [stop.state for stop in stops].count("now") == 1


def test_when_it_is_ready_is_said_where_a_time_was_promised():
    desk = desk_at("wash-1", phase=Soaking)
    assert way(desk).right == ""
    desk = desk_at("wash-1", phase=Soaking, due=desk.now.plus(3 * 3600_000))
    due = desk.part().due.local()
    found = slacks(desk.bench, desk.now)
    told = look(desk.bench, desk.now, slack=found).way.right
    ready = desk.part().due.plus(-found["EX-1"]).local()

    assert told == f"ready {ready:%H:%M} for {due:%H:%M}"


def test_while_a_coat_is_wet_or_the_bench_asks_there_is_no_way():
    desk = desk_at("coat-1", phase=Ready)
    assert way(desk) is not None
    desk.must(cm.OpenLampSession("LM-A"), cm.WetBrush("EX-1"))
    assert way(desk) is None
    desk.must(cm.CallAway())
    assert way(desk) is None


def test_a_number_to_be_set_on_the_box_is_as_large_as_a_countdown():
    desk = desk_at("half-1", phase=Ready)
    found = look(desk.bench, desk.now).countdown

    assert (found.big, found.unit) == ("2200", "flashes")
    assert found.lines == ("of 4400 in all",)
    assert found.fill is None
