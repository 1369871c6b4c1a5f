"""GS1 element strings, read by biip, and refused where they can mean two things.

Source: GS1 General Specifications, release 26.0 (sections 3 and 7.8), as biip 5.2
implements them, the century of a two-digit year included (7.12). biip reads an element
string that lost its separator without a word, and takes an empty string; both are dealt
with here.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchassist.scan.errors import AmbiguousScanError, ScanError, shown
from benchassist.scan.label import Label

GS = "\x1d"
PRODUCT, LOT, MADE, EXPIRES, SERIAL = "01", "10", "11", "17", "21"
DATE_LENGTH = 6
GTIN_LENGTH = 14
GTIN_LENGTHS = (8, 12, 13)


def read(text: str) -> Label:
    """Return what GS1 element strings say; see ``scan.read`` for the errors."""
    if text.isdigit() and len(text) in GTIN_LENGTHS:
        return Label("GS1", product=_product(text))
    values = _values(text)
    label = _label(values)
    if not any((label.product, label.lot, label.serial, label.expires)):
        msg = f"{shown(text)} names no product, lot or date: scan the bottle's code."
        raise ScanError(msg)
    _refuse_lost_separator(text, values, label)
    return label


def _values(text: str) -> dict[str, str]:
    """Return each application identifier's value, dates as ISO days."""
    import biip  # noqa: PLC0415 - a bench without a scanner does not wait for it
    from biip.gs1_messages import GS1Message  # noqa: PLC0415

    config = biip.ParseConfig(
        separator_chars=(GS,), gs1_element_strings_verify_date=True
    )
    try:
        if text.startswith("("):
            message = GS1Message.parse_hri(text, config=config)
        else:
            message = _parsed(biip, text, config)
    except (biip.ParseError, ValueError, IndexError):
        # IndexError: biip 5.2 on a lone "]", which begins every symbology identifier.
        msg = f"{shown(text)} cannot be read as a label: scan again, or type the lot."
        raise ScanError(msg) from None
    found: dict[str, str] = {}
    for element in message.element_strings:
        ai = element.ai.ai
        if ai == PRODUCT and element.gtin is None:
            msg = (
                f"{shown(text)} was misread, its product code's check digit is wrong:"
                " scan again."
            )
            raise ScanError(msg)
        value = element.date.isoformat() if element.date else element.value
        if found.setdefault(ai, value) != value:
            msg = f"{shown(text)} says two things of ({ai}): type the lot by hand."
            raise ScanError(msg)
    return found


def _parsed(biip, text: str, config):  # type: ignore[no-untyped-def] # noqa: ANN001, ANN202
    result = biip.parse(text, config=config)
    if result.gs1_message is None:
        raise ValueError(result.gs1_message_error or "no GS1 element strings")
    return result.gs1_message


def _product(digits: str) -> str:
    import biip  # noqa: PLC0415
    from biip.gtin import Gtin  # noqa: PLC0415

    try:
        return Gtin.parse(digits).as_gtin_14()
    except biip.ParseError:
        msg = f"{shown(digits)} was misread, its check digit is wrong: scan again."
        raise ScanError(msg) from None


def _label(values: dict[str, str]) -> Label:
    return Label(
        "GS1",
        product=values.get(PRODUCT, ""),
        lot=values.get(LOT, ""),
        expires=values.get(EXPIRES, ""),
        made=values.get(MADE, ""),
        serial=values.get(SERIAL, ""),
    )


def _refuse_lost_separator(text: str, values: dict[str, str], label: Label) -> None:
    """Refuse a lot or serial whose tail reads as another element string.

    Only where no separator was transmitted behind it: a scanner that is set up
    wrongly drops them all.
    """
    if text.startswith("("):
        return
    for ai in (LOT, SERIAL):
        value = values.get(ai, "")
        if f"{ai}{value}{GS}" in text:
            continue
        for kept, tail in _splits(value, ai):
            other = _label(values | {ai: kept} | tail)
            said = " or ".join(_said(each) for each in (label, other))
            msg = (
                f"{shown(text)} can be read as {said}: set the scanner to send the"
                " group separator, or type the lot."
            )
            raise AmbiguousScanError(msg, (label, other))


def _splits(value: str, ai: str) -> Iterator[tuple[str, dict[str, str]]]:
    for at in range(1, len(value) - 2):
        tail_ai, tail = value[at : at + 2], value[at + 2 :]
        if tail_ai == ai or tail_ai not in (PRODUCT, LOT, MADE, EXPIRES, SERIAL):
            continue
        if tail_ai in (LOT, SERIAL):
            yield value[:at], {tail_ai: tail}
        elif _fixed(tail_ai, tail):
            yield value[:at], _values(tail_ai + tail)


def _fixed(ai: str, tail: str) -> bool:
    length = GTIN_LENGTH if ai == PRODUCT else DATE_LENGTH
    if len(tail) < length or not tail[:length].isdigit():
        return False
    try:
        _values(ai + tail)
    except ScanError:
        return False
    return True


def _said(label: Label) -> str:
    words = (("lot", label.lot), ("serial", label.serial), ("expiry", label.expires))
    return " with ".join(f"{name} {value}" for name, value in words if value)
