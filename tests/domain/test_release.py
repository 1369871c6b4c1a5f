"""Deviations, checks, release and scrap."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.gates import GATES, ask_for
from benchassist.domain.state import Closed, InRun, OnHold, Paused, Walking
from tests.domain.builders import DENTURE, Desk, code_of, desk_at, names

CHECKS = ("tack-free after rinsing", "inspection")


def checked(**more):
    """Return a desk whose part has all its checks behind it."""
    desk = desk_at("checks", **more)
    for check in CHECKS:
        desk.must(cm.RecordCheck("EX-1", check))
    return desk


def why_not(desk):
    refusal = desk.sign()
    assert code_of(refusal) == "release-ready"
    assert not refusal.acceptable
    return refusal


def test_a_part_is_signed_once_ledger_and_checks_are_closed():
    desk = checked()

    assert names(desk.sign()) == ["StageEnded", "PartReleased"]
    assert desk.part().phase == Closed(desk.now, "released")
    assert desk.events(ev.PartReleased)[0].recipe == "EX-RC-CROWN r1"
    assert desk.bench.in_flight == ()


def test_every_named_check_has_to_be_done():
    desk = desk_at("checks")
    assert why_not(desk).message == "The check “tack-free after rinsing” was not done."

    desk.must(cm.RecordCheck("EX-1", "tack-free after rinsing"))
    assert why_not(desk).message == "The check “inspection” was not done."
    assert code_of(desk.do(cm.RecordCheck("EX-1", "smell"))) == "no-such-check"


def test_a_failed_check_opens_a_deviation_and_passing_it_later_does_not_close_that():
    desk = checked()
    decision = desk.do(cm.RecordCheck("EX-1", "inspection", passed=False))
    assert names(decision) == ["CheckRecorded", "DeviationOpened"]
    assert decision[1].rule == "check-failed"
    assert "D-1" in why_not(desk).message

    desk.must(cm.RecordCheck("EX-1", "inspection"))
    assert "D-1" in why_not(desk).message
    desk.must(cm.CloseDeviation("D-1", "rework", "polished out"))

    assert names(desk.sign())[-1] == "PartReleased"


def test_a_check_that_failed_is_told_as_failed():
    desk = checked()
    desk.must(cm.RecordCheck("EX-1", "inspection", passed=False))
    desk.must(cm.CloseDeviation("D-1", "use as is", "a speck inside"))

    assert why_not(desk).message == "The check “inspection” failed."


def test_a_part_is_checked_and_released_at_the_end_of_its_route_only():
    desk = desk_at("rinse")

    assert code_of(desk.do(cm.RecordCheck("EX-1", "inspection"))) == "not-at-stage"
    assert code_of(desk.sign()) == "not-at-stage"


def test_a_part_on_hold_is_not_released():
    desk = checked()
    desk.must(cm.HoldPart("EX-1", "the dentist calls back"))

    assert code_of(desk.sign()) == "not-at-stage"
    assert desk.part().phase == OnHold(desk.now)


def test_no_part_is_released_on_less_than_it_is_owed():
    desk = checked()
    part = desk.part()
    short = replace(part.exposures[1], low=2199)
    desk.bench = desk.bench.with_part(
        replace(part, exposures=(part.exposures[0], short))
    )

    refusal = why_not(desk)

    assert refusal.message == "body: 4399 of 4400 confirmed."
    assert refusal.numbers == (("low", 4399), ("owed", 4400))


def test_surplus_on_the_body_does_not_release_a_coat_that_was_short():
    desk = checked()
    part = desk.part()
    first, second = part.exposures
    desk.bench = desk.bench.with_part(
        replace(part, exposures=(replace(first, low=3000), replace(second, low=2100)))
    )

    assert why_not(desk).message == "coat-2: 2100 of 2200 confirmed."


def test_a_side_that_is_short_is_named():
    desk = checked(recipe=DENTURE)
    part = desk.part()
    late = tuple(
        replace(each, low=500) if (each.side, each.half) == ("B", 1) else each
        for each in part.exposures
    )
    desk.bench = desk.bench.with_part(replace(part, exposures=late))

    assert why_not(desk).message == "body side B: 1100 of 1200 confirmed."


def holed():
    """Return a desk whose part lacks a spot of its first coat behind its last half."""
    desk = checked()
    part = desk.part()
    spots = ("done", "broken", "done", "done", "done")
    work = {**part.work, "coat-1": replace(part.work["coat-1"], spots=spots)}
    desk.bench = desk.bench.with_part(replace(part, work=work))
    return desk


def test_a_spot_that_was_never_tacked_keeps_the_part_here():
    refusal = why_not(holed())

    assert refusal.message == "coat-1: 4 of 5 spots tacked."
    assert refusal.numbers == (("done", 4), ("spots", 5))
    assert "deviation that names coat-1" in refusal.remedy


@pytest.mark.parametrize(
    ("text", "decision", "goes"),
    [
        ("coat-1: spot 2 had no light of its own", "use as is", True),
        ("coat 1, spot 2", "use as is", True),
        ("coat-1: spot 2", "ask prescriber", False),
        ("coat-2: spot 2", "use as is", False),
        ("touched with coat 1 cured", "use as is", False),
    ],
)
def test_a_spot_that_cannot_be_lit_any_more_is_assessed_by_its_name(
    text, decision, goes
):
    desk = holed()
    desk.must(cm.OpenDeviation(("EX-1",), text))
    (found,) = desk.bench.open_deviations("EX-1")
    desk.must(cm.CloseDeviation(found.id, decision, "looked at"))

    assert isinstance(desk.sign(), tuple) == goes


def test_a_spot_is_not_assessed_by_what_befell_another_part():
    desk = holed()
    desk.take("EX-2")
    desk.must(cm.OpenDeviation(("EX-2",), "coat-1: spot 2 had no light of its own"))
    (found,) = desk.bench.open_deviations("EX-2")
    desk.must(cm.CloseDeviation(found.id, "use as is", "looked at"))

    assert why_not(desk).message == "coat-1: 4 of 5 spots tacked."


def test_no_hand_accepts_a_part_that_is_not_ready():
    desk = desk_at("checks")

    assert (
        code_of(desk.do(cm.AcceptGate("release-ready", "EX-1", "why")))
        == "release-ready"
    )
    gate = GATES["release-ready"]
    done = checked()
    found = gate.check(done.bench, ask_for(done.bench, done.part()), done.now)
    assert found.sentence == "Ledger closed, checks done, no open deviation."


# --- deviations ----------------------------------------------------------------


def test_a_deviation_opened_by_hand_keeps_the_part_until_it_is_assessed():
    desk = checked()
    desk.must(cm.OpenDeviation(("EX-1",), "it fell into the sink"))
    assert "it fell into the sink" in why_not(desk).message

    (closed,) = desk.must(
        cm.CloseDeviation("D-1", "use as is", "no mark under the loupe")
    )

    assert (closed.deviation, closed.decision) == ("D-1", "use as is")
    assert desk.bench.open_deviations("EX-1") == ()


@pytest.mark.parametrize(("parts", "text"), [((), "it fell"), (("EX-1",), " ")])
def test_a_deviation_says_what_happened_and_to_which_part(parts, text):
    assert code_of(checked().do(cm.OpenDeviation(parts, text))) == "no-reason"


def test_a_deviation_is_assessed_once_and_with_a_reason():
    desk = checked()
    desk.must(cm.OpenDeviation(("EX-1",), "it fell"))

    assert code_of(desk.do(cm.CloseDeviation("D-1", "use as is", " "))) == "no-reason"
    assert (
        code_of(desk.do(cm.CloseDeviation("D-9", "use as is", "why")))
        == "no-such-deviation"
    )
    desk.must(cm.CloseDeviation("D-1", "use as is", "no mark"))
    assert (
        code_of(desk.do(cm.CloseDeviation("D-1", "rework", "why")))
        == "no-such-deviation"
    )


def test_a_deviation_of_two_parts_keeps_both_and_no_third():
    desk = checked()
    desk.take("EX-2")
    desk.take("EX-3")
    desk.must(cm.OpenDeviation(("EX-1", "EX-2"), "the shelf fell"))

    assert [
        len(desk.bench.open_deviations(code)) for code in ("EX-1", "EX-2", "EX-3")
    ] == [
        1,
        1,
        0,
    ]


# --- scrap ---------------------------------------------------------------------


@pytest.mark.parametrize("phase", [Walking, Paused])
def test_a_part_is_scrapped_with_a_reason_and_nothing_of_it_is_lost(phase):
    desk = desk_at("coat-1", phase=Walking)
    if phase is Paused:
        desk.must(cm.HoldHere("EX-1"))
    assert code_of(desk.do(cm.ScrapPart("EX-1", " "))) == "no-reason"

    desk.must(cm.ScrapPart("EX-1", "margin chipped"))

    assert desk.part().phase == Closed(desk.now, "scrapped")
    assert desk.part().exposures[0].low == 2200
    assert desk.tick() == ()


def test_a_part_in_the_box_is_scrapped_after_its_run_was_told():
    desk = desk_at("half-1", phase=InRun)

    assert code_of(desk.do(cm.ScrapPart("EX-1", "cracked"))) == "in-run"


def test_a_scrapped_part_leaves_its_siblings_their_deviation():
    desk = Desk()
    desk.take("EX-1")
    desk.take("EX-2")
    desk.must(cm.OpenDeviation(("EX-1", "EX-2"), "the shelf fell"))
    desk.must(cm.ScrapPart("EX-1", "cracked"))

    assert [each.id for each in desk.bench.open_deviations("EX-2")] == ["D-1"]


# --- who signs -----------------------------------------------------------------


def to_sign():
    desk = desk_at("checks")
    for check in desk.bench.checks_of(desk.part()):
        desk.must(cm.RecordCheck("EX-1", check))
    desk.must(cm.ClaimStation("OP-1"))
    return desk


@pytest.mark.parametrize("typed", ["", "OP-2", "op-1", " OP-"])
def test_a_release_is_signed_with_the_own_code(typed):
    desk = to_sign()

    assert code_of(desk.do(cm.ReleasePart("EX-1", typed))) == "not-signed"
    assert names(desk.do(cm.ReleasePart("EX-1", " OP-1 ")))[-1] == "PartReleased"


def test_whoever_is_not_confirmed_signs_nothing():
    desk = to_sign()
    desk.away(601)
    desk.tick()
    assert desk.bench.unconfirmed

    assert code_of(desk.do(cm.ReleasePart("EX-1", "OP-1"))) == "unconfirmed"
    desk.must(cm.HoldPart("EX-1", "phone"), cm.ResumePart("EX-1"))
    assert code_of(desk.do(cm.ReleasePart("EX-1", "OP-1"))) == "unconfirmed"
    desk.must(cm.ClaimStation("OP-1"))
    assert names(desk.do(cm.ReleasePart("EX-1", "OP-1")))[-1] == "PartReleased"
