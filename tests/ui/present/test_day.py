"""The day ahead in words: what holds, what to put back, whom to call, how old it is."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.day_ahead import Outlook, Promise, PutBack
from benchassist.domain.day_play import Bar
from benchassist.domain.state import Ready, Soaking
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import day, tables
from benchassist.ui.present.fill import Gap
from benchassist.value import replace
from tests.domain.builders import Desk, desk_at

MINUTE_MS = 60_000


def bench_of(*minutes):
    """Return a desk with a part at fit for each appointment so many min ahead."""
    desk = desk_at("fit", phase=Ready, code="EX-9", due=None)
    for n, due in enumerate(minutes, start=1):
        desk.take(f"EX-{n}")
        desk.work(f"EX-{n}", "fit", Ready)
        part = replace(desk.part(f"EX-{n}"), due=desk.now.plus(due * MINUTE_MS))
        desk.bench = desk.bench.with_part(part)
    parts = {
        code: replace(part, due=desk.now.plus(minutes[int(code[3:]) - 1] * MINUTE_MS))
        for code, part in desk.bench.parts.items()
        if code != "EX-9"
    }
    desk.bench = replace(desk.bench, parts={**desk.bench.parts, **parts}, focus="EX-1")
    return desk


def promise(code, due, chance, done=10, late=20):
    words = "holds" if chance >= 0.8 else "open" if chance >= 0.5 else "will not"
    due_ms = None if due is None else due * MINUTE_MS
    ends = done * MINUTE_MS, late * MINUTE_MS
    return Promise(code, due_ms, chance, *ends, words, counted=due is not None)


def seen(desk, *promises, back=None, bars=()):
    found = (promise("EX-9", None, 1.0), *promises)
    return day.Seen(Outlook(found, back, bars), desk.now, day.asked(desk.bench))


def shown(desk, found):
    return day.view(desk.bench, desk.now, found)


def at(desk, minutes):
    return f"{desk.now.plus(minutes * MINUTE_MS).local():%H:%M}"


def test_an_empty_bench_says_what_to_do():
    found = shown(Desk(), None)

    assert found.why == "Nothing is in work. Key N takes a part in."
    assert found.rows == ()


def test_before_the_first_answer_the_parts_are_there_and_it_says_so():
    found = shown(bench_of(60), None)

    assert [row.code for row in found.rows] == ["EX-9", "EX-1"]
    assert found.why == "The day is being played."


def test_the_far_line_counts_what_holds_today_and_says_what_to_put_back_and_why():
    desk = bench_of(60, 90, 2000)
    back = PutBack("EX-1", "EX-2", 0.7, 30 * MINUTE_MS)
    three = (
        promise("EX-1", 60, 0.9),
        promise("EX-2", 90, 0.3),
        promise("EX-3", 2000, 1.0),
    )
    found = shown(desk, seen(desk, *three, back=back))

    assert found.far == f"1 of 2 make it by {at(desk, 90)}. Put EX-1 back"
    assert found.why == f"by {at(desk, 30)}, then EX-2 makes it"
    assert [option.text for option in found.options[:2]] == [
        "Put EX-1 back",
        "Keep EX-1 in turn",
    ]
    assert found.options[0].command == cm.OrderPart("EX-1", "back")
    assert found.options[1].command == cm.RefusePutBack("EX-1")


def test_past_its_latest_time_it_is_put_back_now():
    desk = bench_of(60, 90)
    two = promise("EX-1", 60, 0.9), promise("EX-2", 90, 0.3)
    found = seen(desk, *two, back=PutBack("EX-1", "EX-2", 0.7, 30_000))
    desk.wait(31)

    assert shown(desk, found).why == "now, then EX-2 makes it"


def test_where_all_hold_or_nothing_helps_it_says_so():
    desk = bench_of(60)
    assert shown(desk, seen(desk, promise("EX-1", 60, 0.9))).why == "All of them hold."
    will_not = seen(desk, promise("EX-1", 60, 0.1))
    told = "Putting one part off saves no other appointment."
    assert shown(desk, will_not).why == told

    alone = desk_at("fit", phase=Ready, code="EX-9", due=None)
    assert shown(alone, seen(alone)).why == "No part in work has an appointment."


@pytest.mark.parametrize(
    ("chance", "word", "tone"),
    [(0.9, "holds", "good"), (0.6, "open", "plain"), (0.1, "will not", "attention")],
)
def test_a_row_says_when_it_is_ready_for_when_and_whether_that_holds(
    chance, word, tone
):
    desk = bench_of(60)
    (_, row) = shown(desk, seen(desk, promise("EX-1", 60, chance, 40, 55))).rows

    assert row.right == f"{at(desk, 40)} for {at(desk, 60)}, {word}, estimate"
    assert row.tone == tone
    assert (row.due_ms, row.done_ms, row.late_ms) == (
        60 * MINUTE_MS,
        40 * MINUTE_MS,
        55 * MINUTE_MS,
    )
    assert row.front


def test_a_wish_is_said_and_can_be_taken_back():
    desk = bench_of(60)
    desk.must(cm.OrderPart("EX-1", "not today"))
    answer = promise("EX-1", 60, 0.1)
    found = shown(desk, seen(desk, replace(answer, counted=False)))

    assert found.rows[1].right.endswith("not today")
    assert found.rows[1].tone == "quiet"
    wishes = [
        o.command.wish for o in found.options if isinstance(o.command, cm.OrderPart)
    ]
    assert wishes == ["first", "back", "as due"]


def test_a_plan_that_is_a_minute_old_says_so_and_moves_on():
    desk = bench_of(60)
    bars = (
        Bar("EX-1", "fit", "hands", 0, 30_000),
        Bar("EX-1", "fit", "hands", 120_000, 240_000, ""),
    )
    found = seen(desk, promise("EX-1", 60, 0.9, 40, 55), bars=bars)
    assert shown(desk, found).right == f"played at {at(desk, 0)}"
    desk.wait(60)
    view = shown(desk, found)

    assert view.right == "this plan is 1:00 old"
    row = view.rows[1]
    assert (row.due_ms, row.done_ms) == (59 * MINUTE_MS, 39 * MINUTE_MS)
    assert [(bar.start_ms, bar.end_ms) for bar in row.bars] == [(60_000, 180_000)]


def test_bars_that_touch_are_one_and_others_stay_apart():
    desk = bench_of(300)
    bars = tuple(
        Bar("EX-1", "a", kind, start * MINUTE_MS, end * MINUTE_MS, place)
        for kind, start, end, place in (
            ("hands", 0, 5, ""),
            ("hands", 5, 8, ""),
            ("hands", 20, 30, ""),
            ("place", 8, 15, "BX-1"),
        )
    )
    view = shown(desk, seen(desk, promise("EX-1", 300, 0.9), bars=bars))

    spans = [
        (each.kind, each.start_ms // MINUTE_MS, each.end_ms // MINUTE_MS)
        for each in view.rows[1].bars
    ]
    assert spans == [("hands", 0, 8), ("place", 8, 15), ("hands", 20, 30)]
    assert [(lane.code, len(lane.bars)) for lane in view.lanes] == [
        ("box BX-1", 1),
        ("hands OP-1", 2),
    ]


def test_parts_of_one_tray_and_time_share_a_row_and_the_last_of_them_counts():
    desk = Desk()
    due = desk.now.plus(300 * MINUTE_MS)
    for code in ("EX-1", "EX-2"):
        desk.take(code, due=due)
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    two = promise("EX-1", 300, 0.9, 40, 50), promise("EX-2", 300, 0.9, 45, 60)
    found = day.Seen(Outlook(two, None, ()), desk.now, day.asked(desk.bench))
    (row,) = shown(desk, found).rows

    assert (row.key, row.code, row.what) == ("F1", "EX-1", "2 crowns")
    assert (row.done_ms, row.late_ms) == (45 * MINUTE_MS, 60 * MINUTE_MS)


def test_the_front_desk_calls_about_the_first_that_will_not_make_it():
    desk = bench_of(60, 90)
    two = promise("EX-1", 60, 0.1), promise("EX-2", 90, 0.2)
    (told, *_) = shown(desk, seen(desk, *two)).notes
    assert told == (
        f"Front desk: call about EX-1 ({at(desk, 60)}) by {at(desk, 30)}. "
        "EX-2 will not either."
    )
    found = seen(desk, *two)
    desk.wait(31 * 60)

    assert " now. " in shown(desk, found).notes[0]


def test_the_brush_says_until_when():
    desk = desk_at("wash-1", phase=Soaking, due=None)

    told = shown(desk, None).notes[-1]

    # A patch may take 120 s, and so does the wash; then 20 s for gloves and the walk.
    until = f"{desk.now.plus(140_000).local():%H:%M}"
    assert told == f"Brush: shut until {until} (EX-1, wash 1)."
    told = shown(desk_at("fit"), None).notes[-1]
    assert told == "Brush: open, no bath or box run is in its way."


def test_what_it_is_played_with_is_shown_and_changed_on_the_table():
    desk = bench_of(60)
    (link,) = (o for o in shown(desk, None).options if isinstance(o.command, OpenPage))
    table = tables.TABLES[link.command.page](desk.bench, desk.now)

    assert table.note == (
        "Played with 7.0 calls an hour of 58 s (estimate), 30 min a day kept free "
        "(estimate)."
    )
    assert [option.key for option in table.options] == list("123")
    codes = {
        option.command.command.code
        for option in table.options
        if isinstance(option.command, Gap)
        and isinstance(option.command.command, cm.SetLimit)
    }
    assert codes == {"calls_per_h", "call_s", "walk_in_min"}
    assert all(option.key for option in table.options)


# --- when it is played anew -----------------------------------------------------------


def test_it_is_played_anew_at_once_when_a_part_arrives_closes_or_is_ordered():
    desk = bench_of(60)
    found = seen(desk, promise("EX-1", 60, 0.9))
    assert day.is_stale(None, desk.bench, desk.now)
    assert not day.is_stale(found, desk.bench, desk.now)

    for command in (
        cm.OrderPart("EX-1", "first"),
        cm.RefusePutBack("EX-1"),
        cm.SetLimit("walk_in_min", 5, "quiet day"),
        cm.ScrapPart("EX-9", "lost"),
    ):
        desk.must(command)
        assert day.is_stale(found, desk.bench, desk.now), command
        found = seen(desk)


def test_a_stage_that_ends_counts_once_the_answer_is_a_minute_old():
    desk = desk_at("supports", phase=Ready, due=None)
    found = seen(desk)
    desk.must(cm.FinishStage("EX-1"))
    assert not day.is_stale(found, desk.bench, desk.now)
    desk.wait(60)
    assert day.is_stale(found, desk.bench, desk.now)

    found = seen(desk)
    desk.wait(14 * 60 + 59)
    assert not day.is_stale(found, desk.bench, desk.now)
    desk.wait(1)
    assert day.is_stale(found, desk.bench, desk.now)


def test_the_play_of_a_bench_is_of_that_moment():
    desk = bench_of(60)
    playing = day.playing(desk.bench, desk.now)
    slices = 0
    while True:
        try:
            next(playing)
        except StopIteration as done:
            found = done.value
            break
        slices += 1

    assert slices > 5
    assert found.at == desk.now
    assert {each.code for each in found.outlook.promises} == set(desk.bench.parts)
