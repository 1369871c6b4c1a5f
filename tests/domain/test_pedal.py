"""One pedal, one meaning per state, and what no press may ever do.

Every row of the table is reached by a bench that was brought there by its own
commands; the machine of random commands in test_random presses in all the others.
"""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.pedal import TABLE, meaning, situation
from benchassist.domain.pedal_acts import at_stage, refused_line
from benchassist.domain.standing import Standings
from benchassist.domain.state import Brushing, InRun, Ready, Soaking, Walking
from benchassist.value import replace
from tests.domain.builders import DENTURE, SPLINT, Desk, code_of, desk_at, names


def after(desk, *commands, wait=0.0):
    """Return a desk after more commands and some time."""
    desk.must(*commands)
    desk.wait(wait)
    return desk


def waited(desk, seconds):
    desk.wait(seconds)
    return desk


def lamp_in_hand(**more):
    return after(desk_at("coat-1", phase=Ready, **more), cm.OpenLampSession("LM-A"))


def paused():
    return after(desk_at("coat-1", phase=Walking), cm.BreakSpot("EX-1"))


def away():
    return after(desk_at("coat-1", phase=Walking), cm.HoldHere("EX-1"))


def called_back():
    return after(away(), cm.ComeBack())


def handed():
    return after(desk_at("wash-1", phase=Soaking), cm.HandOver("OP-2"))


def two_due():
    desk = desk_at("wash-1", phase=Soaking)
    desk.take("EX-2", box="BX-2")
    desk.must(cm.StartStage("EX-2"), cm.ChoosePart("EX-1"))
    desk.wait(120)
    return desk


def scrap_asked():
    report = cm.ReportMishap("EX-1", "cracked", ("margin or connector",))
    return after(desk_at("fit"), report)


def closed():
    return after(desk_at("fit"), cm.ScrapPart("EX-1", "lost"))


def coupon():
    desk = Desk()
    begun = cm.BeginCoupon("LM-A", "L-COAT", "BX-1", "GV-1", planned_s=10, count=2200)
    return after(desk, begun)


def coupon_light():
    return after(coupon(), cm.JudgeTab("yes"), cm.OpenLampSession("LM-A"))


SITUATIONS = {
    "locked": lambda: Desk(operator=""),
    "away": away,
    "handed": handed,
    "coupon": coupon,
    "coupon-light": coupon_light,
    "coupon-lit": lambda: after(coupon_light(), cm.LightTab()),
    "none": Desk,
    "closed": closed,
    "two-due": two_due,
    "ready": lambda: desk_at("wash-1", phase=Ready),
    "loaded": lambda: after(desk_at("half-1"), cm.ConfirmLoad(("EX-1",), "BX-1", 2200)),
    "shut": lambda: desk_at("coat-1", phase=Ready, lamp="LM-B"),
    "card": lambda: desk_at("half-1", phase=Ready),
    "running": lambda: desk_at("wash-1", phase=Soaking),
    "drying": lambda: desk_at("dry-box"),
    "timer-due": lambda: waited(desk_at("wash-1", phase=Soaking), 120),
    "dry-due": lambda: waited(desk_at("dry-box"), 900),
    "run-due": lambda: waited(desk_at("half-1", phase=InRun), 275),
    "hand": lambda: desk_at("supports"),
    "brush": lamp_in_hand,
    "brushing": lambda: desk_at("coat-1", phase=Brushing),
    "walking": lambda: desk_at("coat-1", phase=Walking),
    "paused": paused,
    "wet-hold": called_back,
    "on-hold": lambda: after(desk_at("fit"), cm.HoldPart("EX-1", "phone")),
    "scrap": scrap_asked,
    "sign": lambda: desk_at("checks"),
}
# What a press brings about in each situation: kinds of event, a refusal, or a word.
SHORT = {
    "locked": "Claim the station first: key O, by hand.",
    "handed": "Read what was handed over first: key Enter, by hand.",
    "coupon": "A coupon is judged by hand: by key, on its page.",
    "coupon-light": ["CouponTabLit"],
    "coupon-lit": ["CouponTabStopped"],
    "none": "Choose a part first, by hand.",
    "closed": "Choose a part first, by hand.",
    "two-due": "two-due",
    "ready": ["StageStarted"],
    "loaded": ["RunStarted"],
    "shut": "light-check",
    "card": "This is done by hand: keep Enter down for two seconds.",
    "running": "EX-1: Wash 1, 2:00 left.",
    "drying": "dry-before-box",
    "timer-due": ["StageEnded"],
    "dry-due": ["StageEnded"],
    "run-due": "Look at the box's counter and tell by hand what it shows.",
    "hand": "EX-1: Supports off.",
    "brush": ["BrushWetted"],
    "brushing": ["WalkStarted"],
    "walking": ["WalkPaused"],
    "paused": ["WalkStarted"],
    "wet-hold": "EX-1: crown, spot 1, wet for 0:15.",
    "on-hold": "On hold. Resume it by hand.",
    "scrap": "Scrap it or keep it: answered by hand.",
    "sign": "Checks and signing are done by hand.",
}
LONG = SHORT | {
    "timer-due": ["DueQuieted"],
    "dry-due": ["DueQuieted"],
    "run-due": ["DueQuieted"],
    "wet-hold": "look-first",
    "hand": ["StageEnded"],
    "brushing": ["CalledAway", "WalkPaused"],
    "walking": ["CalledAway", "WalkPaused"],
    "paused": "first-spot",
}


def outcome(decision):
    if isinstance(decision, Said):
        return decision.message
    return decision.code if isinstance(decision, Refusal) else names(decision)


def test_every_row_of_the_table_is_reached_by_a_bench_or_a_check():
    assert set(SITUATIONS) | {"check", "told"} == set(TABLE)


@pytest.mark.parametrize("name", SITUATIONS)
def test_every_bench_is_in_the_situation_it_was_brought_to(name):
    desk = SITUATIONS[name]()

    assert situation(desk.bench, desk.now) == name


@pytest.mark.parametrize("name", SHORT)
def test_a_short_press_does_what_the_table_says(name):
    assert outcome(SITUATIONS[name]().press()) == SHORT[name]


@pytest.mark.parametrize("name", LONG)
def test_a_long_press_does_what_the_table_says(name):
    assert outcome(SITUATIONS[name]().press(long=True)) == LONG[name]


@pytest.mark.parametrize("name", SITUATIONS)
def test_the_line_says_beforehand_what_the_press_will_do(name):
    desk = SITUATIONS[name]()
    found = meaning(desk.bench, desk.now)

    assert found.line
    assert found.row.short_text
    assert (found.long_answer is None) == (found.row.long is None)
    assert (found.row.long_text == "nothing") == (found.row.long is None)
    assert found.row.never


@pytest.mark.parametrize("long", [False, True])
@pytest.mark.parametrize("name", SITUATIONS)
def test_a_word_and_a_refusal_change_nothing_on_the_bench(name, long):
    desk = SITUATIONS[name]()
    before = desk.bench
    decision = desk.press(long=long)

    if not isinstance(decision, tuple):
        assert desk.bench.parts == before.parts
        assert desk.bench.runs == before.runs
        refused = isinstance(decision, Refusal)
        assert desk.bench.refused_presses == before.refused_presses + refused


@pytest.mark.parametrize("long", [False, True])
@pytest.mark.parametrize("name", SITUATIONS)
def test_no_press_answers_a_card_credits_dose_releases_or_chooses(name, long):
    decision = SITUATIONS[name]().press(long=long)
    made = {type(event) for event in decision} if isinstance(decision, tuple) else set()

    assert not made & {
        ev.DoseCredited,
        ev.RunEndObserved,
        ev.GateAccepted,
        ev.PartReleased,
        ev.PartScrapped,
        ev.PartChosen,
        ev.EquipmentChosen,
        ev.LotChosen,
        ev.LoadConfirmed,
        ev.SubmergeConfirmed,
        ev.FlipConfirmed,
        ev.LampSessionOpened,
        ev.DeviationClosed,
        ev.CoatStateTold,
        ev.CheckRecorded,
        ev.HoldEnded,
        ev.PartHeld,
        ev.StartVoided,
        ev.OperatorClaimed,
        ev.LimitSet,
        ev.HandOverRead,
        ev.ScrapAnswered,
    }


# --- a route of checks ---------------------------------------------------------


def of_check(desk, *check):
    return meaning(desk.bench, desk.now, Standings(desk.bench, desk.now, check))


def test_a_foot_kept_down_calls_a_check_good_and_a_short_press_says_which():
    desk = Desk()
    found = of_check(desk, "lamp-tip", "LM-A")

    assert found.line == "says which; keep down: good"
    said = "LM-A Tip clean, no cured speck; charged: good? Keep down."
    assert found.press(long=False) == Said(said)
    assert found.press(long=True) == cm.DoRoutine("lamp-tip", good=True, thing="LM-A")
    desk.must(cm.PressPedal(long=True, check=("lamp-tip", "LM-A")))
    assert desk.bench.routines["lamp-tip"]["LM-A"].good


@pytest.mark.parametrize(
    ("check", "said"),
    [
        (("lamp-reading", "LM-A"), "The reading is typed by hand."),
        (("overnight", "EX-1"), "Where it stays is chosen by hand."),
        (("", ""), "The day is signed by hand."),
    ],
)
def test_what_is_typed_chosen_or_signed_is_left_to_the_hand(check, said):
    desk = desk_at("fit")

    for long in (False, True):
        assert desk.do(cm.PressPedal(long, check)) == Said(said)


@pytest.mark.parametrize("name", SITUATIONS)
def test_a_check_leaves_the_foot_to_what_is_wet_lit_due_or_beside_a_box(name):
    desk = SITUATIONS[name]()
    found = of_check(desk, "pedal", "").row.situation
    kept = {
        *("locked", "away", "handed", "coupon", "coupon-light", "coupon-lit"),
        *("two-due", "loaded", "timer-due", "dry-due", "run-due", "brushing"),
        *("walking", "paused", "wet-hold"),
    }

    assert found == (name if name in kept else "check")


def at_wash(**more):
    desk = Desk()
    desk.take(**more)
    return desk


def test_called_away_from_an_empty_bench_there_is_nothing_to_find_again():
    desk = after(Desk(), cm.CallAway())

    assert situation(desk.bench, desk.now) == "away"
    assert meaning(desk.bench, desk.now).line == "says what waits and where"
    assert desk.press().message == "Nothing was in hand."


# --- gates and cards -----------------------------------------------------------

SHUT = {
    "lamp": lambda: desk_at("coat-1", phase=Ready, lamp="LM-B"),
    "old lot": lambda: desk_at("coat-1", phase=Ready, coat_lot="L-OLD"),
    "no glycerine": lambda: desk_at("coat-1", phase=Ready, vessel="GV-DRY"),
    "unread lamp": lambda: desk_at("coat-1", phase=Ready, lamp="LM-UNREAD"),
    "blind box": lambda: desk_at("coat-1", phase=Ready, box="BX-UNKNOWN"),
}
REASON = {
    "lamp": "light-check",
    "old lot": "lot-expiry",
    "no glycerine": "box-free-for-coat",
    "unread lamp": "lamp-reading-age",
    "blind box": "box-light",
}


@pytest.mark.parametrize("name", SHUT)
def test_no_number_of_presses_passes_a_shut_gate(name):
    desk = SHUT[name]()
    before = desk.part()

    for long in (False, True) * 6:
        assert code_of(desk.press(long=long)) == REASON[name]

    assert desk.part() == before
    assert [each.code for each in desk.events(ev.CommandRefused)] == [REASON[name]] * 12


def test_pressing_for_a_shut_box_never_starts_another_part_s_load():
    desk = after(desk_at("half-1"), cm.ConfirmLoad(("EX-1",), "BX-1", 2200))
    desk.take("EX-2")
    desk.work("EX-2", "half-1")
    assert (desk.bench.focus, situation(desk.bench, desk.now)) == ("EX-2", "shut")

    for long in (False, True):
        assert code_of(desk.press(long=long)) == "box-occupied"
    assert desk.bench.runs == {}


def test_pressing_for_a_shut_box_says_which_gate_is_shut():
    desk = desk_at("half-1", phase=InRun, box="BX-WARM")
    desk.must(cm.TellRunEnd("R-1", "stopped", 1))

    refusal = desk.press()

    assert code_of(refusal) == "vessel-hot"
    assert refusal.message == "hot from the box, 1:00 more"


def test_a_gate_accepted_by_hand_lets_the_foot_go_on():
    desk = SHUT["unread lamp"]()
    desk.must(cm.AcceptGate("lamp-reading-age", "EX-1", "meter is away"))
    assert situation(desk.bench, desk.now) == "card"
    desk.must(cm.OpenLampSession("LM-UNREAD"))

    assert names(desk.press()) == ["BrushWetted"]


@pytest.mark.parametrize(
    ("stage", "more"),
    [
        ("flip-1", {"recipe": DENTURE}),
        ("hold", {"variant": lib.Variant(coats=1, hold_between=True)}),
        ("submerge", {}),
        ("coat-1", {}),
        ("half-1", {}),
    ],
)
def test_every_card_is_left_to_the_hand(stage, more):
    desk = desk_at(stage, phase=Ready, **more)

    assert situation(desk.bench, desk.now) == "card"
    assert isinstance(desk.press(), Said)
    assert isinstance(desk.press(long=True), Said)


def test_a_submerging_part_is_waited_for():
    desk = desk_at("submerge", phase=Soaking)

    assert situation(desk.bench, desk.now) == "running"
    assert desk.press().message == "EX-1: Submerge, 1:00 left."


def test_a_run_past_its_time_is_asked_about_and_so_is_an_interrupted_one():
    desk = desk_at("half-1", phase=InRun)
    desk.wait(274)
    assert situation(desk.bench, desk.now) == "running"
    assert desk.press().message == "EX-1: First half, 0:01 left."

    desk.do(cm.Reopen("2", desk.now), "tool")
    assert situation(desk.bench, desk.now) == "run-due"


def test_a_bath_past_its_shortest_stay_says_no_more_how_long():
    desk = desk_at("wash-1", phase=Soaking)
    desk.wait(119)
    assert meaning(desk.bench, desk.now).line == "time left?"
    desk.wait(1)
    assert meaning(desk.bench, desk.now).line == "taken out"


# --- several at once, and what a hand has to read first --------------------------


def test_two_things_due_within_a_second_leave_the_foot_without_a_say():
    desk = two_due()
    before = desk.bench.parts
    for long in (False, True):
        assert code_of(desk.press(long=long)) == "two-due"
    assert desk.bench.parts == before
    assert meaning(desk.bench, desk.now).line == "nothing: two things are due"

    desk.wait(1)
    assert situation(desk.bench, desk.now) == "timer-due"
    assert names(desk.press()) == ["StageEnded"]


def test_what_stands_behind_two_things_due_is_still_known():
    desk = two_due()

    assert Standings(desk.bench, desk.now).situation == "timer-due"


def test_the_foot_has_no_say_before_the_hand_over_was_read():
    desk = handed()
    desk.wait(120)
    for long in (False, True):
        assert isinstance(desk.press(long=long), Said)
    desk.must(cm.ReadHandOver())
    assert code_of(desk.do(cm.ReadHandOver())) == "nothing-handed-over"

    assert names(desk.press()) == ["StageEnded"]


# --- the walk ------------------------------------------------------------------


def test_a_press_while_a_spot_is_lit_breaks_it_and_the_next_goes_on_whole():
    desk = desk_at("coat-1", phase=Walking)
    desk.wait(4)

    assert names(desk.press()) == ["SpotBroken", "WalkPaused"]
    assert names(desk.press()) == ["WalkStarted"]
    desk.wait(9.5)
    assert desk.events(ev.SpotTacked) == []
    desk.wait(0.5)
    assert len(desk.events(ev.SpotTacked)) == 1


def test_a_long_press_in_a_pause_goes_back_one():
    desk = desk_at("coat-1", phase=Walking)
    desk.wait(14)
    desk.press()

    assert names(desk.press(long=True)) == ["WalkPaused"]
    assert desk.part().phase.spot == 0
    assert code_of(desk.press(long=True)) == "first-spot"


def test_presses_never_jump_from_one_coat_to_the_next():
    desk = desk_at("coat-1", phase=Walking)
    for _ in range(20):
        desk.press()
        desk.wait(1)

    assert desk.stage() == "coat-1"
    assert "done" not in desk.part().work["coat-1"].spots


def test_a_long_press_while_brushing_or_walking_calls_away_and_no_press_clears_that():
    for phase in (Brushing, Walking):
        desk = desk_at("coat-1", phase=phase)
        desk.press(long=True)
        held = desk.part()
        for long in (False, True, False):
            assert isinstance(desk.press(long=long), Said)
        assert desk.part() == held


def test_a_coat_that_has_to_be_looked_at_goes_on_by_hand_only():
    desk = called_back()
    held = desk.part()
    for _ in range(3):
        assert isinstance(desk.press(), Said)
        assert code_of(desk.press(long=True)) == "look-first"
    assert desk.part() == held

    desk.must(cm.TellCoatState("EX-1", "wet and clean"))

    assert names(desk.press()) == ["WalkStarted"]


def test_once_it_was_looked_at_a_wet_hold_is_resumed_at_the_stored_place():
    desk = called_back()
    desk.must(cm.TellCoatState("EX-1", "wet and clean"))
    stored = desk.part().phase.spot
    desk.must(TABLE["wet-hold"].long(desk.bench, desk.part(), desk.now))

    assert desk.part().phase.spot == stored


def test_a_pause_that_outlasts_the_wet_limit_is_looked_at():
    desk = paused()
    desk.wait(105)
    assert situation(desk.bench, desk.now) == "paused"
    desk.wait(1)

    assert situation(desk.bench, desk.now) == "wet-hold"
    assert desk.press().message == "EX-1: crown, spot 1, wet for 2:01."


def test_what_and_where_is_said_of_a_part_that_is_not_wet_too():
    desk = desk_at("fit")

    said = TABLE["wet-hold"].short(desk.bench, desk.part(), desk.now)

    assert said == Said("EX-1: Fit, contacts, bite on the model.")


# --- lines ---------------------------------------------------------------------


def line(desk):
    return meaning(desk.bench, desk.now).line


def test_a_basket_is_named_before_it_is_started_and_taken_out():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    assert line(desk) == "starts wash 1, basket of 2"
    desk.press()
    desk.wait(120)

    assert line(desk) == "taken out, all 2"


def test_a_coat_of_several_segments_says_which_one_comes():
    assert line(lamp_in_hand(recipe=SPLINT)) == "wet the brush, patch 1 of 8"
    assert line(lamp_in_hand()) == "wet the brush"


def test_hand_work_says_what_comes_after_it():
    assert line(desk_at("supports")) == "says where; long: supports are off"


def test_a_loaded_box_says_the_count_that_is_set():
    assert line(SITUATIONS["loaded"]()) == "box running: note the start"


def test_a_crown_takes_about_twenty_presses_and_half_a_dozen_holds():
    """Count them: a plain crown with two coats, from the wash to release."""
    desk = Desk()
    desk.take()
    holds, presses = [], 0
    while desk.part().phase.kind != "closed":
        row = situation(desk.bench, desk.now)
        if row in ("card", "run-due", "sign"):
            before = len(desk.entries)
            desk.step()
            made = {type(each.event) for each in desk.entries[before:]}
            holds.extend(
                made
                & {
                    ev.LoadConfirmed,
                    ev.SubmergeConfirmed,
                    ev.RunEndObserved,
                    ev.LampSessionOpened,
                    ev.PartReleased,
                }
            )
            presses += len(made & {ev.RunStarted, ev.BrushWetted})
        elif row in ("running", "drying", "walking"):
            desk.wait(1)
        else:
            assert isinstance(desk.press(long=row == "hand"), tuple), row
            presses += 1

    assert len(holds) == 6
    assert presses == 20


# --- the line never promises what would be refused ---------------------------------


def test_a_walk_that_would_not_go_on_is_not_said_to_go_on():
    desk = desk_at("coat-1", phase=Walking)
    desk.must(cm.BreakSpot("EX-1"))
    assert meaning(desk.bench, desk.now).line == "goes on, this spot whole"
    desk.bench = replace(desk.bench, lamp_session=None)

    told = meaning(desk.bench, desk.now).line
    assert told == "says why not"
    assert code_of(desk.press()) == "lamp-session"


def test_whoever_watches_is_not_told_that_a_press_takes_out():
    desk = desk_at("wash-1", phase=Soaking)
    desk.away(200)
    assert meaning(desk.bench, desk.now).line == "taken out"
    desk.must(cm.SetLevel("OP-1", "watch"))

    assert meaning(desk.bench, desk.now).line == "says why not: OP-1 watches for now"
    assert code_of(desk.press()) == "watching"


def test_hand_work_of_another_is_not_said_to_be_done_by_this_foot():
    desk = desk_at("fit")
    desk.must(cm.ClaimThing("part", "EX-1"), cm.ClaimStation("OP-2"))

    assert meaning(desk.bench, desk.now).line.startswith("says why not:")
    assert code_of(desk.press(long=True)) == "claimed"


def test_pressing_for_a_shut_bath_asks_its_gate_again_and_leaves_a_mark():
    """Alcohol over its load limit takes nothing, however often it is stepped on."""
    desk = desk_at("wash-1")
    desk.must(cm.FillBath("Wash 1", 1.0), cm.MeasureBath("Wash 1", 0.85, 0.785))

    assert situation(desk.bench, desk.now) == "shut"
    assert code_of(desk.press()) == "bath-load"
    assert isinstance(desk.part().phase, Ready)


def test_of_a_press_that_only_says_something_nothing_is_refused():
    desk = desk_at("wash-1", phase=Soaking)
    word = at_stage(desk.bench, desk.part(), desk.now)

    assert refused_line(desk.bench, desk.part(), word, desk.now) == ""
