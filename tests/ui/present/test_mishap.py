"""What now: picked, asked, shown with its numbers, and only then held."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain.deciders.mishaps import branch_for
from benchassist.domain.mishaps import MISHAPS, offered
from benchassist.ui.actions import OpenPage, TellMishap
from benchassist.ui.present import mishap
from benchassist.ui.present.branch import advice, branch
from benchassist.ui.present.look import look
from tests.domain.builders import Desk, desk_at
from tests.domain.told import STATES, all_answers, at, report

STRIP = TellMishap("touched", ("strip and recoat",))


def preview(desk, case):
    return branch(desk.bench, "EX-1", case, desk.now)


def question(desk, case):
    return mishap.asked(desk.bench, "EX-1", case)


def steps(view):
    return [step.text for step in view.steps]


def changes(view):
    return {line.text: line.right for line in view.lines}


def cracked():
    desk = desk_at("fit")
    report(desk, "cracked", "margin or connector")
    return desk


# --- picked and asked -----------------------------------------------------------------


def test_what_can_have_happened_here_is_offered_each_under_a_key_of_its_own():
    desk = at("tacked")
    view = mishap.happened(desk.bench, everything=True)
    titles = {each.title for each in offered(desk.bench, desk.part())}

    assert view.title == "What happened to EX-1?"
    assert {tile.option.text for tile in view.tiles} == titles
    assert len({tile.option.key for tile in view.tiles}) == len(titles)
    assert view.tiles[0].option.text == "Touched"
    assert mishap.TILES.keys() == MISHAPS.keys()


def test_nine_at_most_are_shown_and_the_last_leads_to_the_rest_under_digits():
    many = set()
    for where in ("fit", "tacked", "wet", "checks"):
        desk = at(where) if where in ("tacked", "wet") else desk_at(where)
        titles = {each.title for each in offered(desk.bench, desk.part())}
        first = mishap.happened(desk.bench).tiles
        rest = mishap.happened(desk.bench, everything=True).tiles

        for tiles in (first, rest):
            keys = [tile.option.key for tile in tiles]
            assert keys == [str(n) for n in range(1, len(tiles) + 1)]
            assert len(tiles) <= mishap.MOST_TILES
        shown = {tile.option.text for tile in (*first, *rest)}
        assert shown - {"Something else"} == titles
        many.add(len(titles) > mishap.MOST_TILES)
        assert ("Something else" in shown) == (len(titles) > mishap.MOST_TILES)
    assert many == {False, True}


def test_on_a_wet_coat_it_says_not_to_light_it():
    assert mishap.happened(at("wet").bench).first.note == mishap.WET
    assert mishap.happened(desk_at("fit").bench).first.note == ""


def test_without_a_part_in_work_one_is_chosen_first():
    desk = desk_at("fit")
    desk.must(cm.ScrapPart("EX-1", "wrong case"))

    for bench in (Desk().bench, desk.bench):
        assert mishap.happened(bench).tiles == ()
        assert mishap.happened(bench).empty == mishap.NO_PART
    assert preview(desk, STRIP).empty == mishap.NO_PART
    assert mishap.next_question(desk.bench, "EX-1", STRIP) is None


def test_one_question_is_asked_at_a_time_and_what_was_answered_is_shown():
    desk = at("bare")
    first = question(desk, TellMishap("dropped"))
    second = question(desk, first.tiles[0].option.command)

    assert first.title == "EX-1, dropped: Where did it fall?"
    assert (first.line, second.line) == ("", "so far: bench or floor")
    assert second.title.endswith("Cracked or chipped?")
    assert [tile.option.key for tile in second.tiles] == ["1", "2"]
    assert second.options[0].command == OpenPage("what-now")


def test_a_count_is_typed_or_nobody_can_know():
    desk = at("in the first run")
    typed, unknown = (
        tile.option for tile in question(desk, TellMishap("wrong-program")).tiles
    )

    assert typed.needs_text.endswith("In counts")
    assert typed.command.filled("1000").told == ("1000",)
    assert unknown.command.told == ("",)
    assert steps(preview(desk, unknown.command))[1].startswith("Nobody knows")


# --- the preview ----------------------------------------------------------------------


@pytest.mark.parametrize("state", STATES)
def test_every_branch_is_shown_whole_before_it_is_held(state):
    desk = at(state)
    before = desk.bench
    for each in offered(desk.bench, desk.part()):
        for answers in all_answers(each, desk.bench, desk.part()):
            view = preview(desk, TellMishap(each.code, answers))
            branch_ = branch_for(desk.bench, desk.part(), each, answers, desk.now)
            report_it, anew = view.options

            told = changes(view)
            assert steps(view)[-len(branch_.steps) :] == list(branch_.steps)
            assert steps(view)[0] == "Glove off, new glove."
            assert report_it.hold
            assert report_it.command == cm.ReportMishap("EX-1", each.code, answers)
            assert anew.command == OpenPage("what-now")
            assert not anew.hold
            deviates = branch_.deviation is not None
            assert ("deviation, " in told["Record"]) == deviates
            assert ("Then asked" in told) == branch_.scrap
            assert view.right == "nothing is written down yet"
    assert desk.bench == before


def test_the_preview_has_the_numbers_the_way_and_the_record():
    view = preview(at("tacked"), STRIP)
    told = changes(view)

    assert view.title == "Touched, coat tacked"
    assert steps(view) == [
        "Glove off, new glove.",
        "Do not abrade: a tacked coat gums and makes monomer dust.",
        "Strip coat 2 with an alcohol swab.",
        "Dry 5 min, then coat again.",
        "Coat 3 of at most 3; together 45 to 90 µm.",
    ]
    assert told["Alcohol swab: coat 2 off"].startswith("new, ")
    assert told["Spots"] == "5 done > 0 stay done, 5 to do"
    assert told["Coats"] == "30 to 60 µm becomes 45 to 90 µm"
    assert told["Count"] == "rework 1 of 2"
    assert told["Record"] == "deviation, EX-1"
    assert told["You said"] == "strip and recoat"
    assert " becomes " in told["Ready"]


def test_a_wet_coat_that_is_wiped_is_not_to_be_lit_and_keeps_what_was_lit_before():
    desk = at("wet")
    view = preview(desk, TellMishap("touched"))

    assert steps(view)[:2] == ["Glove off, new glove.", "Do NOT light it."]
    assert [step.done for step in view.steps[:2]] == [True, False]
    assert changes(view)["Record"] == "no deviation"
    assert "Do NOT light it." not in steps(preview(at("tacked"), STRIP))


def test_all_parts_of_a_run_that_went_wrong_are_named_beforehand():
    desk = Desk()
    for code in ("EX-1", "EX-2"):
        desk.take(code)
        desk.work(code, "half-1")
    desk.load("EX-1", "EX-2")
    desk.must(cm.StartRun("BX-1"))
    desk.wait(130)
    view = preview(desk, TellMishap("wrong-program", ("1000",)))

    assert changes(view)["Record"] == "deviation, EX-1 and EX-2"
    assert steps(view)[1] == "Credited to EX-1 and EX-2: 1000 flashes, as read."


def test_what_was_picked_for_one_part_is_not_told_of_another_that_came_to_the_front():
    desk = at("tacked")
    desk.take("EX-2")
    desk.must(cm.ChoosePart("EX-2"))

    assert preview(desk, STRIP).options[0].command.part == "EX-1"


def test_what_cannot_be_any_more_is_said_instead_of_offered():
    desk = at("cured")
    view = preview(desk, TellMishap("late", ("dusty",)))

    assert "cannot have happened" in view.empty
    assert [option.command for option in view.options] == [OpenPage("what-now")]


def test_it_is_known_when_the_branch_that_was_shown_is_on_the_record():
    desk = at("tacked")
    assert not mishap.reported(desk.bench, "EX-1", STRIP)
    desk.must(preview(desk, STRIP).options[0].command)

    assert mishap.reported(desk.bench, "EX-1", STRIP)
    assert not mishap.reported(desk.bench, "EX-1", TellMishap("smeared"))


# --- what was advised -----------------------------------------------------------------


def test_the_advice_stays_to_be_read_with_its_deviation():
    desk = at("tacked")
    assert advice(desk.bench, "", desk.now).empty == "Nothing was told for this part."
    report(desk, "touched", "strip and recoat")
    view = advice(desk.bench, "", desk.now)

    assert steps(view)[0].startswith("Do not abrade: a tacked coat gums")
    assert view.right == "it is on the record"
    assert changes(view)["Deviation"] == "D-1"
    desk.must(cm.OpenDeviation(("EX-1",), "scratched as well"))
    assert changes(advice(desk.bench, "", desk.now))["Deviation"] == "D-1 and D-2"
    assert mishap.happened(desk.bench).options[-1].command == OpenPage("advice")
    (panel,) = mishap.panel(desk.bench, desk.part())
    assert len(panel.lines) <= mishap.SHORT


# --- scrap or keep ----------------------------------------------------------------------


def test_scrap_or_keep_is_asked_on_the_bench_each_held_with_a_reason():
    desk = cracked()
    view = look(desk.bench, desk.now)
    scrap, keep = view.card.options

    assert (view.band.word, view.headline) == ("ASK", "Scrap it, or keep it?")
    assert scrap.hold
    assert keep.hold
    assert scrap.needs_text
    assert keep.needs_text
    assert scrap.command.filled("why") == cm.ScrapPart("EX-1", "why")
    assert keep.command.filled("why") == cm.KeepPart("EX-1", "why")
    assert any("D-1" in line for line in view.card.lines)
    asked = changes(advice(desk.bench, "", desk.now))["Asked"]
    assert asked == "scrap it, or keep it?"
    assert mishap.panel(desk.bench, desk.part()) == ()


def test_once_the_advice_is_gone_the_deviation_s_own_words_are_shown():
    desk = desk_at("wash-1")
    desk.step()
    report(desk, "cracked", "margin or connector")
    desk.wait(120)
    desk.must(cm.TakeOut("EX-1"))
    card = look(desk.bench, desk.now).card

    assert card.title == "Scrap was advised"
    assert card.lines[0] == "EX-1: cracked where it bears load or seats."


def test_kept_the_part_is_asked_about_no_more():
    desk = cracked()
    desk.must(cm.KeepPart("EX-1", "the prescriber, EX-P1, agreed"))

    assert look(desk.bench, desk.now).card is None


def test_every_mishap_that_can_be_picked_fits_the_keys():
    for where in ("wash-1", "fit", "coat-1", "submerge", "checks"):
        desk = desk_at(where)
        assert len(offered(desk.bench, desk.part())) <= len(mishap.KEYS)
    assert "H" not in mishap.KEYS
    assert "W" not in mishap.KEYS
