"""A part that was in a mouth comes back: own glycerine, bite again, the dose so far."""

from dataclasses import replace

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.ledger import bounds, owed
from benchassist.domain.state import BODY, Closed, Ready
from tests.domain.builders import SPLINT, Desk, code_of, desk_at, names

BACK = lib.Variant(0, 2, back_from_mouth=True, faces=("Biting",))


def at_submerge(desk=None, **more):
    desk = desk or Desk()
    desk.take("EX-1", SPLINT, BACK, **({"before": 1400} | more))
    desk.work(upto="submerge", phase=Ready)
    return desk


def test_its_route_disinfects_first_and_offers_no_first_half():
    desk = Desk()
    desk.take("EX-1", SPLINT, BACK)
    keys = [stage.key for stage in desk.part().route]

    assert keys == [
        "disinfect", "abrade", "dry-coat", "mount", "coat-1", "coat-2", "submerge",
        "half-2", "rinse", "dry-end", "checks",
    ]  # fmt: skip


def test_only_the_face_that_was_adjusted_is_coated():
    desk = at_submerge()

    assert {len(work.spots) for work in desk.part().work.values()} == {20}
    assert desk.part().work["coat-1"].segments == 3  # 8 + 8 + 4 spots


def test_the_dose_of_its_first_visit_is_on_the_ledger_and_150_percent_are_noticed():
    desk = at_submerge()
    assert bounds(desk.part(), layer=BODY, side="") == (1400, 1400)
    desk.work(upto="checks")

    assert bounds(desk.part(), layer=BODY, side="") == (2100, 2100)
    (noticed,) = desk.events(ev.DoseNoticed)
    assert (noticed.high, noticed.total) == (2100, 1400)
    assert desk.events(ev.DeviationOpened) == []
    accounts = {
        (each.layer, each.owed, each.low) for each in owed(desk.bench, desk.part())
    }
    assert accounts == {("body", 0, 2100), ("coat-2", 700, 700)}


def test_past_twice_the_dose_a_deviation_is_opened():
    desk = at_submerge(before=2200)
    desk.work(upto="checks")

    assert [each.rule for each in desk.events(ev.DeviationOpened)] == ["over-dose"]


def test_a_part_released_today_comes_back_under_its_own_code_with_its_own_ledger():
    desk = desk_at("checks", recipe=SPLINT)
    desk.work()
    assert isinstance(desk.part().phase, Closed)
    desk.take("EX-1", SPLINT, BACK, before=9)

    assert bounds(desk.part(), layer=BODY, side="") == (1400, 1400)
    assert desk.part().coats == 0
    assert desk.part().work == {}


@pytest.mark.parametrize("variant", [None, lib.Variant(0, 2)])
def test_no_other_part_takes_a_code_that_is_taken(variant):
    desk = desk_at("checks", recipe=SPLINT)
    desk.work()
    command = cm.TakeIn("EX-1", SPLINT, "L-PRINT", variant=variant)

    assert code_of(desk.do(command)) == "code-taken"
    assert code_of(desk.do(replace(command, part="EX-2", before=-1))) == "before"


def test_a_scrapped_part_does_not_come_back():
    desk = desk_at("fit", recipe=SPLINT)
    desk.must(cm.ScrapPart("EX-1", "margin"))

    assert (
        code_of(desk.do(cm.TakeIn("EX-1", SPLINT, "L-PRINT", variant=BACK)))
        == "code-taken"
    )


# --- its own glycerine ---------------------------------------------------------------


def test_the_brush_stays_dry_until_a_fresh_portion_is_filled():
    desk = Desk()
    desk.take("EX-1", SPLINT, BACK)
    desk.happened(ev.GlycerineFilled("GV-1", "G-1", 2))
    desk.work(upto="coat-1", phase=Ready)
    desk.must(cm.OpenLampSession("LM-A"))

    refusal = desk.do(cm.WetBrush("EX-1"))
    assert refusal.message == "EX-1 was in a mouth; GV-1 had 2 immersions."
    desk.must(cm.FillGlycerine("GV-1", "G-2"), cm.WetBrush("EX-1"))


def test_its_portion_serves_no_other_part_and_is_thrown_away():
    desk = at_submerge()
    decision = desk.must(cm.ConfirmSubmerged(("EX-1",), "BX-1", "GV-1", 700))
    assert names(decision)[:2] == ["SubmergeConfirmed", "GlycerineSpoilt"]
    desk.work(upto="checks")
    desk.take("EX-2")
    desk.work("EX-2", "coat-1", Ready)

    refusal = desk.do(cm.WetBrush("EX-2"))
    assert code_of(refusal) == "box-free-for-coat"
    assert "own portion of EX-1" in refusal.message
    desk.must(cm.FillGlycerine("GV-1", "G-3"))
    desk.work("EX-2", "submerge", Ready)


def test_it_goes_alone_into_its_vessel():
    desk = at_submerge()
    desk.take("EX-2", SPLINT)
    desk.work("EX-2", "submerge", Ready)

    refusal = desk.do(cm.ConfirmSubmerged(("EX-1", "EX-2"), "BX-1", "GV-1", 700))
    assert code_of(refusal) == "own-glycerine"
    assert refusal.message == "EX-1 was in a mouth: not in one vessel with EX-2."


def test_a_top_up_without_lifting_needs_no_second_portion():
    desk = at_submerge()
    desk.submerge("EX-1")
    desk.wait(60)
    desk.must(cm.StartRun("BX-1"))
    desk.wait(90)
    desk.must(cm.TellRunEnd("R-1", "stopped", 300))

    assert names(desk.must(cm.ConfirmLoad(("EX-1",), "BX-1", 400))) == ["LoadConfirmed"]


# --- its bite --------------------------------------------------------------------------


def test_its_bite_is_checked_again_before_it_is_released():
    desk = at_submerge()
    desk.work(upto="checks")
    assert desk.bench.checks_of(desk.part())[-1] == "bite again"
    desk.must(
        *(
            cm.RecordCheck("EX-1", name)
            for name in desk.bench.recipe_of(desk.part()).checks
        )
    )

    refusal = desk.sign()
    assert "bite again" in refusal.message
    desk.must(cm.RecordCheck("EX-1", "bite again"))
    desk.sign()
