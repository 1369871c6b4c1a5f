"""Change this part: rows with was and is, its way, and what is held in the end."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.limits import limit_on
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Brushing, Ready
from benchassist.ui.present import change, hands
from benchassist.ui.present.own_rules import CODE_SHAPE, GLYCERINE_LIMIT, IMMERSIONS
from benchassist.ui.present.sheet import FillIn, GoTo, Turn
from tests.domain.builders import Desk, desk_at


class Sheet:
    """A draft of one part on a desk."""

    def __init__(self, stage="coat-2", phase=Ready, **more):
        self.desk = Desk()
        self.desk.take(**more)
        self.desk.work(upto=stage, phase=phase)
        self.draft = change.begun("EX-1")

    def do(self, *actions):
        for action in actions:
            self.draft = change.done(self.desk.bench, self.draft, action, self.desk.now)
        return self

    def turn(self, row, by=1):
        return self.do(Turn(row, by))

    @property
    def shown(self):
        return change.sheet(self.desk.bench, self.draft, self.desk.now)

    @property
    def enter(self):
        return next(each for each in self.shown.options if each.key == "Enter")

    def row(self, name):
        return next(row for row in self.shown.rows if row.name == name)

    def hold(self):
        assert self.enter.hold
        self.desk.must(self.enter.command)


def told(sheet):
    return [f"{line.text} {line.right}".strip() for line in sheet.shown.lines]


def test_nothing_is_changed_yet_and_its_way_is_shown():
    sheet = Sheet()
    assert sheet.shown.right == "nothing is changed yet"
    assert sheet.shown.quiet == "crown, tray 1, coat 1 done"
    assert "ITS WAY IS" in told(sheet)
    assert all(option.key != "Enter" for option in sheet.shown.options)


def test_a_coat_more_is_asked_why_and_then_held():
    sheet = Sheet().turn("coats")
    row = sheet.row("coats")
    assert (row.was, row.value, row.tone) == ("2", "3", "attention")
    assert "Coat 3 new, 80 s" in told(sheet)
    assert "Coats 30 to 60 µm becomes 45 to 90 µm" in told(sheet)
    assert sheet.enter.needs_text
    assert not sheet.enter.hold

    sheet.do(FillIn("reason", "thin at spot 14"))
    assert sheet.enter.text == "Change it: coats 3"
    sheet.hold()
    assert sheet.desk.part().variant.coats == 3
    assert change.taken(sheet.desk.bench, sheet.draft)


def test_a_lamp_that_will_not_set_it_says_so_before_it_is_held():
    sheet = Sheet().turn("lamp")
    assert sheet.row("lamp").value == "LM-B"
    assert any(line.tone == "stop" for line in sheet.shown.lines)


def test_what_cannot_be_says_why_in_the_place_of_the_way():
    sheet = Sheet(stage="submerge").turn("coats", -1)
    assert told(sheet)[0] == "NOT SO"
    assert "coat 2" in told(sheet)[1]


def test_every_row_can_be_turned_and_leads_to_a_page():
    for more in (False, True):
        for name in change.MORE if more else change.FIRST:
            sheet = Sheet(stage="mount")
            if more:
                sheet.do(GoTo("more"))
            sheet.turn(name)
            assert sheet.shown.lines, name
            assert len(sheet.shown.rows) == 8


def test_another_bottle_in_mid_coat_is_one_hold_without_a_word():
    sheet = Sheet(stage="coat-1", phase=Brushing).turn("coat_lot")
    assert sheet.enter.command == cm.ChooseLot("EX-1", "coat", "L-COAT-2")
    assert sheet.enter.text == "The bottle in hand is L-COAT-2"
    sheet.hold()
    assert sheet.desk.part().work["coat-1"].lots == ("L-COAT", "L-COAT-2")


@pytest.mark.parametrize(
    ("thing", "code"), [("lamp", "LM-B"), ("box", "BX-2"), ("vessel", "GV-2")]
)
def test_another_lamp_in_mid_coat_is_one_hold_without_a_word(thing, code):
    """A lamp that dies in the hand is no time for a reason; the coat is wet."""
    sheet = Sheet(stage="coat-1", phase=Brushing).turn(thing)
    assert sheet.enter.command == cm.ChooseEquipment("EX-1", thing, code)
    assert sheet.enter.text == f"From now on {code}"
    sheet.hold()
    assert getattr(sheet.desk.part(), thing) == code
    assert change.taken(sheet.desk.bench, sheet.draft)


def test_a_wet_part_says_what_may_change_before_anything_is_turned():
    sheet = Sheet(stage="coat-1", phase=Brushing)
    assert told(sheet)[:2] == [
        "WHILE IT IS WET",
        "Another bottle, lamp, box or vessel.",
    ]
    assert told(sheet.turn("coats"))[0] == "NOT SO"


def test_with_a_dry_brush_another_lamp_is_asked_why():
    sheet = Sheet(stage="coat-1").turn("lamp").do(FillIn("reason", "ours is away"))

    assert sheet.enter.command == cm.ChangePart("EX-1", "ours is away", lamp="LM-B")


def test_what_was_held_is_not_offered_again():
    """A second hold would go back once more, for the reason of the first."""
    sheet = Sheet(stage="fit").do(GoTo("more")).turn("back")
    sheet.do(FillIn("reason", "a strut was left"))
    assert not change.taken(sheet.desk.bench, sheet.draft)
    sheet.hold()
    assert change.taken(sheet.desk.bench, sheet.draft)

    sheet = Sheet(stage="wash-1")
    sheet.desk.take("EX-2")
    for _ in ("together", "out of it"):
        sheet.draft = change.begun("EX-1")
        sheet.do(GoTo("more")).turn("basket")
        assert not change.taken(sheet.desk.bench, sheet.draft)
        sheet.hold()
        assert change.taken(sheet.desk.bench, sheet.draft)


def test_a_print_lot_is_offered_and_told_by_the_day_of_the_printing():
    sheet = Sheet("fit", printed="2026-05-13")  # L-PRINT-OLD ended on that day
    if "print_lot" in change.MORE:
        sheet.do(GoTo("more"))
    turns = range(
        len(
            change.choices(
                change.Look(sheet.desk.bench, sheet.draft, sheet.desk.now), "print_lot"
            )
        )
    )
    found = {sheet.turn("print_lot").draft.command.print_lot for _ in turns}

    assert "L-PRINT-OLD" in found
    assert "in date at printing" in sheet.row("print_lot").note


def test_one_stage_back_is_held_with_a_reason():
    sheet = Sheet(stage="fit").do(GoTo("more")).turn("back")
    assert sheet.row("back").value == "to Refine"
    sheet.do(FillIn("reason", "a strut was left"))
    assert sheet.enter.text == "Go back one stage"
    sheet.hold()
    assert sheet.desk.part().stage.key == "refine"


def test_baskets_are_joined_and_split():
    sheet = Sheet(stage="wash-1")
    sheet.desk.take("EX-2")
    sheet.do(GoTo("more")).turn("basket")
    assert sheet.enter.command == cm.FormBasket(("EX-2", "EX-1"))
    sheet.hold()
    assert sheet.desk.part("EX-2").basket == sheet.desk.part().basket != ""

    sheet.draft = change.begun("EX-1")
    sheet.do(GoTo("more")).turn("basket")
    assert sheet.enter.command == cm.LeaveBasket("EX-1")
    sheet.hold()
    assert sheet.desk.bench.baskets == {}


def test_a_promise_is_typed_and_a_wrong_one_keeps_the_rest():
    sheet = Sheet().turn("coats").do(FillIn("due", "soon"))
    assert sheet.draft.framed == "due"
    assert "Write it like" in sheet.shown.error
    assert sheet.row("coats").value == "3"
    sheet.do(FillIn("due", "Fri 14:00"))
    assert sheet.row("due").value == "Fri 14:00"


# --- the glycerine limit --------------------------------------------------------------


RECORD = {
    "value": "8",
    "document": "EX-VAL-3",
    "revision": "2",
    "record": "EX-VR-17",
    "until": "2026-12-31",
    "reason": "haze measured to 8",
}


def limited(bench, **typed):
    values = dict.fromkeys(RECORD, "") | typed
    return GLYCERINE_LIMIT.command(bench, values)


def test_the_limit_is_raised_only_with_its_whole_record():
    desk = Desk()
    page = GLYCERINE_LIMIT.view(desk.bench)
    assert page.fields[0].value == "5"
    assert page.note.startswith("5 without a record. ")

    for row in RECORD.keys() - {"value"}:
        given = {name: typed for name, typed in RECORD.items() if name != row}
        assert isinstance(desk.do(limited(desk.bench, **given)), Refusal), row
    desk.must(limited(desk.bench, **RECORD))

    assert limit_on(desk.bench, IMMERSIONS, desk.now) == 8
    page = GLYCERINE_LIMIT.view(desk.bench)
    assert "EX-VR-17, to 2026-12-31" in page.note
    assert page.fields[0].value == "8"  # a reason alone lowers nothing


def test_what_is_set_is_shown_before_it_is_held():
    desk = desk_at("coat-1")
    lot = desk.bench.parts["EX-1"].coat_lot
    page = hands.confirm(desk.bench, cm.CloseLot(lot, "empty"))
    assert f"{lot} is put away for good: empty." in page.empty
    assert "EX-1 waits for it" in page.empty
    free = hands.confirm(desk.bench, cm.CloseLot("EX-LT-9", "empty"))
    assert "waits" not in free.empty

    shape = hands.confirm(desk.bench, cm.SetCodeShape("part", "K-##", "ours"))
    assert "they are like K-12." in shape.empty
    desk.must(cm.SetCodeShape("part", "EX-#", "ours"))
    assert CODE_SHAPE.view(desk.bench).note.startswith("part EX-#. ")
