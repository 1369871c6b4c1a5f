"""A new store that goes on from a damaged one knows what the old one knew of things."""

# ruff: noqa: S608 - statements of our own making

import sqlite3
from contextlib import closing
from dataclasses import fields

import pytest

from benchassist import recovery
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.gates import ask_for, judge
from benchassist.domain.library import Variant
from benchassist.domain.shape import BoxPlace, BoxPlan, VesselSize
from benchassist.domain.state import Bench, Ready
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from tests.domain.builders import coupon
from tests.test_session import DeskOnDisk

WHY = "OP-1: the disk failed"
HOUR_MS = 3_600_000
ALIKE = (
    "tabs", "trials", "against", "glasses", "smears", "keeping",
    "closed_lots", "code_shapes", "levels", "accepted_things", "validated",
    "lamp_on_ms", "lamp_on_by_lamp_ms", "tested", "coupons_begun", "meters", "filed",
    "retired", "boxes_kept", "vessel_sizes", "box_plans",
)  # fmt: skip
AGED = (
    "working_curves",
    "readings",
    "fills",
    "baths",
    "bottles",
    "routines",
)
SHELF = (
    "limits",
    "curves",
    "materials",
    "lots",
    "lamps",
    "boxes",
    "vessels",
    "recipes",
)
OF_PARTS = {  # belongs to parts in flight, to a moment, or to this store's own days
    "parts", "loads", "runs", "baskets", "accepted", "deviations", "claims",
    "predicted", "advised", "quiet", "took", "boots", "wishes", "kept_in_turn", "days",
    "dishes", "recalls", "photos_before",
}  # fmt: skip


def worked(folder):
    """Return a desk that has two parts behind it and much on file."""
    desk = DeskOnDisk(folder)
    desk.take("EX-1")
    desk.work("EX-1")
    desk.take("EX-2")
    desk.must(cm.ScrapPart("EX-2", "cracked"))
    desk.must(
        cm.ReadLamp("LM-A", 97.0),
        cm.ReadLamp("LM-B", 91.0),
        cm.ServiceLamp("LM-B", "repaired"),
        cm.RecordCoupon("LM-A", "EX-CC", passed=True, tack_s=10),
        cm.RecordCoupon("LM-B", "EX-CC", passed=False, tack_s=10, how="not set"),
        cm.FileLibrary(coupons=((coupon(), "2026-05-13"),)),
        cm.FitWorkingCurve(
            "LM-A", "EX-CC", ((10, 20), (20, 60), (40, 100), (80, 140)), "sheet 4"
        ),
        cm.ShowGlasses("OP-1", "EX-GLASSES", 300, 500, 0.001),
        cm.RecordSmear("EX-CC", "window", 2.0, 60),
        cm.FillBath("Wash 1", 2.0),
        cm.FillGlycerine("GV-2", "G-7"),
        cm.HandleBottle("L-COAT", "stirred"),
        cm.SetKeeping("EX-CC", 90, 30, 10, "EX-DS-1", "2"),
        cm.DoRoutine("eyewear", good=True),
        cm.DoRoutine("box-door", good=False, thing="BX-2", note="seal torn"),
        cm.CloseLot("L-OLD", "empty"),
        cm.SetCodeShape("lot", "@-*", "ours"),
        cm.SetLevel("OP-3", "watch"),
        cm.MeasureVessel("GV-1", VesselSize(90.0, 90.0, 3.0, 60.0)),
        cm.DrawPlaces("BX-1", BoxPlan(200.0, 150.0, (BoxPlace("P1", 50, 50, 60, 60),))),
    )
    spare = lib.Vessel("GV-9", "a spare dish", "", 5.0)
    desk.must(
        cm.FileThing(lib.Meter("EX-MT-1", "a meter", "lamp light")),
        cm.FileThing(spare),
        cm.RetireThing("vessel", "GV-9", "cracked"),
        cm.SetLimit(
            "glycerine_immersions",
            8,
            "haze measured",
            "EX-VAL-3",
            "1",
            "EX-VR-17",
            "2026-12-31",
        ),
    )
    desk.take("EX-6", vessel="GV-UNMEASURED")
    desk.work("EX-6", "coat-1", phase=Ready)
    desk.must(
        cm.AcceptGate("box-light", "EX-6", "to be measured", "2026-06-30"),
    )
    desk.take("EX-3")
    desk.work("EX-3", "wash-2")
    desk.must(cm.ClaimStation("OP-2"))
    return desk


def damaged(folder, kind="OperatorClaimed"):
    """Edit the last entry of a kind; return its number.

    No state that was kept after it, which the chain would vouch for, is left.
    """
    for path in folder.glob("state-*"):
        path.unlink()
    with closing(sqlite3.connect(folder / DATABASE, isolation_level=None)) as db:
        (seq,) = db.execute(
            "SELECT max(seq) FROM events WHERE kind = ?", (kind,)
        ).fetchone()
        laid = db.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in laid:
            db.execute(f"DROP TRIGGER {name}")
        db.execute(f"UPDATE events SET operator = 'OP-9' WHERE seq = {seq}")
        for _, text in laid:
            db.execute(text)
    return seq


@pytest.fixture
def desk(tmp_path):
    desk = worked(tmp_path / "bench")
    yield desk
    desk.session.close()


def test_whatever_a_bench_knows_is_carried_or_known_not_to_be():
    kept = {each.name for each in fields(Bench) if "dict" in str(each.type)}

    assert kept <= {*ALIKE, *AGED, *SHELF, *OF_PARTS}


def test_what_was_known_of_things_is_known_in_the_new_store_and_as_old(desk):
    before, then = desk.bench, desk.now
    desk.session.close()
    seq = damaged(desk.folder)
    desk.away(5 * 3600)

    told = recovery.go_on_anew(desk.folder, WHY, desk.clock)
    desk.again()

    bench, now = desk.bench, desk.now
    assert "2 used codes are carried forward" in told
    for name in (*ALIKE, *SHELF):
        assert getattr(bench, name) == getattr(before, name) != {}, name
    assert bench.working_curves.keys() == before.working_curves.keys()
    passed = now.since(bench.latest) + 5 * HOUR_MS
    for lamp, reading in before.readings.items():
        assert bench.readings[lamp].value == reading.value
        age = now.since(bench.readings[lamp].at)
        assert age - then.since(reading.at) == pytest.approx(passed, abs=1000)
    assert "LM-B" not in bench.readings  # it was repaired after its reading
    assert bench.fills["GV-2"].lot == "G-7"
    assert bench.fills["GV-1"].immersions == before.fills["GV-1"].immersions > 2
    assert bench.baths["Wash 1"].washed == before.baths["Wash 1"].washed
    assert bench.bottles.keys() == before.bottles.keys()
    assert not bench.routines["box-door"]["BX-2"].good
    (carried,) = [
        e.event for e in desk.entries if isinstance(e.event, ev.CarriedForward)
    ]
    assert (carried.store, carried.seq) == (before.store.store_id, seq - 1)
    with ReadOnlyJournal.open(desk.folder / "set-aside-1") as old:
        assert carried.hash == old.hash_of(seq - 1).hex()


def test_the_photos_of_a_part_are_its_own_again_when_it_is_taken_in_again(desk):
    """They lie where they lay; what names them is carried, as often as it must."""
    photos = ("a" * 64, "b" * 64)
    desk.must(*(cm.KeepPhoto("EX-3", digest) for digest in photos))
    desk.must(cm.ClaimStation("OP-1"))
    for _ in range(2):
        desk.session.close()
        damaged(desk.folder)
        told = recovery.go_on_anew(desk.folder, WHY, desk.clock)
        desk.again()
        desk.must(cm.ClaimStation("OP-2"))
        assert "2 photos and 2 used codes are carried forward" in told

    desk.take("EX-4")
    assert desk.part("EX-4").photos == ()
    desk.take("EX-3")
    assert desk.part("EX-3").photos == photos
    kept = [e.event for e in desk.session.journal.entries_of("part", "EX-3")]
    assert [each.digest for each in kept if isinstance(each, ev.PhotoKept)] == [*photos]


def test_a_code_that_was_closed_in_the_old_store_is_not_given_out_again(desk):
    desk.session.close()
    damaged(desk.folder)
    recovery.go_on_anew(desk.folder, WHY, desk.clock)
    desk.again()
    desk.must(cm.ClaimStation("OP-1"))

    for code in ("EX-1", "EX-2", "ex-1"):
        refused = desk.do(cm.TakeIn(code, "EX-RC-CROWN r1", "L-PRINT"))
        assert refused.code == "code-used"
        assert "closed on 2026-05-14" in refused.message
    desk.take("EX-3")  # was in flight: it is taken in again by its card
    desk.take("EX-2", variant=Variant(back_from_mouth=True), before=2200)
    assert {part.part for part in desk.session.journal.part_rows()} == {"EX-3", "EX-2"}
    head = desk.session.journal.head.seq
    assert not any(desk.session.journal.index_faults(head))


def test_codes_are_carried_through_a_second_damage(desk):
    desk.session.close()
    damaged(desk.folder)
    recovery.go_on_anew(desk.folder, WHY, desk.clock)
    desk.again()
    desk.must(cm.ClaimStation("OP-1"))
    desk.take("EX-4")
    desk.must(cm.ScrapPart("EX-4", "cracked"), cm.ReadLamp("LM-A", 93.0))
    desk.session.close()
    damaged(desk.folder, "LampReadingTaken")
    told = recovery.go_on_anew(desk.folder, WHY, desk.clock)
    desk.again()

    assert "3 used codes" in told
    for code in ("EX-1", "EX-2", "EX-4"):
        assert desk.session.journal.closed_day(code) == "2026-05-14"
    # The reading that cannot be proven is not carried, the one before it is.
    assert desk.bench.readings["LM-A"].value == 97.0


def test_codes_behind_the_damage_are_used_up_all_the_same(desk):
    """Nothing proves that they were closed; to give one out again would be worse."""
    desk.session.close()
    damaged(desk.folder, "StoreCreated")
    recovery.go_on_anew(desk.folder, WHY, desk.clock)
    desk.again()

    assert desk.bench.readings == {}
    assert desk.session.journal.closed_day("EX-1") == "2026-05-14"


def test_a_test_that_had_ended_is_not_carried_and_the_others_hold(tmp_path):
    desk = worked(tmp_path / "bench")
    (test,) = desk.bench.tested[("LM-A", "EX-CLASS")]
    desk.session.close()
    damaged(desk.folder)
    desk.away(100 * 24 * 3600)
    recovery.go_on_anew(desk.folder, WHY, desk.clock)
    desk.again()

    assert desk.now.day() > test.until
    assert desk.bench.tested == {}
    desk.session.close()


def test_gates_judge_by_what_was_carried(desk):
    """A lamp read yesterday is too old today, in the new store as in the old one."""
    desk.session.close()
    damaged(desk.folder)
    desk.away(30 * 3600)
    recovery.go_on_anew(desk.folder, WHY, desk.clock)
    desk.again()
    desk.must(cm.ClaimStation("OP-1"), cm.FillGlycerine("GV-1", "G-9"))
    desk.take("EX-5")
    desk.work("EX-5", "coat-1")
    ask = ask_for(desk.bench, desk.part("EX-5"))
    _, found = judge(desk.bench, "lamp-reading-age", ask, desk.now)

    assert found.level != "pass"
    desk.must(cm.ReadLamp("LM-A", 97.0))
    assert judge(desk.bench, "lamp-reading-age", ask, desk.now)[1].level == "pass"
