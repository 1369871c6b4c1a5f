"""One table of forms, one sheet: every thing on file can be typed over, nothing else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain.deciders.owned import on_file
from benchassist.domain.library import BathStep, SpotFace
from benchassist.domain.shelf import offered
from benchassist.sums.subject import subject
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import hands, owned, pages, people
from benchassist.ui.present.forms import RULES, FormError, amiss, parsed
from benchassist.ui.present.look import look
from benchassist.ui.present.physics import working_time
from benchassist.ui.present.physics.pairing import pairs
from benchassist.value import replace
from tests.domain.builders import Desk, desk_at

DESK = Desk()
for each in tuple(DESK.bench.vessels.values()):  # whose titles are empty there
    DESK.must(cm.FileThing(replace(each, title="a vessel"), "named"))


def things():
    return [(kind, code) for kind in owned.ROWS for code in offered(DESK.bench, kind)]


def values(form):
    return {field.name: field.value for field in form.fields}


@pytest.mark.parametrize(("kind", "code"), things())
def test_a_sheet_that_nobody_typed_in_changes_nothing(kind, code):
    name = f"kept {kind} {code}"
    sheet = owned.form(DESK.bench, name)
    command = sheet.command(DESK.bench, values(sheet.view(DESK.bench)))

    assert command == cm.FileThing(on_file(DESK.bench, kind, code), "")


@pytest.mark.parametrize(("kind", "code"), things())
def test_every_value_of_a_sheet_can_be_changed(kind, code):
    """A row that is read from one place and written to another fails here."""
    name = f"kept {kind} {code}"
    sheet = owned.form(DESK.bench, name)
    told = values(sheet.view(DESK.bench))
    new = {
        "text": "EX-NEW",
        "word": "EX-NEW",
        "number": "7.5",
        "positive": "7.5",
        "whole": "9",
        "step": "9",
        "share": "55",
        "day": "2031-05-06",
        "list": "a, b",
        "counts": "1000, 2000",
        "bands": "390-400",
        "washes": "Bath 30-40",
        "faces": "cheek side 3",
    }
    for row in owned.ROWS[kind]:
        if row.choices:
            typed = next(each for each, _ in row.choices if each != told[row.name])
        elif row.rule == "yes":
            typed = "" if told[row.name] else "yes"
        else:
            typed = new[row.rule]
        changed = sheet.command(DESK.bench, told | {row.name: typed})
        old = on_file(DESK.bench, kind, code)
        assert changed.thing != old, row.label
        others = [each for each in owned.ROWS[kind] if each.name != row.name]
        for each in others:
            assert owned._at(changed.thing, each.name) == owned._at(old, each.name)


@pytest.mark.parametrize(
    ("rule", "typed", "told"),
    [
        ("number", "8,5", ""),
        ("number", "eight", "not a number"),
        ("number", "-1", "0 or more"),
        ("number", "nan", "0 or more"),
        ("positive", "0", "above 0"),
        ("whole", "1.5", "whole number"),
        ("step", "0", "1 or more"),  # no box can be set to a count in steps of nothing
        ("step", "0.5", "whole number"),
        ("share", "101", "per cent"),
        ("day", "31.3.2027", "2027-03-31"),
        ("bands", "380", "380-410"),
        ("bands", "410-380", "more than the most"),
        ("bands", "3800-4100", "1000 nm"),
        ("washes", "120-300", "name the bath"),
        ("faces", "cheek side", "cheek side 2"),
        ("code", "Mr Smith", "word"),
        ("code", "EX-LM-9", ""),
        ("text", "anything at all", ""),
        ("number", "", ""),
    ],
)
def test_a_field_says_what_is_wrong_before_enter(rule, typed, told):
    found = amiss(rule, typed)

    assert (told in found) if told else not found


def test_what_cannot_be_read_names_its_field():
    with pytest.raises(FormError, match=r"Height: write a number above 0\."):
        parsed("positive", "Height", "")


@given(st.sampled_from(sorted(RULES)), st.text(max_size=40))
def test_no_typing_is_more_than_one_sentence(rule, typed):
    told = amiss(rule, typed)

    assert len(told) < 200
    assert "\n" not in told


@pytest.mark.parametrize(
    ("rule", "found"),
    [
        ("washes", (BathStep("Wash 1", 120, 300), BathStep("Wash 2", 60, 90))),
        ("faces", (SpotFace("cheek side", 20), SpotFace("biting side", 4))),
        ("bands", ((380.0, 410.0), (445.0, 475.0))),
        ("counts", (1000, 2000)),
        ("share", 0.958),
        ("number", 0.0),
    ],
)
def test_what_is_shown_is_read_back(rule, found):
    assert RULES[rule].parse(RULES[rule].show(found)) == found


def test_what_is_held_says_before_and_after_and_who_keeps_theirs():
    desk = desk_at("wash-1")
    recipe = desk.bench.recipes["EX-RC-CROWN r1"]
    told = owned.stated(desk.bench, cm.FileThing(replace(recipe, rinse_s=99), "why"))

    assert "EX-RC-CROWN r2" in told
    assert f"Rinse, s: {recipe.rinse_s} > 99" in told
    assert "EX-1: kept as taken in" in told


def test_a_recipe_whose_code_begins_like_another_keeps_nobody():
    desk = desk_at("wash-1")
    short = replace(desk.bench.recipes["EX-RC-CROWN r1"], code="EX-RC")
    desk.must(cm.FileThing(short))
    told = owned.stated(desk.bench, cm.FileThing(replace(short, rinse_s=99), "why"))

    assert "kept as taken in" not in told


def test_what_is_retired_is_picked_up_by_no_look():
    desk = desk_at("coat-1", lamp="LM-B")
    assert look(desk.bench, desk.now).light.pick == "Pick up LM-A"
    assert "BX-2 free" in look(desk.bench, desk.now).status
    for kind, code in (("lamp", "LM-A"), ("box", "BX-2"), ("vessel", "GV-2")):
        desk.must(cm.RetireThing(kind, code, "broken"))

    view = look(desk.bench, desk.now)
    assert "LM-A" not in {row.code for row in view.light.lamps}
    assert "LM-A" not in view.light.pick
    assert "BX-2 free" not in view.status
    about = subject(desk.bench, desk.now)
    assert "Claim LM-A" not in {each.text for each in people.claims(desk.bench, None)}
    desk.must(cm.CloseLot("L-STAIN", "empty"))
    dishes = working_time.dish_fields(desk.bench, "bench", "1")[0].choices
    assert ("L-COAT", "L-COAT") in dishes
    assert ("L-STAIN", "L-STAIN") not in dishes
    for pair in pairs(desk.bench, about, "L-COAT"):
        assert not {pair.lamp, pair.box, pair.vessel} & {"LM-A", "BX-2", "GV-2"}


def test_more_things_than_digits_come_in_turns():
    desk = Desk()
    lamp = next(iter(desk.bench.lamps.values()))
    for n in range(12):
        desk.must(cm.FileThing(replace(lamp, code=f"EX-LM-{n}")))
    seen, name = set(), "kept lamp"
    for _ in range(9):
        page = owned.page(desk.bench, name)
        seen |= {row[1] for row in page.rows}
        name = next(o.command.page for o in page.options if o.text == "More")

    assert seen == set(offered(desk.bench, "lamp"))


@pytest.mark.parametrize("shelf", owned.SHELVES, ids=lambda each: each.kind)
def test_every_kind_has_a_way_to_enter_check_and_retire(shelf):
    page = owned.page(DESK.bench, f"kept {shelf.kind}")
    ways = {o.command.page for o in page.options if isinstance(o.command, OpenPage)}

    assert shelf.enter in ways
    # What is not there is neither read by other eyes nor retired.
    there = bool(offered(DESK.bench, shelf.kind))
    assert (f"retire {shelf.kind}" in ways) == there
    assert (f"check {shelf.kind}" in ways) == (there and shelf.kind != "operator")


def test_what_is_known_of_a_box_and_a_fill_stands_on_the_equipment_page():
    desk = Desk()

    def rows():
        return {row[0]: row for row in pages.equipment(desk.bench, desk.now).rows}

    assert "steps of 100" in rows()["BX-1"][-1]
    desk.must(
        cm.ReadBox("BX-1", "new lamp", 1000.0, reason="worn"),
        cm.ReadBox("BX-1", "light", 100.0),
        cm.ReadBox("BX-1", "light", 93.0),
        cm.ReadBox("BX-1", "life counter", 51_000.0, reason="ran without the bench"),
        cm.SeeGlycerine("GV-1", "clear", 1.2351),
    )
    assert rows()["BX-1"][-1] == "counter 50000, light 93 %"
    assert rows()["GV-1"][3] == "2 of 5 immersions, 90 %"
    desk.must(cm.SeeGlycerine("GV-1", "hazy"), cm.RetireThing("box", "BX-1", "sold"))
    assert rows()["GV-1"][3] == "not used again: hazy"
    assert "BX-1" not in rows()


def test_what_a_hydrometer_says_is_seen_before_it_is_held():
    view = hands.confirm(Desk().bench, cm.SeeGlycerine("GV-1", "clear", 1.2351))

    assert "90 % glycerine; under 95 % it is not used." in view.empty
