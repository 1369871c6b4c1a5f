"""Teeth as two digits: ISO 3950:2016, its rules from memory."""

import pytest

from benchassist.domain import commands as cm
from benchassist.domain import teeth
from tests.domain.builders import CROWN, Desk, code_of

PERMANENT = [f"{q}{n}" for q in (1, 2, 3, 4) for n in range(1, 9)]
DECIDUOUS = [f"{q}{n}" for q in (5, 6, 7, 8) for n in range(1, 6)]


def test_there_are_32_permanent_and_20_deciduous_teeth():
    every = [f"{n:02d}" for n in range(100)]
    single = [each for each in every if not teeth.amiss(each) and each[1] != "0"]

    assert [each for each in single if each[0] != "0"] == PERMANENT + DECIDUOUS


@pytest.mark.parametrize(
    ("tooth", "jaw"),
    [
        *((each, "upper") for each in ("11", "28", "51", "65", "10", "20", "01")),
        *((each, "lower") for each in ("31", "48", "75", "81", "30", "40", "02")),
        ("12-14", "upper"),
        ("13,12,11", "upper"),
        ("45/46", "lower"),
    ],
)
def test_a_tooth_says_its_jaw(tooth, jaw):
    assert teeth.amiss(tooth) == ""
    assert teeth.jaw_of(tooth) == jaw


@pytest.mark.parametrize(
    "tooth", ["8", "19", "49", "56", "90", "00", "1", "112", "UR1"]
)
def test_what_is_no_tooth_is_said(tooth):
    assert "two digits" in teeth.amiss(tooth)
    assert teeth.jaw_of(tooth) == ""


def test_two_jaws_are_two_parts():
    assert "two jaws" in teeth.amiss("11,31")


def take(desk, code, tooth, jaw=""):
    known = {"lamp": "LM-A", "box": "BX-1", "vessel": "GV-1"}
    told = {"tooth": tooth, "jaw": jaw, "reason": "as it comes"}
    return desk.do(cm.TakeIn(code, CROWN, "L-PRINT", "L-COAT", **known, **told))


def test_a_tooth_of_another_kind_is_refused_until_the_practice_writes_its_own():
    desk = Desk()
    assert code_of(take(desk, "EX-1", "UR1")) == "tooth"

    desk.must(cm.SetCodeShape("tooth", "*", "we write UR1"))

    assert isinstance(take(desk, "EX-1", "UR1"), tuple)


def test_a_tooth_and_a_jaw_that_do_not_fit_are_refused():
    assert code_of(take(Desk(), "EX-1", "12", "lower")) == "tooth"


def test_a_tooth_gives_its_jaw():
    desk = Desk()
    take(desk, "EX-1", "36")

    assert desk.part("EX-1").jaw == "lower"


def test_numbers_of_another_system_are_no_quadrants():
    """A practice that counts 1 to 32 does not get a jaw by the wrong rule."""
    desk = Desk()
    desk.must(cm.SetCodeShape("tooth", "*", "we count 1 to 32"))

    take(desk, "EX-1", "21", "lower")

    assert desk.part("EX-1").jaw == "lower"
