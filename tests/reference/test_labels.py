"""Labels against GS1's and HIBC's own worked examples, and two other libraries.

Outside evidence: GS1 General Specifications 26.0 by section number, the check digit
page of GS1, ANSI/HIBC 2.6-2016 (appendix B, E1.1, 2.2.1). Beside our own reading stand
python-stdnum and, for GS1, biip, which ours is built on.
"""

import biip
import pytest
from stdnum import ean, gs1_128

from benchassist.clock import RealClock
from benchassist.scan import AmbiguousScanError, Label, ScanError, read
from benchassist.scan.hibc import check_character

GTIN = "0109506000134352"
GS = "\x1d"


@pytest.mark.parametrize(
    ("body", "digit"),
    [
        ("629104150021", "3"),  # GS1's check digit page
        ("890400021003", "7"),
        ("730001100001", "7"),
        ("0950600013435", "2"),
    ],
)
def test_check_digits(body, digit):
    assert ean.calc_check_digit(body) == digit
    # One of 14 digits stands in no symbol by itself: it is read as element string 01.
    at = "01" if len(body) == 13 else ""
    assert read(at + body + digit).product == (body + digit).zfill(14)
    for wrong in set("0123456789") - {digit}:
        with pytest.raises(ScanError, match="check digit"):
            read(at + body + wrong)


def test_every_field_of_a_data_matrix():
    # 7.8: the first FNC1 shows as the symbology identifier only, a later one as GS.
    label = read(f"]d2{GTIN}1729022810LOT-A42{GS}21SN0007")

    assert label == Label(
        "GS1",
        product="09506000134352",
        lot="LOT-A42",
        expires="2029-02-28",
        serial="SN0007",
    )
    theirs = gs1_128.info(f"{GTIN}1729022810LOT-A42{GS}21SN0007", GS)
    assert (theirs["01"], theirs["10"], theirs["21"]) == (
        label.product,
        label.lot,
        label.serial,
    )
    assert theirs["17"].isoformat() == label.expires


@pytest.mark.parametrize(
    ("digits", "day"), [("290200", "2029-02-28"), ("280200", "2028-02-29")]
)
def test_day_zero_is_the_months_last(digits, day):
    # 3.4: day 00 is the last of the month, of a leap year too.
    assert read(f"{GTIN}17{digits}10B7").expires == day


@pytest.mark.parametrize("ahead", [-49, -1, 0, 1, 10, 50])
def test_the_century_is_the_nearest(ahead):
    # 7.12: 51 and more ahead are the past century's, 50 and more behind the next's.
    year = RealClock().now().local().year + ahead

    assert read(f"{GTIN}17{year % 100:02}063010B7").expires == f"{year}-06-30"


def test_a_lost_separator_is_no_error_to_a_reader_but_is_to_us():
    lost = f"{GTIN}10LOT-A4221SN0007"

    # A reader must take the longest lot: 7.8 gives it no way to know better.
    theirs = biip.parse(lost).gs1_message
    assert theirs.element_strings.get(ai="10").value == "LOT-A4221SN0007"
    with pytest.raises(AmbiguousScanError) as seen:
        read(lost)
    assert {each.lot for each in seen.value.readings} == {"LOT-A4221SN0007", "LOT-A42"}


def test_a_wrong_check_digit_takes_nothing_of_the_label():
    wrong = f"{GTIN[:-1]}310LOT-A42"

    assert "Expected 2, got 3" in biip.parse(wrong).gtin_error
    with pytest.raises(ScanError, match="check digit"):
        read(wrong)


def test_no_day_that_is_none():
    with pytest.raises(ValueError, match="day"):
        gs1_128.info(f"(01){GTIN[2:]}(17)290230")
    with pytest.raises(ScanError, match="290230"):
        read(f"{GTIN}17290230")


def test_an_empty_scan_is_refused_though_a_reader_takes_it():
    assert biip.parse("").gs1_message is not None
    with pytest.raises(ScanError):
        read("")


@pytest.mark.parametrize(
    ("body", "check"),
    [  # sums 145, 185, 261 and 313 modulo 43, recomputed by hand
        ("+A123BJC5D6E71", "G"),
        ("+$$52001510X3G", "D"),
        ("+A99912345/$$52001510X3", "3"),
        ("+A123BJC5D6E71/$$52001510X3", "C"),
    ],
)
def test_check_characters_of_hibc(body, check):
    assert check_character(body) == check
    read(body + check)
    for wrong in set("0AZ$") - {check}:
        with pytest.raises(ScanError, match="check character"):
            read(body + wrong)


@pytest.mark.parametrize(
    ("data", "day", "lot"),
    [
        # E1.1; of a month without a day the last is taken: our own choice.
        ("$$09053C001", "2005-09-30", "3C001"),
        ("$$52001510X3", "2020-01-15", "10X3"),
        ("$$2011520A1", "2020-01-15", "A1"),
        ("$$3200115A1", "2020-01-15", "A1"),
        ("$$420011507A1", "2020-01-15", "A1"),
        ("$$62001507A1", "2020-01-15", "A1"),
        ("$$7A1", "", "A1"),
        ("$A1", "", "A1"),
        ("20366A1", "2020-12-31", "A1"),  # a leap year's last day
    ],
)
def test_every_way_hibc_writes_a_date(data, day, lot):
    body = f"+A99912345/{data}"
    label = read(body + check_character(body))

    assert (label.expires, label.lot) == (day, lot)
