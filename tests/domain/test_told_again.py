"""What is typed to put an entry right: read, or refused with what to type instead."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.state import Ready
from tests.domain.builders import DENTURE, code_of
from tests.domain.kept import KeptDesk

NEW = lib.Lot("L-NEW", "EX-CC", "2030-01-01")


@pytest.fixture(scope="module")
def done():
    """Return a desk with a part released, and a denture of two sides."""
    desk = KeptDesk()
    desk.take("EX-1")
    desk.work("EX-1")
    desk.take("EX-2", recipe=DENTURE)
    desk.work("EX-2", "supports")
    desk.must(cm.ReadLamp("LM-A", 100.0), cm.FileLibrary(lots=(NEW,)))
    desk.must(cm.FillGlycerine("GV-2", "G-7"))
    return desk


@pytest.mark.parametrize(
    ("kind", "part", "field", "typed", "told"),
    [
        (ev.StageEnded, "EX-1", ev.GONE, "maybe", "Say yes or no."),
        (ev.CheckRecorded, "EX-1", "passed", "maybe", "Say yes or no."),
        (ev.RunEndObserved, "EX-1", "low", "many", "Type the count in digits"),
        (ev.RunEndObserved, "EX-1", "low", "1000-600", "Type the count in digits"),
        (ev.RunEndObserved, "EX-1", "low", "600-", "Type the count in digits"),
        (ev.LoadConfirmed, "EX-1", "count", "0", "Type the count that was set"),
        (ev.LoadConfirmed, "EX-1", "count", "600-700", "Type the count that was set"),
        (ev.StageEnded, "EX-1", "elapsed_ms", "3:2x", "Type the time as 3:20"),
        (ev.StageEnded, "EX-1", "elapsed_ms", "long", "Type the time as 3:20"),
        (ev.LampReadingTaken, "", "reading", "bright", "Type a number."),
        (ev.LampReadingTaken, "", "reading", "0", "Type a number above 0."),
        (ev.LampReadingTaken, "", "reading", "1e6", "Type a number above 0."),
        (
            ev.LotReceived,
            "",
            "lot.expires",
            "2026-13-01",
            "Type the day as 2026-05-14.",
        ),
        (
            ev.LotReceived,
            "",
            "lot.expires",
            "2026-00-01",
            "Type the day as 2026-05-14.",
        ),
        (
            ev.LotReceived,
            "",
            "lot.expires",
            "2026-01-32",
            "Type the day as 2026-05-14.",
        ),
        (
            ev.LotReceived,
            "",
            "lot.expires",
            "2026-01-00",
            "Type the day as 2026-05-14.",
        ),
        (ev.LotReceived, "", "lot.expires", "May 2026", "Type the day as 2026-05-14."),
        (
            ev.LotReceived,
            "",
            "lot.expires",
            "2026-02-31",
            "Type the day as 2026-05-14.",
        ),
        (ev.LotReceived, "", "lot.expires", "20260514", "Type the day as 2026-05-14."),
        (
            ev.LotReceived,
            "",
            "lot.expires",
            "²²²²-01-01",
            "Type the day as 2026-05-14.",
        ),
        (ev.GlycerineFilled, "", "lot", "  ", "Type it; it is empty."),
        (ev.GlycerineFilled, "", "immersions", "many", "Type how many it had had"),
        (ev.GlycerineFilled, "", "immersions", "2-3", "Type how many it had had"),
        (ev.LoadConfirmed, "EX-1", "box", "BX-9", "“BX-9” is not on file"),
        (ev.DoseCredited, "EX-1", "side", "A", "There is no side “A”"),
        (ev.DoseCredited, "EX-2", "side", "C", "there are A, B."),
    ],
)
def test_what_cannot_be_read_says_what_to_type(done, *, kind, part, field, typed, told):
    refusal = done.preview(done.last(kind, part), field, typed, part)

    assert told in refusal.message


def test_of_many_on_file_the_first_are_named_and_the_rest_counted(done):
    refusal = done.preview(done.last(ev.LoadConfirmed, "EX-1"), "box", "BX-9")

    boxes = list(done.bench.boxes)
    assert refusal.message.endswith(
        f"there are {', '.join(boxes[:6])} and {len(boxes) - 6} more."
    )


@pytest.mark.parametrize(
    ("kind", "part", "field", "typed"),
    [
        (ev.LampReadingTaken, "", "reading", "100"),
        (ev.LampReadingTaken, "", "reading", "100,0"),
        (ev.LotReceived, "", "lot.expires", " 2030-01-01 "),
        (ev.GlycerineFilled, "", "lot", "G-7"),
        (ev.LoadConfirmed, "EX-1", "count", "2200"),
        (ev.CheckRecorded, "EX-1", "passed", "passed"),
    ],
)
def test_what_it_says_already_is_no_correction(done, kind, part, field, typed):
    refusal = done.preview(done.last(kind, part), field, typed, part)

    assert code_of(refusal) == "nothing-changes"


def test_a_correction_narrowed_to_a_part_that_is_not_in_the_entry_is_none(done):
    refusal = done.preview(done.last(ev.LoadConfirmed, "EX-1"), "count", "2000", "EX-2")

    assert code_of(refusal) == "no-such-part"


# --- the shelf ------------------------------------------------------------------------------


def test_a_fill_told_wrong_is_right_on_the_shelf_while_it_is_in_use():
    desk = KeptDesk()
    desk.must(cm.FillGlycerine("GV-1", "G-7"))
    first = desk.last(ev.GlycerineFilled)
    desk.put_right(first, "lot", "G-8")
    assert desk.bench.fills["GV-1"].lot == "G-8"

    desk.wait(60)
    desk.must(cm.FillGlycerine("GV-1", "G-9"))
    desk.put_right(first, "lot", "G-6")
    assert desk.bench.fills["GV-1"].lot == "G-9"  # what was put right is poured away


def test_a_lot_s_day_told_wrong_is_right_on_the_shelf():
    desk = KeptDesk()
    desk.must(cm.FileLibrary(lots=(NEW,)))
    entry = desk.last(ev.LotReceived)
    desk.put_right(entry, "lot.expires", "2029-12-31")
    assert desk.bench.lots["L-NEW"].expires == "2029-12-31"
    desk.put_right(entry, "lot.expires", "none")
    assert desk.bench.lots["L-NEW"].expires == ""


def test_only_the_last_reading_of_a_lamp_is_put_right_on_the_shelf():
    desk = KeptDesk()
    desk.must(cm.ReadLamp("LM-A", 90.0))
    first = desk.last(ev.LampReadingTaken)
    desk.wait(60)
    desk.must(cm.ReadLamp("LM-A", 100.0))
    desk.put_right(first, "reading", "95")

    assert desk.bench.readings["LM-A"].value == 100.0


@pytest.mark.parametrize(
    ("told", "again", "kind", "field", "wrong", "right"),
    [
        (
            cm.ReadLamp("LM-A", 90.0),
            cm.ReadLamp("LM-A", 100.0),
            *(ev.LampReadingTaken, "reading", "95", "90"),
        ),
        (
            cm.FillGlycerine("GV-1", "G-7"),
            cm.FillGlycerine("GV-1", "G-9"),
            *(ev.GlycerineFilled, "lot", "G-8", "G-7"),
        ),
        (
            cm.OpenLampSession("LM-A"),
            cm.OpenLampSession("LM-A"),
            *(ev.LampSessionOpened, "lamp", "LM-BOTH", "LM-A"),
        ),
    ],
)
def test_what_something_newer_replaced_is_put_back_as_well(
    *, told, again, kind, field, wrong, right
):
    desk = KeptDesk()
    desk.must(told)
    first = desk.last(kind)
    desk.put_right(first, field, wrong)
    desk.wait(60)
    desk.must(again)
    (back,) = desk.put_right(first, field, right)

    ((_, _, _, _, old, new, _),) = (vars(each).values() for each in back.changes)
    assert (str(old).removesuffix(".0"), str(new).removesuffix(".0")) == (wrong, right)
    assert code_of(desk.preview(first, field, right)) == "nothing-changes"


def test_a_lamp_told_wrong_is_put_right_after_its_session_too():
    desk = KeptDesk()
    desk.take("EX-1", lamp="LM-BOTH")
    desk.work("EX-1", "coat-2", Ready)
    entry = desk.last(ev.LampSessionOpened)
    desk.must(cm.ClaimStation("OP-1"))
    assert desk.bench.lamp_session is None
    desk.put_right(entry, "lamp", "LM-A")
    assert desk.bench.lamp_session is None

    desk.must(cm.OpenLampSession("LM-BOTH"))
    desk.put_right(entry, "lamp", "LM-BOTH")
    assert desk.bench.lamp_session.lamp == "LM-BOTH"  # another session, and confirmed


def test_what_is_put_right_of_one_leaves_it_in_the_box_with_the_others():
    desk = KeptDesk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code)
        desk.work(code, "half-1", Ready)
    together = ("EX-3", "EX-1", "EX-2")
    desk.must(cm.ConfirmLoad(together, "BX-1", 2200))
    desk.put_right(desk.last(ev.PartTaken, "EX-1"), "print_lot", "L-PRINT-2", "EX-1")

    assert desk.part("EX-1").print_lot == "L-PRINT-2"
    assert desk.bench.loads["BX-1"].parts == together
    desk.must(cm.StartRun("BX-1"))
    desk.put_right(desk.last(ev.PartTaken, "EX-2"), "print_lot", "L-PRINT-2", "EX-2")
    (run,) = desk.bench.runs.values()
    assert run.parts == together
    assert dict(run.sides) == dict.fromkeys(together, "")
