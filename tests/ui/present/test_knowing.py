"""How well a pair is known, and a coupon test in front: the words of every step."""

import math

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.knowledge import TESTED_HERE
from benchassist.sums.subject import subject
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import coupon as in_front
from benchassist.ui.present import heard, knowing, pages
from benchassist.ui.present.look import look
from benchassist.value import replace
from tests.domain.builders import Desk, coupon, lamp

LABEL = ((390.0, 420.0),)


def desk(*coupons, lamp_=None):
    """Return a bench with a crown whose coat is the class resin, its lamp labelled."""
    found = Desk()
    bare = lamp_ or replace(
        lamp("LM-L", "", "unknown"), bands=LABEL, document="", revision=""
    )
    recipe = replace(
        found.bench.recipes["EX-RC-CROWN r1"], code="EX-RC-K", coat_material="EX-CLASS"
    )
    found.must(
        cm.FileLibrary(
            lamps=(bare,),
            recipes=(recipe,),
            coupons=tuple((each, "") for each in coupons),
            lots=(lib.Lot("L-CLASS-2", "EX-CLASS", ""),),
        )
    )
    found.take(recipe="EX-RC-K r1", coat_lot="L-CLASS", lamp=bare.code)
    return found


def about(found):
    return subject(found.bench, found.now)


def view(found):
    return knowing.knowing(found.bench, about(found))


def first(found):
    return knowing.options(found.bench, about(found))[0]


def test_a_label_gives_no_seconds_and_says_by_what_they_are_had():
    found = desk()
    seen = view(found)
    label, tried, measured = seen.steps

    assert seen.headline == "No seconds to give"
    assert (label.title, label.verdict, label.badge) == (
        "Label only",
        "FAIL",
        "seconds unknown",
    )
    assert label.here
    assert label.low == 0
    assert (tried.lines, tried.here) == (("never tested here",), False)
    assert measured.verdict == ""
    assert "coupon" in seen.lines[1]


def test_a_coupon_shows_its_seconds_against_those_planned():
    found = desk(coupon(lamp="LM-L", held_s=15.0, top_s=30.0))
    seen = view(found)
    tried = seen.steps[1]

    assert seen.headline == "Give 19 s a spot"
    assert (tried.verdict, tried.badge, tried.here) == ("PASS", TESTED_HERE, True)
    assert (tried.low, tried.high, seen.planned_s) == (19, 30, 10)
    assert seen.axis_s >= 30
    assert tried.lines[0] == "own tabs, BX-1, GV-1; sets A and B"
    assert "good to" in tried.lines[1]
    assert sum(step.here for step in seen.steps) == 1


def test_set_a_alone_has_no_longest():
    found = desk(coupon(lamp="LM-L", top_s=0.0, finished=False, reading=0.0))
    tried = view(found).steps[1]

    assert (tried.verdict, tried.badge) == ("MARGINAL", "set A only")
    assert math.isinf(tried.high)
    assert tried.lines[1].endswith("that day only")


@pytest.mark.parametrize(
    ("lamp_", "step", "badge"),
    [
        (lamp("LM-L", "at-405", "declared"), 0, "from its papers"),
        (lamp("LM-L", "at-405"), 2, "measured"),
    ],
)
def test_papers_and_a_measurement_are_computed(lamp_, step, badge):
    found = Desk()
    found.must(cm.FileLibrary(lamps=(lamp_,)))
    found.take(lamp="LM-L")
    row = view(found).steps[step]

    assert row.here
    assert row.badge == badge
    assert 0 < row.low < row.high


def test_a_known_mismatch_offers_no_coupon():
    found = Desk()
    found.take(lamp="LM-B")
    seen = view(found)

    assert seen.headline == "No seconds to give"
    assert "another lamp" in seen.lines[1]
    assert (seen.steps[0].title, seen.steps[0].verdict) == ("Known mismatch", "FAIL")
    assert seen.steps[1].told == "no coupon makes that good"
    assert first(found).command == OpenPage("papers")


def test_what_was_measured_counts_and_not_what_is_on_paper():
    found = Desk()
    found.take()
    seen = view(found)

    assert seen.steps[0].verdict == ""
    assert seen.steps[0].told == "what was measured counts"
    assert (
        seen.lines[0] == "The recipe plans 10 s. It needs 9 to 11 s by what is on file."
    )


def test_the_first_way_up_begins_a_coupon_of_the_part_at_hand():
    option = first(desk())

    assert option.key == "Enter"
    assert option.text == "Coupon test: 16 min of hands, 23 at worst"
    command = option.command
    assert (command.lamp, command.lot, command.box, command.vessel) == (
        "LM-L",
        "L-CLASS",
        "BX-1",
        "GV-1",
    )
    assert (command.planned_s, command.count, command.short) == (10, 2200, False)


def test_a_new_lot_is_offered_the_short_test_and_a_running_one_is_gone_on_with():
    found = desk(coupon(lamp="LM-L", lot="L-CLASS-2"))
    assert first(found).command.short

    found.must(first(found).command)

    assert first(found).command == cm.BringCoupon()


def test_a_failed_tab_is_explained_from_here():
    found = desk()
    found.must(cm.RecordCoupon("LM-L", "EX-CLASS", passed=False, tack_s=9))
    options = knowing.options(found.bench, about(found))

    assert options[-1].command.command == cm.ExplainCoupon("LM-L", "EX-CLASS", "")
    assert options[-1].hold


def test_what_was_tested_is_listed_the_newest_first_with_what_ends_it():
    found = desk(coupon(lamp="LM-L"), coupon(lamp="LM-L", top_s=0.0, finished=False))
    table = knowing.tested(found.bench, found.now)

    assert [row[0] for row in table.rows] == ["T-2", "T-1"]
    assert [row[3] for row in table.rows] == [
        "sets from 10 s; skin untested",
        "10 to 20 s",
    ]
    ends = {option.command for option in table.options}
    assert cm.EndCoupons("lamp", "LM-L", "repair") in ends
    assert cm.EndCoupons("box", "BX-1", "another box lamp") in ends
    assert "Not conversion" in table.note


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"held_s": 0.0, "tried_s": 20.0}, "not set at 20 s"),
        ({"finished": False}, "soft at the end after 20 s"),
    ],
)
def test_what_a_coupon_shows_is_said_when_it_failed(changes, told):
    found = desk(coupon(lamp="LM-L", **changes))

    assert knowing.shows(found.bench.tested["LM-L", "EX-CLASS"][0]) == told


# --- a test in front -----------------------------------------------------------------


def test_a_test_is_walked_by_the_options_on_the_screen():
    found = desk()
    found.must(first(found).command)
    shown = look(found.bench, found.now)
    assert shown.headline == "Blank: coat half, no light, swab"
    assert shown.band.word == "ASK"
    assert "16 min of hands, 23 at worst" in shown.subline

    found.must(shown.card.options[0].command)
    shown = look(found.bench, found.now)
    assert shown.card.title == "Before the lamp"

    found.must(shown.card.options[0].command)
    shown = look(found.bench, found.now)
    assert shown.headline == "Tab 1 of 3: light 5 s"
    assert (shown.band.word, shown.pedal_line) == ("DO", "lights this tab")

    found.press()
    found.wait(2)
    shown = look(found.bench, found.now)
    assert (shown.countdown.big, shown.countdown.unit) == ("3", "s left of 5")
    assert shown.pedal_line == "this tab not done"

    found.wait(3)
    shown = look(found.bench, found.now)
    assert shown.card.title == "Does it hold?"
    assert [option.key for option in shown.card.options] == ["1", "2", "3", "0"]
    found.must(shown.card.options[1].command)
    assert "½T, 5 s: gone" in in_front.progress(found.bench.coupon)[0].lines


def test_every_step_has_a_screen_with_a_way_on_and_a_way_out():
    found = desk()
    found.must(first(found).command)
    seen = set()
    for _ in range(60):
        if found.bench.coupon is None:
            break
        shown = look(found.bench, found.now)
        seen.add(shown.headline.split(":")[0].split(" ")[0])
        assert shown.headline
        if shown.card is None:
            found.wait(300 if found.bench.coupon.boxed else 5)
        elif shown.card.options[0].key == "0":
            found.press()
        else:
            assert shown.card.options[-1].command.command == cm.LeaveCoupon("")
            found.must(shown.card.options[0].command)

    assert found.bench.coupon is None
    assert found.bench.tested["LM-L", "EX-CLASS"][0].coupon.finished
    assert {"Blank", "Tab", "Held", "3", "Tabs", "Air"} <= seen


def test_a_tab_is_heard_second_by_second_and_its_end_once():
    found = desk()
    found.must(first(found).command, cm.JudgeTab("yes"), cm.OpenLampSession("LM-L"))
    found.press()
    memory, sounds, lines = heard.Memory(), [], []
    for _ in range(60):
        memory, now = heard.hear(memory, found.bench, found.now)
        sounds += [now.sound] if now.sound else []
        lines += now.lines
        found.wait(0.1)

    assert sounds == ["tick", "tick", "last-tick", "last-tick", "last-tick", "next"]
    assert lines == ["T 1. Tab done."]


def test_a_tab_that_is_broken_off_has_no_end_to_be_heard():
    found = desk()
    found.must(first(found).command, cm.JudgeTab("yes"), cm.OpenLampSession("LM-L"))
    found.press()
    memory, _ = heard.hear(heard.Memory(), found.bench, found.now)
    found.wait(1)
    found.press()

    assert heard.hear(memory, found.bench, found.now)[1].sound is None


# --- forms ---------------------------------------------------------------------------


def test_the_forms_are_reached_from_the_equipment_page():
    found = Desk()
    opened = {
        option.command.page
        for option in pages.equipment(found.bench, found.now).options
        if isinstance(option.command, OpenPage)
    }

    assert {"papers", "through", "tested", "how-well", "coupon"} <= opened


def test_what_papers_state_is_typed_in_one_form():
    values = {
        "thing": "lamp LM-A",
        "bands": "380-410, 445–475",
        "mw_cm2": "",
        "document": "EX-DS-4",
        "revision": "2",
        "reason": "leaflet",
    }
    command = pages.command_of(Desk().bench, "papers", values, Desk().now)

    assert command == cm.TypePapers(
        "lamp",
        "LM-A",
        "leaflet",
        ((380.0, 410.0), (445.0, 475.0)),
        "EX-DS-4",
        "2",
        0.0,
    )
    with pytest.raises(pages.FormError, match="a band like 380-410"):
        pages.command_of(Desk().bench, "papers", values | {"bands": "385"}, Desk().now)


def test_two_readings_make_the_share_through_a_wall():
    values = {"vessel": "GV-1", "behind": "92", "without": "100"}

    assert pages.command_of(
        Desk().bench, "through", values, Desk().now
    ) == cm.ReadThrough("GV-1", 0.92)


def test_one_tab_is_told_with_its_seconds():
    values = {"lamp": "LM-A", "material": "EX-CC", "seconds": "12", "how": "not set"}

    assert pages.command_of(
        Desk().bench, "coupon", values, Desk().now
    ) == cm.RecordCoupon("LM-A", "EX-CC", passed=False, tack_s=12.0, how="not set")
