"""Will it make the appointment: what the page says, and by what it knows it."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.own_times import ENOUGH, took_key
from benchassist.domain.state import InRun, Ready, Soaking
from benchassist.domain.words import spare
from benchassist.ui.present import plan
from tests.domain.builders import SPLINT, Desk, desk_at

MINUTE_MS = 60_000
BACK = lib.Variant(0, 2, back_from_mouth=True, faces=("Biting",))


def due_in(minutes, **more):
    desk = Desk()
    desk.take(due=desk.now.plus(minutes * MINUTE_MS), **more)
    return desk


def page(desk):
    return plan.page(desk.bench, desk.now)


def test_without_a_part_one_is_chosen_first():
    assert page(Desk()).empty == "Choose a part first: F1 to F12."
    desk = desk_at("fit")
    desk.must(cm.ScrapPart("EX-1", "wrong case"))
    assert page(desk).empty == "Choose a part first: F1 to F12."


def test_without_a_due_time_the_steps_are_there_and_no_latest_start():
    desk = Desk()
    desk.take()
    view = page(desk)

    assert view.title == "EX-1: no due time"
    assert {row[3] for row in view.rows} == {""}
    assert view.note.startswith("What is ahead takes ")


def test_the_one_thing_to_start_now_the_slack_and_when_to_call():
    # 08:50, due at 14:00; the sum of the steps is checked by its rows.
    desk = due_in(310)
    view = page(desk)
    spent_s = sum(_seconds(row[2]) for row in view.rows)
    slack_s = 310 * 60 - spent_s

    assert view.title == f"EX-1, due 14:00: {spare(1000 * slack_s)} to spare"
    assert view.note.startswith("Start now: wash 1. Not by ")
    assert view.note.endswith("? Call the front desk.")
    assert view.rows[0][:3] == ("now", "Wash 1", "2:00")
    assert [row[1] for row in view.rows] == [stage.title for stage in desk.part().route]


def test_a_time_of_another_day_has_its_day():
    """Taken in on a Thursday at 08:50."""
    view = page(due_in(26 * 60))

    assert view.title.startswith("EX-1, due Fri 10:50: ")
    assert "Not by Fri " in view.note


def test_latest_starts_run_backwards_from_the_due_time():
    # The last step, 180 s of checks, starts by 13:57 for 14:00.
    last = page(due_in(310)).rows[-1]

    assert last[1:4] == ("Checks and release", "3:00", "13:57")


def test_too_late_it_says_when_it_will_be_ready_and_when_to_call():
    desk = due_in(60)
    view = page(desk)

    assert view.title.startswith("EX-1 will not make 09:50: ready about ")
    # The front desk is told half an hour before: common practice, no source.
    assert view.note.startswith("Call the front desk by 09:20.")
    assert view.rows[0][3].endswith(" late")
    desk.wait(40 * 60)
    assert page(desk).note.startswith("Call the front desk now.")


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (20, "no help."),
        (26, "The prescriber decides."),
    ],
)
def test_a_splint_from_the_chair_may_be_polished_instead(minutes, words):
    # Disinfect 3 min, abrade 3 min, polish 10 min, checks 3 min = 19 min; coated it
    # takes more than half an hour.
    desk = Desk()
    desk.take(
        recipe=SPLINT, variant=BACK, before=1400, due=desk.now.plus(minutes * MINUTE_MS)
    )
    view = page(desk)

    if minutes == 20:
        assert view.note.endswith(
            "Polished instead: ready 09:09. The prescriber decides."
        )
        desk.wait(120)
        view = page(desk)
    assert "will not make" in view.title
    assert view.note.endswith(words)


def test_with_a_coat_on_it_no_polish_is_offered():
    desk = desk_at("coat-2", phase=Ready, due=None)
    late = Desk()
    late.take(due=late.now.plus(MINUTE_MS))
    late.work(upto="coat-2", phase=Ready)

    assert "Polished" not in page(desk).note
    assert "Polished" not in page(late).note


def test_what_runs_is_not_started_again_and_says_what_is_left():
    desk = due_in(310)
    desk.must(cm.StartStage("EX-1"))
    desk.wait(60)
    view = page(desk)

    assert view.rows[0][:3] == ("runs", "Wash 1", "1:00 left")
    assert view.note.startswith("Going on: wash 1.")
    assert isinstance(desk.part().phase, Soaking)


def test_a_run_of_the_box_counts_down_too():
    desk = due_in(310)
    desk.work(upto="half-1", phase=InRun)
    desk.wait(75)

    assert page(desk).rows[0][:3] == ("runs", "First half", "3:20 left")


def test_an_estimate_is_marked_and_an_own_time_says_of_how_many():
    desk = due_in(310)
    known = {row[1]: row[4] for row in page(desk).rows}
    assert known["Supports off"] == "estimate, too few own times"
    assert known["Wash 1"] == "the recipe's times"
    assert known["First half"] == "the box's rate"
    assert known["Coat 1"] == "today's light, one lamp"

    desk.bench.took[took_key("crown", "supports")] = (300_000,) * ENOUGH
    row = next(row for row in page(desk).rows if row[1] == "Supports off")
    assert row[2:] == ("5:00", row[3], "own times, 80 % of 5")


def test_hand_work_in_hand_is_counted_off():
    desk = due_in(310)
    desk.work(upto="supports", phase=Ready)
    before = page(desk)
    desk.wait(120)

    assert before.rows[0][2] == "10:00"
    assert page(desk).rows[0][2] == "8:00"


def _seconds(text):
    seconds = 0
    for part in text.split(":"):
        seconds = 60 * seconds + int(part)
    return seconds
