"""The pages of hand actions: a key for each, and held where a record rests on it."""

from functools import partial

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.state import Ready
from benchassist.rehearsal import Player, load_script, shipped_scripts
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.ui.actions import OpenPage
from benchassist.ui.light import LIGHT_PAGES
from benchassist.ui.places import BY_KEY, OWN, PLACES
from benchassist.ui.present import hands, pages, tables
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.look import look
from tests.domain.builders import Desk, desk_at
from tests.domain.told import at, report

# What is done by a hold of two seconds, as the bench is meant to be used; common
# practice, no source. Written down a second time, so that none is lost by accident.
HELD = {
    "DrawPlaces", "MarkFaces", "MeasureVessel",
    "CheckThing", "FileThing", "ReadBox", "RetireThing", "SeeGlycerine", "SetNitrogen",
    "ChangePart", "StepBack", "ChooseEquipment", "ChooseLot", "CloseLot", "SetCodeShape",
    "ConfirmLoad", "ConfirmSubmerged", "TellRunEnd",
    "ConfirmFlip", "FillGlycerine", "AcceptGate", "OpenDeviation", "CloseDeviation",
    "FillBath", "RotateBaths", "SetKeeping",
    "ReleasePart", "ScrapPart", "KeepPart", "HandOver", "TakeOver", "SetLimit",
    "OpenLampSession", "ReportMishap", "HoldPart", "ResumePart", "TellCoatState", "TellDark",
    "SetLevel", "FileSpectrum", "ShowGlasses", "FitWorkingCurve", "BoxCoupon",
    "TellCouponBox", "LeaveCoupon", "EndCoupons", "ExplainCoupon", "Correct",
    "EnterLate", "OpenRecall", "SignDay",
}  # fmt: skip
TAPPED = {"ChoosePart", "ComeBack", "ReadHandOver", "RecordCheck", "VoidStart"}


def test_what_is_held_is_what_was_meant():
    assert {kind.__name__ for kind in cm.HELD} == HELD
    assert not {kind.__name__ for kind in cm.HELD} & TAPPED


def test_a_check_is_a_tap_and_a_failed_one_is_held():
    assert not cm.held(cm.RecordCheck("EX-1", "label"))
    assert cm.held(cm.RecordCheck("EX-1", "label", passed=False))
    assert cm.held(cm.ReleasePart("EX-1"))
    assert not cm.held(cm.ComeBack())
    assert not cm.held(OpenPage("menu"))


def _same(book):
    return book


def options_of(view):
    yield from view.options
    if view.card is not None:
        yield from view.card.options
    if view.undo is not None:
        yield from view.undo.options
    if view.light is not None:
        yield from (lamp.option for lamp in view.light.lamps if lamp.option)


@pytest.mark.parametrize("name", shipped_scripts())
def test_every_option_of_every_look_and_page_is_held_or_tapped_as_its_command_says(
    name,
):
    player = Player(load_script(name), partial(_same, MemoryJournal()))
    last, seen, looks = -1, 0, 0
    for _ in player.moments():
        bench, now = player.session.bench, player.session.now()
        if bench.seq == last:
            continue
        last = bench.seq
        offered = [*options_of(look(bench, now))]
        looks += 1
        if looks % 7 == 1:
            for table in tables.TABLES.values():
                offered += table(bench, now).options
        for option in offered:
            command = option.command
            command = command.command if isinstance(command, Gap) else command
            assert option.hold == cm.held(command), (option.text, command)
            seen += 1
    assert seen


@pytest.mark.parametrize("where", ["fit", "checks", "coat-1"])
def test_every_option_of_a_page_has_a_key_of_its_own(where):
    desk = desk_at(where)
    for table in tables.TABLES.values():
        keys = [option.key for option in table(desk.bench, desk.now).options]
        assert all(keys)
        assert len(set(keys)) == len(keys), keys


def test_no_key_of_a_page_is_one_of_the_two_that_work_everywhere():
    desk = desk_at("fit")
    report(desk, "cracked", "margin or connector")
    for table in tables.TABLES.values():
        keys = {option.key for option in table(desk.bench, desk.now).options}
        assert not keys & {"H", "W"}


def test_the_plan_and_the_people_are_one_key_from_the_bench():
    keys = {place.page: place.key for place in PLACES}

    assert (keys["plan"], keys["people"]) == ("A", "G")
    assert len(BY_KEY) == len(PLACES)
    assert set(tables.TABLES) >= tables.LIVE


def test_every_place_has_a_page_and_no_letter_of_a_place_answers_on_a_page():
    known = {
        *tables.TABLES,
        *pages.FORMS,
        *LIGHT_PAGES,
        *OWN,
        "late",
        "setup",
        "intake",
    }
    desk = desk_at("fit")
    report(desk, "cracked", "margin or connector")

    assert {place.page for place in PLACES} <= known
    for name, table in tables.TABLES.items():
        keys = {option.key for option in table(desk.bench, desk.now).options}
        assert not keys & (BY_KEY.keys() - {"O"}), name


def test_what_a_hand_may_do_with_a_part_depends_on_where_it_stands():
    def told(desk):
        return {option.text for option in hands.change(desk.bench).options}

    desk = desk_at("fit")
    assert "Put on hold, covered" in told(desk)
    desk.must(cm.HoldPart("EX-1", "phone"))
    assert "Take from hold" in told(desk)
    assert "Put on hold, covered" not in told(desk)
    assert "Scrap this part" not in told(Desk())
    desk.must(cm.OpenDeviation(("EX-1",), "scratched"))
    offered = hands.deviations(desk.bench, desk.now).options
    assert "Accept D-1 as it is" in {option.text for option in offered}


def test_what_is_changed_says_what_it_has_now():
    assert hands.change(desk_at("fit").bench).empty == "Now: LM-A, BX-1, GV-1"


def test_a_change_of_glycerine_is_told_in_a_form_and_then_held():
    view = hands.confirm(Desk().bench, cm.FillGlycerine("GV-1", "G-2"))

    assert view.empty == "GV-1: emptied, wiped, filled anew with G-2."
    assert view.options[0].hold


def test_learning_is_about_whoever_is_here():
    desk = Desk()
    page = hands.school(desk.bench)
    assert page.title == "Learning: OP-1"
    assert [row[0] for row in page.rows if row[2] == "now"] == ["alone"]
    desk.must(cm.SetLevel("OP-1", "gates only"))
    now = [row[0] for row in hands.school(desk.bench).rows if row[2] == "now"]
    assert now == ["told at gates only"]


def test_with_nobody_at_the_bench_learning_says_who_is_to_be_named_first():
    page = hands.school(Desk(operator="").bench)

    assert page.title == "Learning"
    assert page.rows == ()
    assert [option.key for option in page.options] == ["O"]


def test_who_learns_sees_how_many_answers_said_first_were_right():
    desk = desk_at("half-1", phase=Ready)
    desk.must(cm.SetLevel("OP-1", "every prompt"))
    assert "Said first" not in hands.school(desk.bench).note
    desk.must(cm.Predict("EX-1", "half-count", 2200))

    assert hands.school(desk.bench).note == "Said before it was shown: 1 of 1 right."


def test_a_start_can_be_undone_with_the_truth_about_it():
    answers = [option.command.really_ran for option in hands.undo_options()]

    assert answers == ["no", "yes", "not sure"]


def test_a_part_that_is_asked_about_can_still_be_scrapped_from_the_list():
    desk = at("bare")
    report(desk, "cracked", "margin or connector")
    scrap = next(
        o for o in hands.change(desk.bench).options if o.text == "Scrap this part"
    )

    assert scrap.command.filled("why") == cm.ScrapPart("EX-1", "why")


def test_what_is_of_yesterday_has_its_day():
    """Opened on a Thursday; an hour alone would be read as today's."""
    desk = desk_at("fit")
    desk.must(cm.OpenDeviation(("EX-1",), "scratched"), cm.ClaimThing("lamp", "LM-C"))
    then, tomorrow = f"{desk.now.local():%H:%M}", desk.now.plus(86_400_000)

    for table in (hands.deviations, hands.holdings):
        assert table(desk.bench, desk.now).rows[0][-1] == then
        assert table(desk.bench, tomorrow).rows[0][-1] == f"Thu {then}"


def test_claims_are_listed_with_whose_they_are_and_since_when():
    desk = Desk()
    assert hands.holdings(desk.bench, desk.now).rows == ()
    desk.must(cm.ClaimThing("lamp", "LM-C"))

    assert hands.holdings(desk.bench, desk.now).rows == (
        ("LM-C", "OP-1", f"{desk.now.local():%H:%M}"),
    )
