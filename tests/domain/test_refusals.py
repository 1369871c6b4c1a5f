"""What is not on file, not given or out of turn: one sentence, and nothing is written."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.codes import tooth_amiss
from benchassist.domain.deciders.intake import used_before
from benchassist.domain.evolve.anew import bare
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.outcome import Refusal, Said
from benchassist.domain.state import Bench, Ready, Soaking, Walking
from tests.domain.builders import CROWN, DENTURE, Desk, code_of, desk_at, names, recipe

POLISHED = lib.Variant(0, 0, "polish")


def refused(desk, command):
    """Return the code of a refusal that tells something and changes nothing."""
    before = desk.bench
    decision = desk.do(command)
    assert isinstance(decision, Refusal), (command, decision)
    assert decision.message
    assert desk.bench.parts == before.parts
    assert desk.bench.coupon == before.coupon
    return decision.code


# --- what nobody has filed -------------------------------------------------------------


@pytest.mark.parametrize(
    ("command", "code"),
    [
        (cm.SetKeeping("EX-NONE", 1, 1, 0, "EX-IFU", "1"), "no-material"),
        (cm.HandleBottle("L-NONE", "opened"), "no-lot"),
        (cm.FillBath("  ", 1), "no-bath"),
        (cm.RotateBaths("Wash 1", "Wash 1", 1), "no-bath"),
        (cm.RotateBaths("Wash 1", "Wash 9", 1), "no-bath"),
        (cm.RotateBaths("Wash 9", "Wash 1", 1), "no-bath"),
        (cm.MeasureBath("Wash 9", 0.80, 0.785), "no-bath"),
        (cm.ServiceLamp("LM-NONE", "repaired", ""), "no-lamp"),
        (cm.ReadThrough("GV-NONE", 0.9), "no-equipment"),
        (cm.EndCoupons("lamp", "LM-NONE", "repair"), "no-equipment"),
        (cm.EndCoupons("box", "BX-NONE", "repair"), "no-equipment"),
        (cm.TypePapers("box", "BX-NONE", "label", ((380, 410),)), "no-equipment"),
        (cm.RecordSmear("EX-NONE", "bench", 0.8, 60.0), "no-material"),
        (cm.TellRunEnd("R-9", "completed", 1), "no-such-run"),
        (cm.ContinueStore("EX-OLD", 1, 9, "00", "there", "  "), "no-reason"),
        (cm.AcceptDamage((1, 9), ("one",), "there", "  "), "no-reason"),
    ],
    ids=lambda each: each if isinstance(each, str) else type(each).__name__,
)
def test_what_is_not_on_file_or_without_its_reason_is_refused(command, code):
    desk = Desk()
    desk.must(cm.FillBath("Wash 1", 1))

    assert refused(desk, command) == code


def test_what_a_missing_bath_is_asked_about_names_those_that_are_there():
    desk = Desk()
    assert desk.do(cm.MeasureBath("W", 0.8, 0.785)).message == (
        "There is no bath “W”; there are none yet: fill one first."
    )
    desk.must(cm.FillBath("Wash 1", 1), cm.FillBath("Wash 2", 1))

    told = desk.do(cm.MeasureBath("W", 0.8, 0.785)).message
    assert told == "There is no bath “W”; there are Wash 1, Wash 2."


def test_a_box_takes_its_papers_as_a_lamp_does():
    desk = Desk()
    desk.must(cm.TypePapers("box", "BX-1", "label", ((380, 410),), "EX-DS-9", "4"))

    found = desk.bench.boxes["BX-1"]
    assert (found.bands, found.document, found.revision) == (
        ((380.0, 410.0),),
        "EX-DS-9",
        "4",
    )


def test_a_store_says_which_it_goes_on_from_and_what_damage_its_owner_saw():
    desk = Desk()
    told = cm.ContinueStore("EX-OLD", 1, 9, "ab", "there", " disk ")
    seen = cm.AcceptDamage((1, 9), ("row 3",), "aside", " seen ")

    assert desk.must(told) == (
        ev.StoreContinued("EX-OLD", 1, 9, "ab", "there", "disk"),
    )
    (found,) = desk.must(seen)
    assert (found.entries, found.findings, found.reason) == (
        (1, 9),
        ("row 3",),
        "seen",
    )


# --- codes -------------------------------------------------------------------------------


def test_a_code_of_a_part_closed_long_ago_is_not_given_again():
    bench = Desk().bench
    again = cm.TakeIn(" EX-7 ", CROWN, "L-PRINT")
    back = cm.TakeIn(
        "EX-7", CROWN, "L-PRINT", variant=lib.Variant(0, 1, back_from_mouth=True)
    )

    found = used_before(bench, again, "2025-03-01")
    assert (found.code, found.message) == (
        "code-used",
        "EX-7 is the code of a part that was closed on 2025-03-01.",
    )
    assert used_before(bench, back, "2025-03-01") is None
    assert used_before(bench, again, "") is None
    here = Desk()
    here.take("EX-7")
    assert used_before(here.bench, again, "2025-03-01") is None  # said by another rule


def test_a_tooth_is_its_two_digits():
    desk = Desk()
    whole = cm.TakeIn("EX-7", CROWN, "L-PRINT", "L-COAT", tooth="the upper left one")

    assert refused(desk, whole) == "tooth"


# --- a coupon test out of turn -----------------------------------------------------------

COUPON_COMMANDS = [
    cm.BringCoupon(),
    cm.LightTab(),
    cm.StopTab(),
    cm.JudgeTab("yes"),
    cm.GoOnWithB(),
    cm.StopAfterA(),
    cm.BoxCoupon(2200),
    cm.TellCouponBox(2200),
    cm.LeaveCoupon("another day"),
]
name = {"ids": lambda each: type(each).__name__}


@pytest.mark.parametrize("command", COUPON_COMMANDS, **name)
def test_without_a_coupon_test_nothing_of_one_is_done(command):
    desk = Desk()

    assert refused(desk, command) == "coupon"
    assert desk.do(command).message == "No coupon test is under way."


@pytest.mark.parametrize(
    "command", [*COUPON_COMMANDS[2:3], *COUPON_COMMANDS[4:8]], **name
)
def test_a_step_that_is_not_next_says_which_one_is(command):
    desk = Desk()
    desk.must(cm.BeginCoupon("LM-A", "L-CLASS", "BX-1", "GV-1", 10, 2200))

    assert refused(desk, command) == "coupon"
    assert desk.do(command).message == "Coupon: now comes blank, no light."


def test_a_tab_is_lit_after_the_blank_and_not_before():
    desk = Desk()
    desk.must(cm.BeginCoupon("LM-A", "L-CLASS", "BX-1", "GV-1", 10, 2200))
    assert refused(desk, cm.LightTab()) == "coupon"
    desk.must(cm.JudgeTab("yes"))

    assert refused(desk, cm.JudgeTab("yes")) == "coupon"
    told = desk.do(cm.JudgeTab("yes")).message
    assert told.startswith("Coupon: now comes tab 1 of ")
    assert refused(desk, cm.LightTab()) == "lamp-session"
    desk.must(cm.OpenLampSession("LM-A"))
    assert names(desk.do(cm.LightTab())) == ["CouponTabLit"]


def test_a_coupon_test_in_front_is_not_brought_there_again():
    desk = Desk()
    desk.must(cm.BeginCoupon("LM-A", "L-CLASS", "BX-1", "GV-1", 10, 2200))

    assert isinstance(desk.do(cm.BringCoupon()), Said)


def test_a_coupon_test_is_given_up_with_a_reason():
    desk = Desk()
    desk.must(cm.BeginCoupon("LM-A", "L-CLASS", "BX-1", "GV-1", 10, 2200))

    assert refused(desk, cm.LeaveCoupon(" ")) == "no-reason"
    assert names(desk.do(cm.LeaveCoupon(" late "))) == ["CouponLeft"]
    assert desk.bench.coupon is None


# --- parts that are not there --------------------------------------------------------------


@pytest.mark.parametrize(
    "command",
    [
        cm.ChangePart("EX-9", "told so", lib.Variant(0, 1)),
        cm.StepBack("EX-9", "told so"),
        cm.KeepPart("EX-9", "told so"),
    ],
    **name,
)
def test_a_part_that_is_not_on_the_bench_is_no_part(command):
    assert refused(desk_at("coat-1", phase=Ready), command) == "no-such-part"


def test_a_record_is_put_right_by_whoever_has_it():
    desk = Desk()

    assert code_of(desk.do(cm.Correct(3, "lot", "L-9", "typed wrong"))) == "no-record"


# --- entered late ---------------------------------------------------------------------------


def late(desk, code="EX-1", minutes=5, **more):
    return cm.EnterLate(code, desk.now.plus(-minutes * 60_000), **more)


def test_what_was_done_elsewhere_is_entered_for_parts_that_are_here():
    desk = desk_at("half-1", phase=Ready)

    assert refused(desk, late(desk, "EX-9")) == "no-such-part"


@pytest.mark.parametrize(
    ("stage", "change", "told", "code"),
    [
        ("half-1", {"box": ""}, {"count": 2200}, "no-equipment"),
        ("submerge", {"vessel": ""}, {}, "late-vessel"),
        ("submerge", {"vessel": "GV-DRY"}, {}, "late-vessel"),
        ("coat-1", {"lamp": ""}, {"spot_s": 10}, "late-light"),
        ("coat-1", {"coat_lot": ""}, {"spot_s": 10}, "late-light"),
        ("coat-1", {}, {"spot_s": 0}, "late-light"),
    ],
)
def test_nothing_is_entered_late_with_what_was_never_chosen(stage, change, told, code):
    desk = desk_at(stage, phase=Ready)
    desk.away(3600)
    part = replace(desk.part(), **change)
    desk.bench = desk.bench.with_part(part)

    assert refused(desk, late(desk, **told)) == code


def test_one_second_of_light_is_light():
    desk = desk_at("coat-1", phase=Ready)
    desk.away(3600)

    tacked = [e for e in desk.must(late(desk, spot_s=1)) if hasattr(e, "light_ms")]
    assert {each.light_ms for each in tacked} == {1000}


@pytest.mark.parametrize("seconds", [1, 59])
def test_a_time_within_the_minute_of_what_is_known_is_that_time(seconds):
    # Hands type hours and minutes: 09:17 is any second of that minute.
    desk = desk_at("half-1", phase=Ready)
    came = desk.part().entered
    desk.away(3600)
    told = cm.EnterLate(
        "EX-1", came.plus(10 * 60_000), came.plus(-seconds * 1000), count=2200
    )
    desk.must(told)

    assert desk.events(ev.EnteredLate)[0].began.wall_ms == came.wall_ms


def test_an_end_within_the_minute_of_its_beginning_is_that_moment():
    desk = desk_at("half-1", phase=Ready)
    came = desk.part().entered
    desk.away(3600)
    began = came.plus(10 * 60_000)
    desk.must(cm.EnterLate("EX-1", began.plus(-59_000), began, count=2200))
    (found,) = desk.events(ev.EnteredLate)

    assert found.ended.wall_ms == found.began.wall_ms == began.wall_ms


def test_a_minute_before_what_is_known_is_another_time():
    desk = desk_at("half-1", phase=Ready)
    came = desk.part().entered
    desk.away(3600)
    before = cm.EnterLate("EX-1", came.plus(600_000), came.plus(-60_000), count=2200)
    turned = cm.EnterLate("EX-1", came.plus(600_000), came.plus(660_000), count=2200)
    ahead = cm.EnterLate("EX-1", desk.now.plus(1), count=2200)

    for command in (before, turned, ahead):
        assert refused(desk, command) == "late-time"


# --- a part in flight -----------------------------------------------------------------------


def test_a_gap_that_nobody_watched_is_on_record_and_changes_nothing():
    desk = desk_at("coat-1", phase=Ready)
    before = desk.bench

    assert desk.must(cm.NoteGap(4000)) == (ev.NobodyWatched(4000),)
    assert desk.bench.parts == before.parts


def test_what_only_stands_on_the_record_changes_no_part():
    desk = desk_at("coat-1", phase=Ready)
    before = desk.bench.parts
    for event in (
        ev.NobodyWatched(4000),
        ev.StateKept("aa"),
        ev.StoreContinued("EX-OLD", "aa", 9, "bb", "there", "disk"),
    ):
        desk.happened(event)

    assert desk.bench.parts == before


@pytest.mark.parametrize(
    ("stage", "phase", "again", "told", "more"),
    [
        ("wash-1", Soaking, "wash", "is busy", {}),
        ("submerge", Ready, "rinse", "has a tacked coat on it", {}),
        ("half-2", Ready, "rinse", "lies in GV-1", {"variant": POLISHED}),
    ],
)
def test_one_more_wash_or_rinse_waits_for_a_part_that_can_have_it(
    *, stage, phase, again, told, more
):
    desk = desk_at(stage, phase=phase, **more)
    command = cm.ChangePart("EX-1", "told so", again=again)

    assert refused(desk, command) == "not-changeable"
    assert told in desk.do(command).message


def test_a_recipe_without_a_bath_has_no_wash_to_give_again():
    desk = Desk()
    dry = recipe("EX-RC-DRY", washes=())
    desk.must(cm.FileLibrary(recipes=(dry,)))
    desk.take(recipe="EX-RC-DRY r1")
    desk.work(upto="fit", phase=Ready)
    command = cm.ChangePart("EX-1", "told so", again="wash")

    assert refused(desk, command) == "not-changeable"
    assert "has no bath" in desk.do(command).message
    assert names(desk.do(cm.ChangePart("EX-1", "told so", again="rinse")))


def test_the_faces_of_a_coat_that_lies_there_are_no_choice_any_more():
    desk = Desk()
    two = recipe(
        "EX-RC-TWO", faces=(lib.SpotFace("Outer", 3), lib.SpotFace("Inner", 3))
    )
    desk.must(cm.FileLibrary(recipes=(two,)))
    desk.take(recipe="EX-RC-TWO r1")
    desk.work(upto="coat-1", phase=Walking)
    desk.must(cm.HoldHere("EX-1"))
    less = replace(desk.part().variant, faces=("Outer",))

    assert refused(desk, cm.ChangePart("EX-1", "told so", less)) == "not-changeable"


def test_nobody_goes_back_behind_a_turn():
    desk = desk_at("flip-1", phase=Ready, recipe=DENTURE)
    desk.must(cm.ConfirmFlip("EX-1"))
    assert desk.stage() != "flip-1"
    command = cm.StepBack("EX-1", "not turned")
    assert refused(desk, command) == "not-changeable"
    assert "was turned" in desk.do(command).message


# --- days, claims, baskets, examples --------------------------------------------------------


@pytest.mark.parametrize(
    "printed",
    ["2026-02-30", "14.5.2026", "2026-5-14", "today", "20260514", "2026-05-15"],
)
def test_a_day_of_printing_is_a_day_that_has_come(printed):
    desk = Desk()
    told = cm.TakeIn(
        "EX-1", CROWN, "L-PRINT", "L-COAT", printed=printed, reason="told so"
    )

    assert refused(desk, told) == "printed"


def test_what_was_printed_this_morning_is_taken_in():
    desk = Desk()
    desk.take(printed=desk.now.day())

    assert desk.part().printed == desk.now.day()


def test_nobody_takes_over_what_is_the_own_already_or_nobody_s():
    desk = desk_at("coat-1", phase=Walking)
    assert refused(desk, cm.TakeOver("part", "EX-1", "why")) == "not-claimed"
    assert refused(desk, cm.TakeOver("box", "BX-1", "why")) == "not-claimed"


def test_one_part_alone_is_no_basket():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code)
    desk.must(cm.FormBasket(("EX-1", "EX-2", "EX-3")))
    desk.must(cm.ScrapPart("EX-1", "cracked"))
    (left,) = desk.bench.baskets.values()
    assert left == ("EX-2", "EX-3")
    desk.must(cm.ScrapPart("EX-2", "cracked"))

    assert desk.bench.baskets == {}


def test_an_example_recipe_of_an_own_resin_is_an_example_all_the_same():
    desk = Desk(kind="demo")
    own = replace(desk.bench.materials["EX-C"], code="OWN", example=False)
    desk.must(
        cm.FileLibrary(
            materials=(own,),
            lots=(lib.Lot("L-OWN", "OWN", ""),),
            recipes=(recipe("RC-EX", example=True, material="OWN", coat_material=""),),
        )
    )
    desk.bench = replace(desk.bench, store=replace(desk.bench.store, kind="real"))

    assert refused(desk, cm.TakeIn("K-1", "RC-EX r1", "L-OWN")) == "example-data"


def test_a_card_waits_for_the_answer_whether_one_of_its_parts_is_scrapped():
    desk = Desk()
    for code in ("EX-1", "EX-2"):
        desk.take(code)
        desk.work(code, "half-1", Ready)
    asked = replace(desk.part("EX-2"), scrap_asked="after three reworks")
    desk.bench = desk.bench.with_part(asked)

    card = cm.ConfirmLoad(("EX-1", "EX-2"), "BX-1", 2200)
    assert refused(desk, card) == "scrap-question"
    assert desk.do(card).part == "EX-2"
    assert names(desk.do(cm.ConfirmLoad(("EX-1",), "BX-1", 2200)))


@pytest.mark.parametrize(
    ("kind", "code", "part"), [("part", "EX-1", "EX-1"), ("lamp", "LM-A", "")]
)
def test_what_another_holds_is_told_of_the_part_it_is_about(kind, code, part):
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.ClaimThing(kind, code), cm.ClaimStation("OP-2"))
    refusal = desk.do(cm.PutDown(kind, code))

    assert (code_of(refusal), refusal.part) == ("claimed", part)


def test_a_bottle_whose_papers_name_no_stirring_is_not_asked_about():
    desk = desk_at("coat-1", phase=Ready)
    desk.must(cm.SetKeeping("EX-CC", 90, 0, 0, "EX-IFU", "1"))
    ask = ask_for(desk.bench, desk.part())

    assert GATES["bottle-stirred"].check(desk.bench, ask, desk.now).level == "pass"
    desk.must(cm.SetKeeping("EX-CC", 90, 0, 10, "EX-IFU", "1"))
    found = GATES["bottle-stirred"].check(desk.bench, ask, desk.now)
    assert "no stirring is on record" in found.sentence


def test_nobody_and_nothing_is_at_a_bare_bench():
    desk = desk_at("coat-1", phase=Walking)
    bench = replace(desk.bench, quiet={"EX-1": "until then"}, advised={"EX-1": "first"})
    found, empty = bare(bench), Bench()

    for name in (
        "parts",
        "runs",
        "loads",
        "claims",
        "quiet",
        "advised",
        "lamp_session",
    ):
        assert getattr(found, name) == getattr(empty, name), name
    assert found.lamps == bench.lamps  # the shelf is left


def test_a_part_leaves_a_basket_it_is_in_and_no_other():
    desk = Desk()
    desk.take()

    assert refused(desk, cm.LeaveBasket("EX-1")) == "basket"
    assert refused(desk, cm.LeaveBasket("EX-9")) == "no-such-part"


def test_a_tooth_of_the_practice_s_own_shape_is_short_all_the_same():
    desk = Desk()
    desk.must(cm.SetCodeShape("tooth", "U##", "as our slips have it"))

    assert tooth_amiss(desk.bench, "U11") == ""
    assert tooth_amiss(desk.bench, "11")
    assert tooth_amiss(desk.bench, "the upper left one").startswith(
        "A tooth has at most"
    )
