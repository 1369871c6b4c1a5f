"""The card that a release is signed on: nothing on it is untrue."""

from benchassist.domain import commands as cm
from benchassist.ui.actions import OpenPage
from benchassist.ui.present.cards import checks_card, statement_lines
from benchassist.ui.present.look import look
from tests.domain.builders import Desk
from tests.domain.test_release import checked


def card(desk):
    return checks_card(desk.bench, desk.part(), desk.now)


def test_no_statement_says_that_nothing_is_open_while_something_is():
    desk = checked()
    desk.must(cm.RecordCheck("EX-1", "inspection", passed=False))
    desk.must(cm.RecordCheck("EX-1", "inspection"))
    open_ = card(desk)

    assert "no open deviation" not in " ".join(open_.lines)
    assert any(line.startswith("D-1: ") for line in open_.lines)
    assert open_.options[0].command == OpenPage("deviations")
    assert not any("sign" in option.text for option in open_.options)


def test_what_departed_and_was_judged_stands_in_the_statement():
    desk = checked()
    plain = statement_lines(desk.bench, desk.part())
    desk.must(cm.RecordCheck("EX-1", "inspection", passed=False))
    desk.must(cm.RecordCheck("EX-1", "inspection"))
    desk.must(cm.CloseDeviation("D-1", "use as is", "seen through the loupe"))
    told = statement_lines(desk.bench, desk.part())

    assert not any("D-1" in line for line in plain)
    assert any(
        line.startswith("Not as planned, and judged: D-1, use as is:") for line in told
    )
    assert card(desk).options[0].text.startswith("I sign")


def test_in_training_the_way_ends_with_the_piece_scrapped_and_nothing_is_signed():
    desk = Desk(kind="training")
    desk.take()
    desk.work(upto="checks")
    desk.must(
        *(cm.RecordCheck("EX-1", name) for name in desk.bench.checks_of(desk.part()))
    )
    (scrap,) = card(desk).options

    assert scrap.hold
    desk.must(scrap.command)
    assert desk.part().phase.how == "scrapped"
    # Nobody is told to hand on what goes to waste.
    assert look(desk.bench, desk.now).cautions == ()
