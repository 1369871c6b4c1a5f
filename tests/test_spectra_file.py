"""Spectra from files: what is read, what is refused, and in which words.

Outside evidence: the TM-27 file of the demo was written by colour-science 0.4.7
(BSD-3), which implements IES TM-27-14; the JCAMP-DX block follows the published
protocol (McDonald and Wilks 1988, Appl Spectrosc 42:151, as described on public
pages), its five values being those of the checked example 0.40 0.42 0.38 0.30 0.22.
"""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchassist import assets
from benchassist.spectra_file import (
    UNITS,
    SpectrumFileError,
    parse_spectrum,
    read_spectrum,
    to_curve,
)

LIGHT = "irradiance_mw_cm2_nm"
JCAMP = """##TITLE= EX sample
##JCAMP-DX= 4.24
##DATA TYPE= UV/VIS SPECTRUM
##XUNITS= NANOMETERS
##YUNITS= TRANSMITTANCE
##FIRSTX= 380
##LASTX= 420
##DELTAX= 10
##NPOINTS= 5
##XFACTOR= 1
##YFACTOR= 0.001
##FIRSTY= 0.400
##XYDATA= (X++(Y..Y))
380 400 420 380
410 300 220
##END=
"""
TM27 = """<?xml version="1.0" encoding="utf-8"?>
<IESTM2714 xmlns="http://www.ies.org/iestm2714" version="1.0">
<Header><Description>EX lamp</Description></Header>
<SpectralDistribution><SpectralQuantity>{quantity}</SpectralQuantity>
{points}</SpectralDistribution></IESTM2714>
"""
POINTS = (
    '<SpectralData wavelength="400">10</SpectralData>\n'
    '<SpectralData wavelength="410">20</SpectralData>\n'
)


def parsed(text, name="ex.csv"):
    return parse_spectrum(text.encode(), name=name)


def refused(text, name="ex.csv"):
    """Return the sentence by which a text is refused."""
    with pytest.raises(SpectrumFileError) as caught:
        parsed(text, name)
    return said(caught)


def said(caught):
    """Return the one sentence of an error: its file named, one full stop, no more."""
    told = str(caught.value)
    assert told.startswith(("ex.", "none"))
    assert told.endswith(".")
    assert "\n" not in told
    return told


def tm27(points=POINTS, quantity="irradiance"):
    return TM27.format(points=points, quantity=quantity)


# --- what is read --------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "unit", "quantity", "peak"),
    [
        # 500 mW/cm² in a line 24 nm wide: 500 / (24 sqrt(pi / (4 ln 2))) = 19.57
        ("ex_lm_d.csv", "uw_cm2_nm", LIGHT, (452, 19.572)),
        # 170 W/m²/nm, as colour-science wrote it
        ("ex_lm_e.spdx", "w_m2_nm", LIGHT, (405, 17.0)),
        ("ex_gv_04.jdx", "percent", "transmittance", (445, 0.9)),
    ],
)
def test_the_files_of_the_demo_are_read_in_their_own_units(
    tmp_path, name, unit, quantity, peak
):
    path = tmp_path / name
    path.write_bytes(assets.read_bytes("demo_cases", "spectra", name))

    found = read_spectrum(path)
    curve = to_curve(found, quantity=quantity)

    assert (found.unit, curve.quantity) == (unit, quantity)
    assert (found.peak_nm, max(curve.values)) == pytest.approx(peak, rel=1e-3)
    assert curve.confidence == "measured"
    assert name in curve.source


@pytest.mark.parametrize(
    ("text", "nm", "values"),
    [
        ("400,1\n410,2\n", (400, 410), (1, 2)),
        ("nm;mW\n400,5;1,25\n410,5;2\n", (400.5, 410.5), (1.25, 2)),
        ("nm\tmW\n400.5\t1.25\n410\t2\n", (400.5, 410), (1.25, 2)),
        ("400 1\n410 2\n", (400, 410), (1, 2)),
        ("﻿410,2\r\n400,1\r\n", (400, 410), (1, 2)),
        ('"nm","a, b"\n"400","1"\n"410","2e0"\n', (400, 410), (1, 2)),
        ("# title: EX\n\nnm,x\n400,1,\n410,2,\n", (400, 410), (1, 2)),
    ],
    ids=["comma", "semicolon", "tab", "space", "falling", "quoted", "trailing comma"],
)
def test_csv_is_read_in_the_dialects_that_instruments_write(text, nm, values):
    found = parsed(text)

    assert found.nm == nm
    assert found.values == values


@pytest.mark.parametrize(
    ("label", "unit"),
    [
        ("mW/cm²/nm", "mw_cm2_nm"),
        ("irradiance_mw_cm2_nm", "mw_cm2_nm"),
        ("Irradiance [mW cm-2 nm-1]", "mw_cm2_nm"),
        ("mW per cm2 per nm", "mw_cm2_nm"),
        ("µW/(cm^2·nm)", "uw_cm2_nm"),
        ("W/m2/nm", "w_m2_nm"),
        ("spectral irradiance (W m-2 nm-1)", "w_m2_nm"),
        ("mW/m²/nm", "mw_m2_nm"),
        ("W/cm²/nm", "w_cm2_nm"),
        ("%T", "percent"),
        ("Transmittance (percent)", "percent"),
        ("Transmittance", "share"),
        ("Counts", "relative"),
        ("a.u.", "relative"),
        ("something", ""),
    ],
)
def test_the_unit_is_taken_from_the_header(label, unit):
    assert parsed(f"nm;{label}\n400;1\n410;1\n").unit == unit


def test_a_header_in_another_code_page_still_names_its_unit():
    data = "nm;µW/cm²/nm\n400;1\n410;1\n".encode("cp1252")

    assert parse_spectrum(data, name="ex.csv").unit == "uw_cm2_nm"


def test_jcamp_dx_gives_the_checked_example_values():
    found = parsed(JCAMP, "ex.jdx")

    assert found.nm == (380, 390, 400, 410, 420)
    assert found.values == pytest.approx((0.40, 0.42, 0.38, 0.30, 0.22), abs=1e-12)
    assert (found.unit, found.title) == ("share", "EX sample")


def test_jcamp_dx_is_read_as_pairs_too():
    head, _, _ = JCAMP.partition("##XYDATA")
    text = f"{head}##XYPOINTS= (XY..XY)\n380,400; 390,420\n400,380; 410,300\n420,220\n"

    assert parsed(f"{text}##END=\n", "ex.jdx").values == pytest.approx(
        (0.40, 0.42, 0.38, 0.30, 0.22), abs=1e-12
    )


@pytest.mark.parametrize(
    ("quantity", "unit"),
    [
        ("irradiance", "w_m2_nm"),
        ("transmittance", "share"),
        ("relative", "relative"),
        ("flux", "relative"),
        ("other", ""),
    ],
)
def test_tm_27_names_its_quantity(quantity, unit):
    found = parsed(tm27(quantity=quantity), "ex.spdx")

    assert (found.unit, found.nm, found.values) == (unit, (400, 410), (10, 20))
    assert found.title == "EX lamp"


# --- what becomes of it --------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "value"),
    [
        ("mw_cm2_nm", 2.0),
        ("uw_cm2_nm", 2e-3),
        ("w_cm2_nm", 2e3),
        ("w_m2_nm", 0.2),
        ("mw_m2_nm", 2e-4),
    ],
)
def test_every_unit_of_light_leads_to_the_one_on_file(unit, value):
    curve = to_curve(parsed("400,2\n410,2\n"), quantity=LIGHT, unit=unit)

    assert curve.values == pytest.approx((value, value), rel=1e-12)


def test_relative_values_are_scaled_to_the_total_that_was_measured():
    found = parsed("nm;relative\n400;0\n410;1\n420;0\n")

    curve = to_curve(found, quantity=LIGHT, total_mw_cm2=500)

    # The triangle has half its base times its height: 10 nm.
    assert curve.values == (0.0, 50.0, 0.0)


def test_the_same_content_has_the_same_digest_and_other_content_another():
    def digest(text):
        return to_curve(parsed(text), quantity=LIGHT, unit="mw_cm2_nm").digest

    assert digest("400,1\n410,2\n") == digest("nm,x\n400,1\n410,2.0\n")
    assert digest("400,1\n410,2\n") != digest("400,1\n410,3\n")


def refused_as(text, **chosen):
    with pytest.raises(SpectrumFileError) as caught:
        to_curve(parsed(text), **chosen)
    return said(caught)


def test_a_unit_that_nobody_named_is_asked_for():
    told = refused_as("400,1\n410,1\n", quantity=LIGHT)

    assert "choose one" in told


def test_a_curve_of_the_wrong_kind_is_refused():
    told = refused_as("nm;%T\n400;1\n410;1\n", quantity=LIGHT)

    assert "transmittance in %" in told
    assert "irradiance is needed" in told


def test_relative_values_without_a_total_are_refused():
    told = refused_as("nm;counts\n400;1\n410;1\n", quantity=LIGHT)

    assert "total irradiance" in told


def test_more_light_than_came_in_is_refused_with_a_guess():
    told = refused_as("nm;transmittance\n400;91\n410;92\n", quantity="transmittance")

    assert "reaches 92" in told
    assert "is it in %?" in told


def test_a_field_of_a_million_letters_is_no_row_of_a_spectrum():
    told = refused_as('nm;value\n400;"' + "9" * 1_000_000 + '"\n', quantity=LIGHT)

    assert "a line of over 10000 letters" in told


# --- what is refused -----------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        (" \n\n", "is empty"),
        ("nm,mW\n", "holds no spectrum"),
        ("400,1\n", "two rows"),
        ("400,1\n410,nan\n", "a value that is no number in its row 2"),
        ("400,1\n410,inf\n", "no number"),
        ("nan,1\n410,1\n", "a wavelength that is no number in its row 1"),
        ("400,1\n410,2\n405,3\n", "goes from 410 to 405 nm"),
        ("400,1\n400,2\n410,3\n", "goes from 400 to 400 nm"),
        ("400,1\n410,-0.2\n420,1\n", "negative at 410 nm (-0.2)"),
        ("400,0\n410,0\n", "nothing but zeros"),
        ("400,1\n410\n", "may be cut off"),
        ("400,1\n410,\n", "may be cut off"),
        ("400,1\n410,abc\n", "no pair of numbers: “410,abc”"),
        ("400,1,2\n410,1,2\n", "3 columns"),
        ("0.40,1\n0.41,2\n", "micrometres"),
        ("4000,1\n4100,2\n", "ångström"),
        ("90,1\n400,2\n", "save it in nanometres"),
        ("wavenumber (cm-1),T\n400,1\n410,2\n", "“wavenumber (cm-1)”"),
        ("nm,absorbance\n400,1\n410,2\n", "“absorbance”"),
        ("400,1\n" * 2 + "\x00", "is no text"),
    ],
)
def test_csv_that_is_no_spectrum_is_refused_in_one_sentence(text, words):
    assert words in refused(text)


def test_too_many_points_are_refused():
    rows = "".join(f"{300 + n / 100},1\n" for n in range(20_001))

    assert "20001 points" in refused(rows)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("##END=\n", ""), "no ##END= record"),
        (("##XYDATA= (X++(Y..Y))\n", ""), "no table of points"),
        (("410 300 220\n", ""), "says 5 points and has 3"),
        (("380 400 420 380\n410 300 220\n", ""), "says 5 points and has 0"),
        (("410 300 220", "410 abc 220"), "says 5 points and has 7"),
        (("##NPOINTS= 5\n", ""), "npoints"),
        (("##FIRSTY= 0.400", "##FIRSTY= 0.7"), "##FIRSTY= 0.7 and has 0.4"),
        (("NANOMETERS", "1/CM"), "“1/CM”"),
        (("NANOMETERS", "MICROMETERS"), "“MICROMETERS”"),
        (("= TRANSMITTANCE", "= ABSORBANCE"), "“ABSORBANCE”"),
        (("##FIRSTX= 380", "##FIRSTX= somewhere"), "can be read"),
        (("##DELTAX= 10", "##DELTAX= 10\n##LASTY= 0.3"), "##LASTY= 0.3 and has 0.22"),
        (("380 400", "380 -400"), "##FIRSTY= 0.4 and has -0.4"),
        (("410 300", "410 -300"), "negative at 410 nm"),
    ],
)
def test_jcamp_dx_that_contradicts_itself_is_refused(change, words):
    text = JCAMP.replace(*change)
    assert text != JCAMP

    told = refused(text, "ex.jdx")

    assert words in told


def test_a_letter_among_the_digits_is_not_read_as_a_number(capsys):
    # The library reads “abc” as -1, -2, -3 (squeezed digits) and says nothing.
    told = refused(JCAMP.replace("410 300 220", "410 abc"), "ex.jdx")

    assert "says 5 points and has 6" in told
    assert capsys.readouterr().out == ""


def test_several_spectra_in_one_jcamp_dx_file_are_refused():
    linked = "##TITLE= EX\n##DATA TYPE= LINK\n##BLOCKS= 2\n" + JCAMP

    assert refused(linked, "ex.jdx")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (tm27()[:-60], "may be cut off"),
        ("<html></html>", "not an IES TM-27"),
        (tm27().replace(' xmlns="http://www.ies.org/iestm2714"', ""), "not an IES"),
        (tm27(points=""), "holds no spectrum"),
        (tm27(POINTS.replace("20", "None")), "“410: None”"),
        (tm27(POINTS.replace(' wavelength="410"', "")), "no wavelength"),
        (tm27(POINTS.replace("20", "-1")), "negative at 410 nm"),
        (tm27(quantity="absorptance"), "“absorptance”"),
        (
            '<!DOCTYPE a [<!ENTITY b "c">]>' + tm27().split("\n", 1)[1],
            "entities",
        ),
    ],
)
def test_xml_that_is_no_spectrum_is_refused_in_one_sentence(text, words):
    assert words in refused(text, "ex.spdx")


def test_a_file_that_cannot_be_opened_is_told(tmp_path):
    with pytest.raises(SpectrumFileError, match=r"none\.csv cannot be read") as caught:
        read_spectrum(tmp_path / "none.csv")
    said(caught)


def test_a_huge_file_is_not_read(tmp_path):
    path = Path(tmp_path, "ex.csv")
    with path.open("wb") as file:
        file.truncate(5_000_001)

    with pytest.raises(SpectrumFileError, match="over 4 MiB") as caught:
        read_spectrum(path)
    said(caught)


@settings(max_examples=200, deadline=None)
@given(
    data=st.one_of(
        st.binary(max_size=200),
        st.text(max_size=200).map(str.encode),
        st.integers(0, len(JCAMP)).map(lambda n: JCAMP[:n].encode()),
        st.integers(0, 500).map(lambda n: tm27()[:n].encode()),
        st.text("0123456789.,;\t\n -eE#nm", max_size=80).map(str.encode),
    )
)
def test_whatever_the_bytes_are_a_spectrum_comes_out_or_one_sentence(data):
    try:
        found = parse_spectrum(data, name="ex.csv")
    except SpectrumFileError as error:
        told = str(error)
        found = None
    if found is None:
        assert told.startswith("ex.csv ")
        assert "\n" not in told
    else:
        assert len(found.nm) == len(found.values) >= 2
        assert list(found.nm) == sorted(set(found.nm))
        assert min(found.values) >= 0


def test_every_unit_has_a_title():
    assert all(unit.title for unit in UNITS.values())
