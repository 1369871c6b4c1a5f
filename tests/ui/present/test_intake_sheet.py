"""New parts in three steps: what is offered, what is refused, what is taken in."""

import pytest

from benchassist.clock import SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain.shape import PartShape
from benchassist.ui.present import intake, intake_sheet
from benchassist.ui.present.intake_draft import begun
from benchassist.ui.present.intake_words import due_from, due_words, good_to
from benchassist.ui.present.sheet import FillIn, GoTo, Turn
from benchassist.value import replace
from tests.domain.builders import CROWN, MORNING, Desk, recipe


class Sheet:
    """A draft on a desk, as a hand goes through it."""

    def __init__(self, desk=None):
        self.desk = desk or Desk()
        self.draft = begun(self.desk.bench, self.desk.now)

    def do(self, *actions):
        for action in actions:
            self.draft = intake.done(self.desk.bench, self.draft, action, self.desk.now)
        return self

    def turn(self, row, by=1):
        return self.do(Turn(row, by))

    def type(self, row, text):
        return self.do(FillIn(row, text))

    @property
    def shown(self):
        return intake_sheet.sheet(self.desk.bench, self.draft, self.desk.now)

    def row(self, name):
        return next(row for row in self.shown.rows if row.name == name)

    def take(self):
        assert intake.refused(self.desk.bench, self.draft, self.desk.now) is None
        self.desk.must(*intake.commands(self.desk.bench, self.draft))


def started(**more):
    sheet = Sheet(**more)
    return sheet.type("code", "EX-41")


def test_the_usual_part_is_filled_in_from_recipe_and_shelf():
    sheet = started().do(GoTo("how"))
    told = {row.name: (row.value, row.note) for row in sheet.shown.rows}

    assert sheet.draft.recipe == CROWN
    assert told["coats"] == ("2", "recipe")
    assert told["coat_lot"] == ("L-COAT", "good to 2030-01-01")
    assert told["lamp"][1].startswith("PASS")
    assert told["vessel"] == ("GV-1", "2 of 5 used")
    assert "stain_lot" not in told  # nothing of it is stained


def test_a_part_is_taken_in_by_what_was_offered_and_coated_to_the_end():
    sheet = started().do(GoTo("how"), GoTo("where"))
    assert sheet.draft.step == "where"
    assert [row.name for row in sheet.shown.rows] == ["tray-0"]  # nothing to share
    assert sheet.shown.framed == "tray-0"
    sheet.take()

    assert sheet.desk.part("EX-41").tray == 1
    sheet.desk.work("EX-41", upto="released")
    assert len(sheet.desk.part("EX-41").work) == 2


def test_several_at_once_count_on_and_lie_in_one_basket():
    sheet = started().turn("count", 3).type("teeth", "12,11,21,22")
    sheet.do(GoTo("how"), Turn("vessel"), GoTo("where")).take()
    bench = sheet.desk.bench

    assert list(bench.parts) == ["EX-41", "EX-42", "EX-43", "EX-44"]
    assert [part.tooth for part in bench.parts.values()] == ["12", "11", "21", "22"]
    assert {part.tray for part in bench.parts.values()} == {1}
    assert bench.basket_of(bench.parts["EX-41"]) == tuple(bench.parts)
    assert bench.parts["EX-43"].jaw == "upper"


def test_who_goes_together_is_turned_by_hand_and_each_basket_has_its_tray():
    sheet = started().turn("count", 3).do(GoTo("how"), GoTo("where"))
    sheet.turn("together", 2).turn("basket-3")
    assert sheet.draft.together == "by hand"
    assert sheet.draft.baskets == (0, 0, 0, 1)
    sheet.turn("tray-1", 9)
    assert sheet.draft.trays == (1, 11)
    sheet.take()

    trays = [part.tray for part in sheet.desk.bench.parts.values()]
    assert trays == [1, 1, 1, 11]


def test_each_alone_has_a_tray_of_its_own():
    sheet = started().turn("count").do(GoTo("how"), GoTo("where")).turn("together")
    sheet.take()

    assert [part.tray for part in sheet.desk.bench.parts.values()] == [1, 2]
    assert sheet.desk.bench.baskets == {}


@pytest.mark.parametrize("code", ["Erika Muster", "", "EX 41", "12.03.1985"])
def test_a_name_is_refused_in_its_row_and_everything_else_stays(code):
    sheet = Sheet().turn("count").type("shade", "EX-S2").type("code", code)

    assert sheet.draft.error
    assert sheet.draft.framed == "code"
    assert (sheet.draft.count, sheet.draft.shade) == (2, "EX-S2")
    assert sheet.draft.code == ""
    assert "Muster" not in str(sheet.shown)


def test_a_code_on_the_bench_is_refused_and_says_so():
    desk = Desk()
    desk.take("EX-41")
    sheet = Sheet(desk).type("code", "EX-41")

    assert sheet.draft.error == "EX-41 is already on this bench."


def test_a_code_counted_on_into_one_there_is_stops_at_what():
    desk = Desk()
    desk.take("EX-42")
    sheet = Sheet(desk).type("code", "EX-41").turn("count").do(GoTo("how"))

    assert sheet.draft.step == "what"
    assert "EX-42" in sheet.draft.error


def test_a_coat_more_asks_why_before_it_goes_on():
    sheet = started().do(GoTo("how"), Turn("coats"))
    assert sheet.row("coats").tone == "attention"
    assert sheet.row("coats").note == "recipe says 2"
    sheet.do(GoTo("where"))
    assert (sheet.draft.step, sheet.draft.framed) == ("how", "reason")

    why = sheet.shown.options[0]
    assert why.key == "Enter"
    assert why.needs_text.startswith("Why?")
    sheet.type("reason", "thin at the margin").do(GoTo("where")).take()
    assert sheet.desk.part("EX-41").variant.coats == 3


def test_a_gap_is_open_only_with_a_reason():
    sheet = started().do(GoTo("how"))
    at = len(intake.choices(sheet.desk.bench, sheet.draft, "coat_lot", sheet.desk.now))
    sheet.turn("coat_lot", at - 1)
    assert sheet.row("coat_lot").value == "open"
    sheet.do(GoTo("where"))
    assert sheet.draft.step == "how"
    assert "No coat lot" in sheet.draft.error


# --- the day of the printing ---------------------------------------------------------


def test_it_was_printed_today_unless_a_hand_says_otherwise():
    sheet = started().do(GoTo("how"))
    assert sheet.row("printed").value == "today"

    sheet.do(GoTo("where")).take()
    assert sheet.desk.part("EX-41").printed == sheet.desk.now.day()


def test_a_lot_that_ended_since_the_printing_may_be_told_and_is_no_deviation():
    sheet = started().do(GoTo("how"))  # 2026-05-14; L-PRINT-OLD ended on the 13th
    assert "L-PRINT-OLD" not in intake.choices(
        sheet.desk.bench, sheet.draft, "print_lot", sheet.desk.now
    )
    sheet.type("printed", "yesterday")
    while sheet.draft.print_lot != "L-PRINT-OLD":
        sheet.turn("print_lot")

    assert sheet.row("printed").value == "Wed, 2026-05-13"
    assert sheet.row("print_lot").note == "in date at printing"
    sheet.do(GoTo("where")).take()
    part = sheet.desk.part("EX-41")
    assert (part.printed, part.print_lot) == ("2026-05-13", "L-PRINT-OLD")
    assert not sheet.desk.bench.deviations


def test_a_bottle_that_was_emptied_after_the_printing_may_be_told():
    desk = Desk()
    desk.must(cm.CloseLot("L-PRINT", "empty"))
    sheet = started(desk=desk).do(GoTo("how")).type("printed", "mon")

    assert "L-PRINT" in intake.choices(desk.bench, sheet.draft, "print_lot", desk.now)
    assert sheet.draft.printed == "2026-05-11"


@pytest.mark.parametrize("typed", ["2026-05-15", "lately", "2026-02-30"])
def test_no_day_or_one_to_come_is_refused_in_its_row(typed):
    sheet = started().do(GoTo("how")).type("printed", typed)

    assert sheet.draft.printed == ""
    assert sheet.row("printed").option.needs_text == sheet.draft.error
    assert "2026-05-14" in sheet.draft.error or "yet" in sheet.draft.error


def test_a_lot_past_its_day_at_the_printing_is_said_before_the_part_is_taken_in():
    sheet = started().do(GoTo("how")).type("printed", "yesterday")
    while sheet.draft.print_lot != "L-PRINT-OLD":
        sheet.turn("print_lot")
    sheet.type("printed", "today")

    assert sheet.row("printed").note == "lot expired on 2026-05-13: a deviation"
    assert sheet.row("printed").tone == "attention"


def test_one_too_many_for_the_vessel_is_said_at_once():
    sheet = started().turn("count", 3).do(GoTo("how"))
    assert sheet.draft.vessel == "GV-1"
    assert sheet.row("vessel").note == "2 of 5, 4 more: 1 too many"


def test_like_the_last_is_one_key():
    sheet = started().turn("count", 1).type("teeth", "lower").type("due", "Fri 14:00")
    sheet.do(GoTo("how"), GoTo("where")).take()
    again = Sheet(sheet.desk)
    assert any(option.key == "0" for option in again.shown.options)
    again.do(GoTo("like"))

    draft = again.draft
    assert (draft.count, draft.code, draft.jaw) == (2, "EX-43", "lower")
    assert due_words(draft.due, sheet.desk.now) == "Fri 14:00"
    assert draft.coat_lot == "L-COAT"
    assert "coat_lot" in draft.used


def test_like_the_last_goes_past_codes_that_are_taken():
    desk = Desk()
    for code in ("EX-43", "EX-41"):
        desk.take(code)
        desk.clock.advance(120_000)
    sheet = Sheet(desk).do(GoTo("like"))
    assert sheet.draft.code == "EX-42"
    desk.take("EX-42")
    assert Sheet(desk).do(GoTo("like")).draft.code == "EX-44"


def test_a_veneer_shows_the_one_coat_of_its_recipe():
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-VENEER", coats=1),)))
    sheet = Sheet(desk).type("code", "EX-41")
    while not sheet.draft.recipe.startswith("EX-RC-VENEER"):
        sheet.turn("recipe")
    sheet.do(GoTo("how"))

    assert (sheet.row("coats").value, sheet.row("coats").note) == ("1", "recipe")


def test_a_part_back_from_a_mouth_comes_under_its_own_code():
    desk = Desk()
    desk.take("EX-41")
    desk.work("EX-41", upto="released")
    desk.must(cm.FillGlycerine("GV-1", "G-OWN"))
    sheet = Sheet(desk).turn("job").type("code", "EX-41")
    assert sheet.draft.error == ""
    sheet.do(GoTo("how"), GoTo("where")).take()

    assert sheet.desk.part("EX-41").variant.back_from_mouth
    assert sheet.desk.part("EX-41").stage.key == "disinfect"


def test_whether_the_promise_can_be_kept_is_said_with_the_way():
    sheet = started().type("due", "09:00").do(GoTo("how"))
    assert any(line.text.endswith("misses") for line in sheet.shown.lines)
    sheet.type("due", "Fri 14:00")
    assert any(line.text.endswith("fits") for line in sheet.shown.lines)


def test_without_a_recipe_it_says_so_and_nothing_can_be_turned_to():
    sheet = Sheet(Desk(filed=None)).type("code", "EX-41").do(GoTo("how"))
    assert "No recipe" in sheet.draft.error
    assert sheet.draft.step == "what"


# --- days and bottles -----------------------------------------------------------------

NOW = SimulatedClock(MORNING).now()  # a Thursday, 08:50


@pytest.mark.parametrize(
    ("typed", "then"),
    [
        ("14:30", "2026-05-14 14:30"),
        ("08:00", "2026-05-15 08:00"),
        ("Fri 14:00", "2026-05-15 14:00"),
        ("thu 08:00", "2026-05-21 08:00"),
        ("Mon 9.15", "2026-05-18 09:15"),
        ("tomorrow 10:00", "2026-05-15 10:00"),
        ("2026-06-01 08:30", "2026-06-01 08:30"),
    ],
)
def test_a_promise_may_lie_days_ahead(typed, then):
    assert f"{due_from(typed, NOW).local():%Y-%m-%d %H:%M}" == then


@pytest.mark.parametrize(
    "typed", ["noon", "25:00", "14", "2026-05-13 10:00", "soon 14:00", "today 08:00"]
)
def test_what_is_no_time_to_come_is_refused_with_how_to_write_it(typed):
    with pytest.raises(ValueError, match=r"Write it like|still to come"):
        due_from(typed, NOW)


def test_a_bottle_says_how_long_it_is_good():
    desk = Desk()
    assert good_to(desk.bench, "L-COAT", desk.now) == ("good to 2030-01-01", False)
    assert good_to(desk.bench, "L-OLD", desk.now) == ("expired on 2026-05-13", True)
    assert good_to(desk.bench, "L-MIX", desk.now) == ("good to 2030-01-01", False)
    desk.must(cm.CloseLot("L-COAT", "empty"))
    away = "put away on 2026-05-14"
    assert good_to(desk.bench, "L-COAT", desk.now) == (away, True)


# --- the slip and the print file -------------------------------------------------------


CUBE = PartShape("ab" * 32, "mm", 600.0, 1000.0, True, 10.0, 10.0, 10.0)  # noqa: FBT003


@pytest.mark.parametrize(
    ("typed", "teeth", "jaw"),
    [
        ("12", "12", ""),
        ("12, 11", "12,11", ""),
        ("lower", "", "lower"),
        ("Upper", "", "upper"),
        ("13-11 upper", "13-11", "upper"),
    ],
)
def test_a_tooth_or_a_jaw_is_typed_in_one_row(typed, teeth, jaw):
    sheet = started().type("teeth", typed)

    assert (sheet.draft.teeth, sheet.draft.jaw) == (teeth, jaw)


def test_a_tooth_that_is_none_is_said_in_its_row_and_the_old_one_stays():
    sheet = started().type("teeth", "12").type("teeth", "19")

    assert "two digits" in sheet.draft.error
    assert sheet.draft.teeth == "12"


def test_the_shape_of_a_print_file_goes_in_with_its_part():
    sheet = started()
    assert sheet.row("file").option.command == intake_sheet.PickPrint()
    sheet.draft = replace(sheet.draft, file="part.stl", shape=CUBE)
    assert sheet.row("file").value.startswith("6.0 cm², 1.00 cm³")
    sheet.turn("file")
    assert sheet.draft.unit == "cm"

    sheet.do(GoTo("how"), GoTo("where")).take()

    assert sheet.desk.part("EX-41").shape == CUBE


def test_several_parts_have_a_file_each_later():
    sheet = started()
    sheet.draft = replace(sheet.draft, file="part.stl", shape=CUBE)

    sheet.turn("count")

    assert sheet.draft.shape is None
    assert sheet.row("file").note.startswith("one for each")
