"""NEXT, list, rail, slim line, appointment and people pages say one thing of a part.

At 500 random moments of the rehearsed day, drawn by a fixed seed.
"""

import random
from functools import partial

import pytest

from benchassist.domain.advice import hand_over_list
from benchassist.domain.plan import plan_for
from benchassist.domain.standing import Standings
from benchassist.rehearsal import Player, load_script
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.present import people, plan
from benchassist.ui.present.look import look
from benchassist.ui.present.rows import (
    next_of,
    next_words,
    slacks,
    tasks,
    then_words,
)

MOMENTS = 500
SEED = 20260302


def _same(book):
    return book


@pytest.fixture(scope="module")
def moments():
    """Return moments of the day: after an event, and some seconds into what runs."""
    player = Player(load_script("day"), partial(_same, MemoryJournal()))
    seen = []
    last = -1
    chance = random.Random(SEED)
    for _ in player.moments():
        session = player.session
        if session.bench.seq != last:
            last = session.bench.seq
            later = session.now().plus(chance.randrange(0, 120_000))
            seen += [(session.bench, session.now()), (session.bench, later)]
    assert len(seen) >= MOMENTS
    return chance.sample(seen, MOMENTS)


def by_code(rows):
    return {code: row for row in rows for code in (row.code, *row.others)}


def test_next_list_rail_and_slim_line_name_one_part_in_one_sentence(moments):
    for bench, now in moments:
        view = look(bench, now)
        follows = next_of(view.rows)

        assert sum(row.next for row in view.rows) == (follows is not None)
        assert view.next_line == next_words(follows)
        if follows is None:
            continue
        assert view.next_line.startswith(f"{follows.code}: ")
        assert (follows.far or follows.line) in view.next_line
        assert follows.right in view.next_line
        assert view.slim.next_code == follows.code
        if follows.right == "no hurry":
            assert not view.slim.next_right  # far letters have room for no more
        elif not follows.right.startswith(("late", "after")):
            assert view.slim.next_right == follows.right
        assert follows.code != bench.focus
        aside = then_words(view.rows)
        assert view.next_aside == aside or view.spots is not None
        rows = by_code(view.rows)
        for tag in (tag for tag in view.tags if tag.code):
            row = rows[tag.code]
            assert (tag.word, tag.needed, tag.late) == (row.word, row.now, row.late)
            if row.word != "STOP" and not row.right.startswith(("late", "after")):
                assert tag.right == row.right


def test_people_say_of_each_part_what_its_row_says_with_its_number(moments):
    for bench, now in moments:
        rows = by_code(look(bench, now).rows)
        told = people.hand_over_rows(bench, now)
        listed = hand_over_list(bench, now)

        assert {code for task in listed for code in task.parts} == set(rows)
        for task, cells in zip(listed, told, strict=False):
            row, (_, act, due, _, _, harm) = rows[task.part], cells
            if row.code == task.part:
                assert act == row.line
            if row.late:
                assert harm == row.right
            elif not row.now:
                assert due in (row.right, "")
            elif row.right[:1].isdigit():
                assert harm == row.right


def test_the_appointment_page_the_chip_and_the_way_have_one_time(moments):
    missed = 0
    for bench, now in moments[::5]:
        slack = slacks(bench, now)
        view = look(bench, now, slack=slack)
        for code, row in by_code(view.rows).items():
            if row.code == code and code in slack:
                assert row.chip.startswith("misses") == (slack[code] < 0), code
                missed += slack[code] < 0
        part = bench.focused
        if part is None or part.code not in slack or view.way is None:
            continue
        found = plan_for(bench, part, now)
        ready = now.plus(found.total_ms).local()
        assert view.way.right.startswith(f"ready {ready:%H:%M} for ")
        page = plan.page(bench, now)
        assert ("will not make" in page.title) == (slack[part.code] < 0)
        assert f"{part.due.local():%H:%M}" in page.title
    assert missed


def test_now_is_in_the_order_of_the_tasks(moments):
    for bench, now in moments[::5]:
        at = Standings(bench, now)
        place = {code: n for n, task in enumerate(tasks(at)) for code in task.parts}
        listed = [row.code for row in look(bench, now, at=at).rows if row.now]

        assert listed == sorted(listed, key=lambda code: place.get(code, len(place)))
