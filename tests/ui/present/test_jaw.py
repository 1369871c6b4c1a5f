"""UPPER and LOWER where hands look: the map, the quiet line, the card on paper."""

from benchassist.domain import commands as cm
from benchassist.domain.state import Ready
from benchassist.records.card import Printed, card
from benchassist.ui.present.look import look
from tests.domain.builders import Desk, desk_at


def brush(jaw):
    desk = desk_at("coat-1", phase=Ready, jaw=jaw)
    desk.must(cm.OpenLampSession("LM-A"))
    return look(desk.bench, desk.now)


def test_the_map_names_the_jaw_that_intake_was_told():
    assert brush("upper").spots.title == "UPPER, 5 spots"
    assert brush("lower").spots.title == "LOWER, 5 spots"
    assert brush("lower").spots.jaw == "lower"
    assert brush("").spots.title == "Coat 1, 5 spots"


def test_the_quiet_line_names_it_and_a_basket_of_both_jaws_names_none():
    assert brush("lower").subline.startswith("LOWER crown, tray 1")
    desk = Desk()
    for code, jaw in (("EX-1", "upper"), ("EX-2", "lower")):
        desk.take(code, jaw=jaw)
    desk.must(cm.FormBasket(("EX-1", "EX-2")))
    assert look(desk.bench, desk.now).subline.startswith("2 crowns, tray ")


def test_the_card_on_paper_says_it_in_capitals():
    desk = desk_at("fit", jaw="upper")
    page = card(desk.bench, desk.part(), (), Printed(desk.now, 1))

    assert "UPPER crown" in page
