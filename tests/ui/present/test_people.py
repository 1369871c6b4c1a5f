"""What the hand-over, the resume card, claims and levels say."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.advice import hand_over_list
from benchassist.domain.state import InRun, Ready, Soaking
from benchassist.ui.present import hands, heard, people
from benchassist.ui.present.look import look
from tests.domain.builders import SPLINT, Desk, desk_at

# 20 s of speech at 150 words a minute, a usual rate; from memory.
WORDS_IN_20_S = 50


def busy(*, wet_s=0):
    """Return a bench with a wet segment, a wash, a box run and a drying basket."""
    desk = desk_at("half-1", phase=InRun, code="EX-4", box="BX-2")
    desk.take("EX-3")
    desk.take("EX-5")
    desk.must(cm.FormBasket(("EX-3", "EX-5")))
    desk.work("EX-3", "dry-box", Soaking)
    desk.take("EX-1", recipe=SPLINT)
    desk.work("EX-1", "coat-1", Ready)
    desk.must(cm.ChoosePart("EX-1"), cm.OpenLampSession("LM-A"), cm.WetBrush("EX-1"))
    desk.wait(wet_s)
    desk.take("EX-2")
    desk.must(cm.StartStage("EX-2"))
    return desk


def handed():
    desk = busy(wet_s=20)
    desk.must(cm.HandOver("OP-2"))
    return desk


def page(desk):
    return hands.folk(desk.bench, desk.now)


def by_code(view):
    return {row[0]: row for row in view.rows}


# --- the list --------------------------------------------------------------------


def test_the_list_says_what_runs_where_whose_it_is_and_how_long_before_harm():
    desk = busy(wet_s=20)
    rows = by_code(page(desk))

    assert page(desk).headers == people.HEADS
    assert rows["EX-1"][1:6] == ("coat 1 wet, patch 1", "", "tray 3", "OP-1", "1:40")
    # Shortest stay 120 s, longest 300 s.
    assert rows["EX-2"][1:6] == ("wash 1", "2:00", "wash 1", "nobody", "5:00")
    assert rows["EX-4"][3:5] == ("BX-2", "nobody")
    assert rows["EX-3, EX-5"][5] == "no limit"


def test_the_nearest_to_harm_stands_first_and_the_list_is_the_domain_s():
    desk = busy(wet_s=20)
    listed = [row[0].split(",")[0] for row in page(desk).rows]
    ranked = [task.part for task in hand_over_list(desk.bench, desk.now)]

    assert listed[: len(ranked)] == ranked
    assert listed[:2] == ["EX-1", "EX-2"]


def test_what_else_is_held_stands_below():
    desk = busy()
    desk.must(cm.ClaimThing("lamp", "LM-C"))

    rows = page(desk).rows
    assert ("LM-C", "lamp", "", "", "OP-1", "") in rows
    assert rows[-1][0] in ("LM-A", "LM-C")


def test_what_is_late_counts_up_and_an_appointment_is_told_by_its_minutes():
    desk = busy(wet_s=130)
    assert by_code(page(desk))["EX-1"][5] == "late 0:10"

    desk.take("EX-9", due=desk.now.plus(3_600_000))
    told = by_code(page(desk))["EX-9"][5]
    assert told.endswith((" to its time", " late for its time"))


def test_parts_under_glycerine_and_in_the_box_are_found_by_vessel_and_box():
    desk = desk_at("submerge", phase=Ready)
    desk.submerge("EX-1")
    row = by_code(page(desk))["EX-1"]
    assert (row[1], row[3]) == ("submerge, ends by itself", "GV-1")
    desk.work("EX-1", "half-2", InRun)

    assert by_code(page(desk))["EX-1"][3] == "GV-1 in BX-1"


def test_an_empty_bench_has_nothing_to_hand_over():
    view = page(Desk())

    assert (view.rows, view.headers) == ((), ())
    assert view.empty


# --- what is said aloud --------------------------------------------------------------


def test_the_spoken_lines_are_codes_and_at_most_eight_words_each():
    desk = busy(wet_s=20)
    lines = heard.hand_over_lines(desk.bench, desk.now)

    assert lines[0] == "E X 1. Wet coat. 1 minute."
    assert lines[1] == "E X 2. Wash. 4 minutes."
    assert all(len(line.split()) <= heard.MOST_WORDS for line in lines)


def test_many_parts_are_still_said_in_twenty_seconds():
    desk = Desk()
    for n in range(13):
        desk.take(f"EX-{n + 1005}")
        desk.must(cm.StartStage(f"EX-{n + 1005}"))
    lines = heard.hand_over_lines(desk.bench, desk.now)

    assert lines[-1] == "And 8 more. See the list."
    assert sum(len(line.split()) for line in lines) <= WORDS_IN_20_S


@pytest.mark.parametrize(
    ("waited", "said"), [(0, "4 minutes"), (250, "Now"), (290, "Late")]
)
def test_never_more_time_is_said_than_there_is(waited, said):
    desk = Desk()
    desk.take()
    desk.must(cm.StartStage("EX-1"))
    desk.wait(waited)

    assert heard.hand_over_lines(desk.bench, desk.now) == (f"E X 1. Wash. {said}.",)


@pytest.mark.parametrize(
    ("stage", "phase", "said"),
    [
        ("dry-box", Soaking, "Dries. No hurry."),
        ("half-1", InRun, "Box. 9 minutes."),
        ("coat-2", Ready, "Tacked coat. 19 minutes."),
        ("supports", Ready, "Waits. No hurry."),
    ],
)
def test_each_state_has_its_words(stage, phase, said):
    desk = desk_at(stage, phase=phase)

    assert heard.hand_over_lines(desk.bench, desk.now) == (f"E X 1. {said}",)


def test_a_part_on_hold_is_said_in_hours():
    desk = desk_at("fit")
    desk.must(cm.HoldPart("EX-1", "later"))

    assert heard.hand_over_lines(desk.bench, desk.now) == ("E X 1. On hold. 7 hours.",)


# --- what the taker sees -----------------------------------------------------------


def test_the_taker_sees_the_hand_over_before_anything_else():
    desk = handed()
    view = look(desk.bench, desk.now)

    assert view.headline == "Handed over by OP-1"
    assert view.subline.startswith(f"At {desk.now.local():%H:%M}.")
    assert view.card.title == "Hand-over, nearest to harm first"
    assert view.card.lines[:2] == (
        "EX-1: look at the wet coat 1, spot 0 of 60, tray 3, harm in 1:40",
        "EX-2: wash 1, due in 2:00",
    )
    (aloud,) = view.panels
    assert aloud.lines == heard.hand_over_lines(desk.bench, desk.now)
    assert view.pedal_line == "nothing: read the hand-over"
    assert view.next_line.startswith("EX-1: look, coat 1 wet, may wait")
    assert view.who_when[1] == "OP-2"


def test_once_it_is_read_the_bench_is_there_again():
    desk = handed()
    (option,) = look(desk.bench, desk.now).card.options
    assert (option.command, option.hold, option.key) == (
        cm.ReadHandOver(),
        False,
        "Enter",
    )
    desk.must(option.command)

    view = look(desk.bench, desk.now)
    assert (view.headline, view.band.code) == ("Wash 1: lift in", "EX-2")


def test_more_than_six_are_counted_on_the_card():
    desk = Desk()
    for n in range(9):
        desk.take(f"EX-{n}")
    desk.must(cm.HandOver("OP-2"))
    card = look(desk.bench, desk.now).card

    assert len(card.lines) == people.MOST_LINES + 1
    assert card.lines[-1] == "3 more on the People page, key G"


def test_an_empty_bench_is_handed_over_too():
    desk = Desk()
    desk.must(cm.HandOver("OP-2"))

    assert look(desk.bench, desk.now).card.lines == ("Nothing runs or waits.",)


def test_there_is_nothing_to_read_where_nothing_was_handed_over():
    assert Desk().do(cm.ReadHandOver()).code == "nothing-handed-over"


def test_whoever_claims_the_station_instead_has_no_list_to_read():
    desk = handed()
    desk.must(cm.ClaimStation("OP-1"))

    assert desk.bench.handed is None


# --- nobody known to be here -----------------------------------------------------------


def unconfirmed():
    desk = desk_at("wash-1", phase=Ready)
    desk.wait(660)
    return desk


def test_after_ten_idle_minutes_the_bench_says_so_in_words_and_offers_the_claim():
    desk = unconfirmed()
    view = look(desk.bench, desk.now)

    assert view.who_when[1] == "still OP-1? key O"
    (option,) = view.options
    assert (option.key, option.text) == ("O", "still OP-1?")
    assert option.command.command == cm.ClaimStation("")  # the code is typed anew
    assert option.command.filled("OP-1") == cm.ClaimStation("OP-1")


def test_the_pedal_still_runs_timers_and_marks_what_it_started():
    desk = unconfirmed()
    desk.press()
    assert isinstance(desk.part().phase, Soaking)
    assert desk.bench.signed_by == "OP-1 (unconfirmed)"
    desk.wait(120)
    desk.press()

    assert desk.stage() == "wash-2"
    assert look(desk.bench, desk.now).who_when[1].startswith("still OP-1?")


def test_a_claim_clears_it():
    desk = unconfirmed()
    desk.must(cm.ClaimStation("OP-1"))
    view = look(desk.bench, desk.now)

    assert (view.who_when[1], view.options) == ("OP-1", ())


def test_nobody_is_asked_for_where_nobody_claimed_the_station():
    desk = Desk(operator="")
    desk.wait(660)

    assert look(desk.bench, desk.now).options == ()


# --- away, claims, levels -----------------------------------------------------------


def test_the_resume_card_is_the_frozen_place():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"), cm.WetBrush("EX-1"))
    desk.wait(16)
    desk.must(cm.StartWalk("EX-1"))
    desk.wait(4)
    desk.must(cm.CallAway())
    desk.wait(95)
    shown = people.away(desk.bench, desk.now)

    assert shown.countdown.big == "1:35"
    assert shown.headline == "Coat 1, crown, spot 1"
    assert shown.card.lines[0] == "Done before: mount on a peg."
    assert shown.card.options[0].command == cm.ComeBack()
    assert not shown.card.options[0].hold


def test_a_thing_of_another_is_taken_with_a_reason_and_one_s_own_put_down():
    desk = Desk()
    desk.must(cm.ClaimThing("lamp", "LM-A"), cm.ClaimStation("OP-2"))
    desk.must(cm.ClaimThing("lamp", "LM-C"))
    told = {option.text: option for option in people.claims(desk.bench, None)}

    assert told["Take LM-A from OP-1"].hold
    assert told["Take LM-A from OP-1"].needs_text == "Why it is taken"
    assert told["Put LM-C down"].command == cm.PutDown("lamp", "LM-C")
    assert told["Claim LM-B"].command == cm.ClaimThing("lamp", "LM-B")
    assert people.hand_over().hold
    assert people.hand_over().command.filled("OP-3") == cm.HandOver("OP-3")


def test_a_level_is_set_by_hold_and_the_present_one_is_not_offered():
    desk = Desk()
    options = people.learning(desk.bench)

    assert [option.command.level for option in options] == [
        "gates only", "every prompt", "watch",
    ]  # fmt: skip
    assert all(option.hold for option in options)
    assert people.learning(Desk(operator="").bench) == ()


def test_a_learner_is_told_whether_it_was_right_and_a_level_that_it_is_set():
    desk = desk_at("half-1", phase=Ready)
    (level,) = desk.must(cm.SetLevel("OP-1", "every prompt"))
    (wrong,) = desk.must(cm.Predict("EX-1", "half-count", 1100))
    (right,) = desk.must(cm.Predict("EX-1", "half-count", 2200))

    assert people.came_of(level) == "OP-1: told at every step"
    assert people.came_of(wrong) == "It is 2200, not 1100."
    assert people.came_of(right) == "Right: 2200."


def test_a_learner_says_the_number_first_and_is_told_the_reason_at_a_gate():
    desk = desk_at("half-1", phase=Ready)
    desk.must(cm.SetLevel("OP-1", "every prompt"))
    card = people.say_first(desk.bench, desk.part())
    assert card.options[0].command.filled("2200") == cm.Predict(
        "EX-1", "half-count", 2200
    )

    desk = desk_at("coat-1", phase=Ready, lamp="LM-B")
    assert not [p for p in look(desk.bench, desk.now).panels if p.title == "WHY"]
    desk.must(cm.SetLevel("OP-1", "gates only"))
    (why,) = [p for p in look(desk.bench, desk.now).panels if p.title == "WHY"]
    assert len(why.lines[0].split()) <= 25
