"""Coming back: first what was done before, and a list that stands still until a press."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.state import Ready, Walking
from benchassist.ui.present.look import look
from benchassist.ui.rows import RowList
from tests.domain.builders import desk_at


def lines(desk):
    desk.must(cm.CallAway())
    return look(desk.bench, desk.now).card.lines


def test_the_resume_card_says_first_what_was_just_done():
    desk = desk_at("coat-1", phase=Walking)
    desk.wait(30)
    done = desk.part().work["coat-1"].spots.count("done")

    assert done
    assert lines(desk)[0] == f"Done before: {done} of 5 spots, all whole."
    assert lines_of_stage("wash-2")[0] == "Done before: wash 1."
    assert not lines_of_stage("wash-1")[0].startswith("Done before")


def lines_of_stage(stage):
    return lines(desk_at(stage, phase=Ready))


def codes(bench):
    return [row.code for row in bench.findChild(RowList).seen()]


def turned(view):
    rows = view.rows
    return replace(view, rows=(*reversed(rows[:3]), *rows[3:]))


@pytest.mark.parametrize("press", ["key", "foot"])
def test_the_list_stands_still_from_the_break_to_the_first_press(
    samples, show_bench, clock, press
):
    view = replace(samples.WAIT, away=True)
    bench = show_bench(view)
    before = codes(bench)
    back = turned(replace(samples.WAIT, away=False))
    bench.key_down("F9")  # while away: no press yet
    bench.show_view(back)
    clock.advance(60_000)
    bench.show_view(back)
    assert codes(bench) == before

    if press == "key":
        bench.key_down("K")
    else:
        bench.pressed()
    bench.show_view(back)
    assert codes(bench) == [row.code for row in back.rows]
