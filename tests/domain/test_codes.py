"""What stands as a code in the record, and what never does."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain import codes
from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Bench
from tests.domain.builders import LIBRARY, Desk, code_of, names

YEAR = 2026
KINDS = tuple(codes.EXAMPLES)


def why(code, kind="part", bench=None):
    found = codes.amiss(bench or Bench(), kind, code, year=YEAR)
    return found.message if found else ""


@pytest.mark.parametrize("kind", KINDS)
def test_the_example_of_every_kind_is_a_code(kind):
    assert not why(codes.EXAMPLES[kind], kind)


@pytest.mark.parametrize(
    "code",
    ["EX-41", "K-90", "41", "20260514-3", "A1/b", "MS-12", "DR-7", "EX_4.2", "case#12"],
)
def test_a_word_with_a_number_is_a_case_code(code):
    assert not why(code)


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("Erika Muster", "one word"),
        ("ErikaMuster1", "look like a name"),
        ("Erika-Muster-2", "look like a name"),
        ("Muster_Erika4", "look like a name"),
        ("Dr.Muster-1", "title"),
        ("dr-muster-1", "title"),
        ("Mrs-4", "title"),
        ("muster", "has a number"),
        ("MUSTER", "has a number"),
        ("1985-03-12", "birth date"),
        ("EX-12.03.1985", "birth date"),
        ("19850312", "birth date"),
        ("P12031985", "birth date"),
        ("12.3.85", "birth date"),
        ("3/12/1985", "birth date"),
        ("", "missing"),
        ("EX-" + "1" * 22, "at most 24"),
        ("EX- 41", "one word"),
        ("EX-41\n", "hidden"),
        ("EX-41\x00", "hidden"),
        ("EX-\u200b41", "hidden"),
        ("EX-\u202e14", "hidden"),
        ("\u0415X-41", "look-alike"),
        ("EX-\uff14\uff11", "look-alike"),
        ("Ex\u00e9-4", "accents"),
        ("=EX-41", "begins and ends"),
        ("-41", "begins and ends"),
        ("@41", "begins and ends"),
    ],
)
def test_what_is_a_name_a_birth_date_or_no_plain_word_is_refused(code, told):
    assert told in why(code)
    refusal = codes.amiss(Bench(), "part", code, year=YEAR)
    assert refusal.remedy == "Write it like EX-41."


def test_what_is_refused_is_shown_without_its_hidden_signs_and_not_endlessly():
    told = codes.shown("EX\u202e" + "1" * 10_000)
    assert told.isascii() is False  # the quotation marks
    assert "\u202e" not in told
    assert len(told) < 40


def test_things_need_no_number_and_may_carry_a_day():
    assert not why("GV-DARK", "equipment")
    assert not why("1985-03-12", "lot")
    assert "one word" in why("my lamp", "equipment")


def test_a_day_of_this_year_is_a_day_of_work():
    assert not why("20260514")
    assert "birth date" in why("20250514")


def test_the_practice_says_how_its_codes_are_written():
    desk = Desk()
    assert code_of(desk.do(cm.SetCodeShape("part", "K", "ours"))) == "code-shape"
    assert code_of(desk.do(cm.SetCodeShape("part", "K ##", "ours"))) == "code-shape"
    assert code_of(desk.do(cm.SetCodeShape("part", "K-##", " "))) == "no-reason"
    assert names(desk.do(cm.SetCodeShape("part", "K-##", "ours"))) == ["CodeShapeSet"]

    refusal = codes.amiss(desk.bench, "part", "EX-41", year=YEAR)
    assert "K-##" in refusal.message
    assert refusal.remedy == "Write it like K-12."
    assert not why("K-41", bench=desk.bench)
    assert not why("OP-1", "operator", desk.bench)

    desk.must(cm.SetCodeShape("part", "", "as they come"))
    assert not why("EX-41", bench=desk.bench)


def test_a_name_is_refused_wherever_a_code_is_taken():
    name, desk = "Erika Muster", Desk()
    for command in (
        cm.ClaimStation(name),
        cm.HandOver(name),
        cm.SetLevel(name, "alone"),
        cm.FillGlycerine("GV-1", name),
        cm.TakeIn(name, "EX-RC-CROWN r1", "L-PRINT", reason="x"),
        cm.TakeIn("EX-1", "EX-RC-CROWN r1", "L-PRINT", prescriber=name, reason="x"),
        cm.FileLibrary(lots=(lib.Lot(name, "EX-C", ""),)),
        cm.FileLibrary(lamps=(lib.Lamp(name, name, "unknown", "", 1.0),)),
    ):
        assert code_of(desk.do(command)) == "code", command
    told = "".join(str(entry.event) for entry in desk.entries)
    assert "Muster" not in told


def test_the_invented_practice_keeps_the_rule():
    assert not isinstance(Desk(filed=LIBRARY).do(cm.ClaimStation("OP-2")), Refusal)


@given(st.text(max_size=60))
def test_any_text_is_a_code_or_refused_in_one_plain_sentence(text):
    found = codes.amiss(Bench(), "part", text, year=YEAR)
    if found is None:
        assert text.isascii()
        assert text.isprintable()
        assert not any(each.isspace() for each in text)
        assert text[0].isalnum()
    else:
        assert found.message.replace("…", "").replace("“", "").isprintable()
        assert len(found.message) < 200


@pytest.mark.parametrize(
    ("code", "by", "then"),
    [
        ("EX-41", 1, "EX-42"),
        ("EX-09", 2, "EX-11"),
        ("EX-099a", 1, "EX-100a"),
        ("K-1", 3, "K-4"),
        ("K", 1, "K-2"),
    ],
)
def test_several_parts_count_their_codes_on(code, by, then):
    assert codes.counted_on(code, by) == then
