"""A spectrum is looked at, held against what it would change, and only then filed."""

import pytest

from benchassist import assets
from benchassist.domain import commands as cm
from benchassist.domain.light import judge_lamp
from benchassist.spectra_file import parse_spectrum
from benchassist.sums.subject import subject
from benchassist.ui.present.physics import folder, spectrum
from tests.domain.builders import Desk


def found(name="ex_lm_d.csv"):
    data = assets.read_bytes("demo_cases", "spectra", name)
    return parse_spectrum(data, name=name)


def view(desk, name="ex_lm_d.csv", **typed):
    values = {"owner": "lamp EX-LM-D", "reason": "measured on 14 May"} | typed
    about = subject(desk.bench, desk.now)
    return spectrum.spectrum_view(desk.bench, desk.now, about, found(name), values)


def test_what_filing_would_change_is_said_before_it_is_filed(desk):
    seen = view(desk)

    assert seen.amiss == ""
    assert any(
        "FAIL (no spectrum on file) becomes MARGINAL (17 s" in line
        for line in seen.lines
    )
    # 36 and 500 mW/cm² in two lines.
    assert any(line.startswith("536 mW/cm² in all.") for line in seen.lines)
    assert judge_lamp(desk.bench, "EX-LM-D", "EX-LT-C1", 15).level == "fail"

    desk.must(seen.command)

    assert judge_lamp(desk.bench, "EX-LM-D", "EX-LT-C1", 15).level == "marginal"


def test_the_plot_shows_the_file_whole(desk):
    line = view(desk).plot.lines[0]

    assert (line.x[0], line.x[-1]) == (360, 520)
    assert max(line.y) == pytest.approx(19.57, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("ex_lm_d.csv", {"reason": ""}, "Say why the spectrum of EX-LM-D changes"),
        ("ex_gv_04.jdx", {}, "irradiance is needed here"),
        ("ex_lm_d.csv", {"owner": "vessel EX-GV-04"}, "transmittance is needed here"),
        ("ex_lm_d.csv", {"unit": "relative"}, "type the lamp's total irradiance"),
        (
            "ex_lm_d.csv",
            {"unit": "relative", "total": "much"},
            "“much” is not a number",
        ),
        ("ex_lm_d.csv", {"reading": "nan"}, "“nan” is not a number"),
        ("ex_lm_d.csv", {"owner": "lamp EX-LM-9"}, "is not on file"),
    ],
)
def test_what_is_missing_is_said_and_nothing_can_be_filed(desk, name, typed, words):
    seen = view(desk, name, **typed)

    assert words in seen.amiss
    assert seen.command is None
    assert seen.plot is not None


def test_relative_values_take_the_total_that_is_typed(desk):
    seen = view(desk, unit="relative", total="400")

    assert any(line.startswith("400 mW/cm² in all.") for line in seen.lines)


def test_a_vessel_and_glasses_take_transmittances(desk):
    for owner in ("vessel EX-GV-04", "glasses OP-1"):
        seen = view(desk, "ex_gv_04.jdx", owner=owner)
        assert any("Lets through 0.1% to 90.0%" in line for line in seen.lines)
        desk.must(seen.command)

    assert desk.bench.vessels["EX-GV-04"].curve
    assert desk.bench.glasses["OP-1"].curve


def test_a_curve_from_papers_is_declared(desk):
    desk.must(view(desk, trust="declared").command)

    assert desk.bench.lamps["EX-LM-D"].knowledge == "declared"


def test_everything_on_file_can_have_a_spectrum(desk):
    fields = {field.name: field for field in spectrum.fields(desk.bench, found())}
    owners = [owner for owner, _ in fields["owner"].choices]

    assert {"lamp EX-LM-A", "box EX-BX-1", "vessel EX-GV-01", "glasses OP-1"} <= set(
        owners
    )


def test_what_the_file_can_be_of_comes_first(desk):
    for name, first in (("ex_gv_04.jdx", "vessel EX-GV-01"), ("ex_lm_d.csv", "lamp ")):
        fields = {each.name: each for each in spectrum.fields(desk.bench, found(name))}

        assert fields["owner"].choices[0][0].startswith(first)


def test_a_long_title_is_cut_between_words(desk):
    told = view(desk, "ex_gv_04.jdx", owner="vessel EX-GV-04").lines[0]

    title = told.partition("“")[2].partition("”")[0]
    assert title.endswith(" …")
    assert found("ex_gv_04.jdx").title.startswith(title.removesuffix(" …"))
    assert len(title) <= 48


# --- folders -------------------------------------------------------------------


def test_a_folder_offers_folders_and_files_that_may_hold_a_spectrum(tmp_path, desk):
    (tmp_path / "May").mkdir()
    (tmp_path / ".hidden").mkdir()
    for name in ("b.CSV", "a.spdx", "notes.pdf"):
        (tmp_path / name).write_bytes(b"400,1\n410,2\n")

    real = Desk(kind="real", filed=None)
    offered = folder.listing(str(tmp_path), real.bench)

    assert [(each.kind, each.name) for each in offered.entries] == [
        ("folder", ".."),
        ("folder", "May"),
        ("file", "a.spdx"),
        ("file", "b.CSV"),
    ]
    assert folder.opened(offered.entries[3]).nm == (400, 410)


def test_an_example_store_offers_the_shipped_examples_and_a_real_one_does_not(
    tmp_path, desk
):
    shown = folder.listing(str(tmp_path), desk.bench).entries
    examples = [each for each in shown if each.kind == "example"]

    assert {each.name for each in examples} >= {"ex_lm_d.csv", "ex_gv_04.jdx"}
    assert all(folder.opened(each).nm for each in examples)


def test_a_folder_that_is_gone_is_told_in_a_sentence(tmp_path):
    offered = folder.listing(
        str(tmp_path / "gone"), Desk(kind="real", filed=None).bench
    )

    assert offered.amiss.endswith(").")
    assert offered.entries[0].name == ".."


def test_no_subject_is_needed_to_file_a_box(desk):
    values = {"owner": "box EX-BX-1", "reason": "measured"}
    seen = spectrum.spectrum_view(desk.bench, desk.now, None, found(), values)

    assert isinstance(seen.command, cm.FileSpectrum)
    desk.must(seen.command)
    assert desk.bench.boxes["EX-BX-1"].knowledge == "measured"
