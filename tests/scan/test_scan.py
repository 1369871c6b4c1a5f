"""What is read of a label, beside the standards' examples in tests/reference."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.scan import AmbiguousScanError, Label, ScanError, join, read
from benchassist.scan.hibc import ALPHABET, check_character

GTIN = "0109506000134352"


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
    # What the reading library says of itself is no help at a bench.
    assert not any(word in str(seen.value) for word in ("GS1", "Identifier", "parse"))


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


@pytest.mark.parametrize(
    "text", ["*PART:EX-41", "PART:EX-41", "(PARTÖEX-41", "*PART>EX-41"]
)
def test_our_own_label_is_read_whatever_keyboard_the_scanner_is_set_to(text):
    """Letters and digits stand where they stand; signs wander from layout to layout."""
    assert read(text).part == "EX-41"


def test_a_supplier_s_label_is_not_taken_for_ours():
    with pytest.raises(ScanError):
        read("+PART/EX-41")
