from benchassist.domain import commands as cm
from benchassist.domain.trays import first_free, lies_in
from tests.domain.builders import Desk, code_of


def test_a_part_keeps_its_tray_until_it_is_closed():
    desk = Desk()
    for code in ("EX-1", "EX-2", "EX-3"):
        desk.take(code)
    assert [desk.bench.parts[f"EX-{n}"].tray for n in (1, 2, 3)] == [1, 2, 3]

    desk.must(cm.ScrapPart("EX-2", "cracked"))
    assert desk.bench.parts["EX-3"].tray == 3  # nothing renumbers
    assert first_free(desk.bench) == 2

    desk.take("EX-4")
    assert desk.bench.parts["EX-4"].tray == 2


def test_a_tray_is_chosen_at_intake_and_holds_no_stranger():
    desk = Desk()
    desk.take("EX-1", tray=8)
    assert lies_in(desk.bench, 8) == ("EX-1",)

    given = {"part": "EX-2", "recipe": "EX-RC-CROWN r1", "print_lot": "L-PRINT"}
    refusal = desk.do(cm.TakeIn(**given, tray=8))
    assert code_of(refusal) == "tray"
    assert "EX-1" in refusal.message
    assert code_of(desk.do(cm.TakeIn(**given, tray=-1))) == "tray"


def test_a_basket_lies_in_the_tray_of_its_first_part():
    desk = Desk()
    desk.take("EX-1", tray=5)
    desk.take("EX-2")
    desk.must(cm.FormBasket(("EX-1", "EX-2")))

    assert lies_in(desk.bench, 5) == ("EX-1", "EX-2")
    assert first_free(desk.bench) == 1


def test_what_the_slip_says_is_kept_with_the_part():
    desk = Desk()
    desk.take("EX-1", jaw="upper", tooth="12", shade=" EX-S2 ", prescriber="EX-P2")
    part = desk.bench.parts["EX-1"]

    assert (part.jaw, part.tooth) == ("upper", "12")
    assert (part.shade, part.prescriber) == ("EX-S2", "EX-P2")
