"""Labels against the standards' own worked examples and an independent library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import ean

from benchassist.scan import AmbiguousScanError, Label, ScanError, join, read
from benchassist.scan.hibc import ALPHABET, check_character

GTIN = "0109506000134352"


def test_every_field_of_a_data_matrix():
    # GS1 General Specifications 7.8: FNC1 as the symbology identifier, then as GS.
    label = read(f"]d2{GTIN}1729022810LOT-A42\x1d21SN0007")
    assert label == Label(
        "GS1",
        product="09506000134352",
        lot="LOT-A42",
        expires="2029-02-28",
        serial="SN0007",
    )


@pytest.mark.parametrize(
    ("digits", "day"), [("290200", "2029-02-28"), ("280200", "2028-02-29")]
)
def test_day_zero_is_the_months_last(digits, day):
    # GS1 General Specifications 3.4: day 00 is the last of the month.
    assert read(f"{GTIN}17{digits}10B7").expires == day


@pytest.mark.parametrize(
    "body", ["629104150021", "890400021003", "730001100001", "950600013435"]
)
def test_check_digits_agree_with_another_library(body):
    # python-stdnum, and GS1's calculator page for the first: 6291041500213.
    good = body + ean.calc_check_digit(body)
    assert read(good).product == good.zfill(14)
    bad = body + str((int(good[-1]) + 1) % 10)
    with pytest.raises(ScanError, match="check digit"):
        read(bad)


def test_a_lost_separator_is_refused_with_both_readings():
    with pytest.raises(AmbiguousScanError, match="LOT-A42 with serial SN0007") as seen:
        read(f"{GTIN}10LOT-A4221SN0007")
    assert {each.lot for each in seen.value.readings} == {"LOT-A4221SN0007", "LOT-A42"}


def test_a_lost_separator_before_a_date_is_refused():
    with pytest.raises(AmbiguousScanError, match="2029-02-28"):
        read(f"{GTIN}10A7B17290228")


def test_the_separator_that_came_settles_it():
    # A separator is tolerated after any element string (7.8.6.3).
    assert read(f"{GTIN}10LOT-A4221SN0007\x1d").lot == "LOT-A4221SN0007"
    assert read(f"{GTIN}\x1d17290228\x1d10LOT/7_a").lot == "LOT/7_a"


def test_digits_in_a_lot_that_are_no_date_stay_in_it():
    assert read(f"{GTIN}10AB17299999").lot == "AB17299999"


def test_what_a_hand_types_from_the_label():
    label = read("(01)09506000134352(17)290228(10)LOT-A42")
    assert (label.lot, label.expires) == ("LOT-A42", "2029-02-28")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "  \r\n",
        "0109506000134353" + "10LOT-A42",  # the product's check digit
        f"{GTIN}17290230",  # 30 February
        f"{GTIN}17291300",
        f"{GTIN}10" + "X" * 21,
        f"{GTIN}10LOT A",  # no such character in the set
        f"{GTIN}10A\x1d10B",  # two lots
        "hello",
        "9" * 500,
        "PART:",
        "PART:EX 41",
    ],
)
def test_what_is_not_taken_says_so_in_one_sentence(text):
    with pytest.raises(ScanError) as seen:
        read(text)
    assert str(seen.value).count("\n") == 0
    assert ":" in str(seen.value)


# ANSI/HIBC 2.6-2016, appendix B and E1, examples recomputed by hand: sums 145, 185,
# 261 and 313 modulo 43.
HIBC = [
    ("+A123BJC5D6E71", "G"),
    ("+$$52001510X3G", "D"),
    ("+A99912345/$$52001510X3", "3"),
    ("+A123BJC5D6E71/$$52001510X3", "C"),
]


@pytest.mark.parametrize(("body", "check"), HIBC)
def test_check_characters_of_the_standard(body, check):
    assert check_character(body) == check
    read(body + check)
    for wrong in set("0AZ$") - {check}:
        with pytest.raises(ScanError, match="check character"):
            read(body + wrong)


def test_a_joined_label():
    label = read("+A123BJC5D6E71/$$52001510X3C")
    assert label.product == "A123BJC5D6E7"
    assert (label.lot, label.expires) == ("10X3", "2020-01-15")


def test_two_labels_of_one_bottle_in_either_order():
    first = read("+A123BJC5D6E71G")
    second = read("+$$52001510X3GD")
    assert join(first, second) == join(second, first)
    assert join(first, second).lot == "10X3"
    other = read("+A99912345" + check_character("+A99912345"))
    with pytest.raises(ScanError, match="different bottles"):
        join(other, second)
    with pytest.raises(ScanError, match="no pair"):
        join(first, other)


@pytest.mark.parametrize(
    ("data", "day", "lot"),
    [
        ("$$09053C001", "2005-09-30", "3C001"),  # September 2005
        ("$$52001510X3", "2020-01-15", "10X3"),
        ("$$2011520A1", "2020-01-15", "A1"),
        ("$$3200115A1", "2020-01-15", "A1"),
        ("$$420011507A1", "2020-01-15", "A1"),
        ("$$620015" + "07A1", "2020-01-15", "A1"),
        ("$$7A1", "", "A1"),
        ("$A1", "", "A1"),
        ("20366A1", "2020-12-31", "A1"),  # a leap year's last day
    ],
)
def test_every_way_to_write_a_date(data, day, lot):
    body = f"+A99912345/{data}"
    label = read(body + check_character(body))
    assert (label.expires, label.lot) == (day, lot)


@pytest.mark.parametrize(
    "data", ["$$21341A1", "21366A1", "20000A1", "$$8A1", "$+SN1", "$A/S1"]
)
def test_what_a_secondary_may_not_say(data):
    body = f"+A99912345/{data}"
    with pytest.raises(ScanError):
        read(body + check_character(body))


def test_our_own_label_brings_a_part():
    assert read("PART:EX-41") == Label("part", part="EX-41")


def said(text):
    """What is read of a text: a label, or the sentence why not."""
    try:
        return read(text)
    except ScanError as error:
        return str(error)


@given(st.text(alphabet=st.characters(codec="latin-1"), max_size=60))
def test_any_text_is_a_label_or_one_sentence(text):
    label = said(text)
    if isinstance(label, str):
        assert len(label) < 400
        assert label.isprintable()
    else:
        assert label.part or label.lot or label.product or label.expires or label.serial


@given(st.text(alphabet=ALPHABET, min_size=1, max_size=40))
def test_any_checked_text_is_a_label_or_one_sentence(text):
    body = f"+{text}"
    label = said(body + check_character(body))
    assert isinstance(label, Label) or label.isprintable()
