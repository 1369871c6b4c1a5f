"""A library file is filed whole or not at all, and what is amiss is told in words."""

import json
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchassist import assets
from benchassist.clock import RealClock
from benchassist.domain.library import CountRule, Variant
from benchassist.library_file import (
    LibraryError,
    library_schema,
    parse_library,
    read_library,
)
from benchassist.physics.light_check import Absorber, match_lamp

HEAD = "# source: a\n# licence: b\n# confidence: measured\n"
LAMP = """
[[lamps]]
code = "LM-1"
title = "A lamp"
baseline_reading = 100
"""
SPECTRUM = """
[lamps.spectrum]
nm = [380, 400, 420]
mw_cm2_nm = [0, 10, 0]
source = "own spectrometer, 3 May"
confidence = "measured"
"""
MATERIAL = """
[[materials]]
code = "RS-1"
title = "A resin"
role = "print"
knowledge = "known"
design_nm = 385
set_j_cm2 = 4.2
final_j_cm2 = 30
"""
RECIPE = """
[[recipes]]
code = "RC-1"
revision = 3
title = "A crown"
material = "RS-1"
item_class = "crown"
ifu_revision = "IFU 2"
status = "as IFU"
solvent_max_s = 600
dry_before_box_s = 900
dry_before_coat_s = 300
total_per_side = 4400
unit = "flash"
coats = 0
planned_tack_s = 15
brush_s = 15
move_s = 3
wet_limit_s = 120
checks = ["inspection"]
"""


def no_file(name):
    raise FileNotFoundError(2, "No such file", name)


def parsed(text, *, name="own.toml", beside=no_file):
    return parse_library(text, name=name, beside=beside)


def told(text, **more):
    with pytest.raises(LibraryError) as caught:
        parsed(text, **more)
    assert str(caught.value) == "\n".join(caught.value.lines)
    return caught.value.lines


def practice():
    text = assets.read_text("demo_cases", "practice.toml")
    return parse_library(text, name="practice.toml", beside=no_file)


# --- the shipped practice --------------------------------------------------------------


def layer_of(library, code):
    material = next(each for each in library.materials if each.code == code)
    curves = {curve.digest: curve for curve in library.curves}
    layer = [
        Absorber(curves[each.curve], each.mol_l, each.quantum_yield)
        for each in material.initiators
    ]
    return material, layer


@pytest.mark.parametrize(
    ("lamp", "mw_cm2", "seconds"),
    [("EX-LM-A", 42.07, 9.984), ("EX-LM-C", 25.24, 16.64)],
)
def test_the_practice_s_lamps_give_the_crown_resin_what_they_are_scaled_for(
    lamp, mw_cm2, seconds
):
    # 0.42 J/cm² over 42.07 and over 25.24 mW/cm²: 10 s and 16.6 s, by hand.
    library = practice()
    crown, layer = layer_of(library, "EX-RS-C")
    curves = {curve.digest: curve for curve in library.curves}
    spectrum = curves[next(each.curve for each in library.lamps if each.code == lamp)]
    match = match_lamp(spectrum, layer, design_nm=crown.design_nm)

    assert match.effective_mw_cm2 == pytest.approx(mw_cm2, rel=1e-3)
    assert crown.set_j_cm2 * 1e3 / match.effective_mw_cm2 == pytest.approx(
        seconds, abs=1e-2
    )


def test_the_blue_lamp_hardly_acts_on_the_crown_resin_and_well_on_the_blue_stain():
    library = practice()
    curves = {curve.digest: curve for curve in library.curves}
    blue = curves[next(lamp.curve for lamp in library.lamps if lamp.code == "EX-LM-B")]
    crown, layer = layer_of(library, "EX-RS-C")
    stain, other = layer_of(library, "EX-ST-B")

    assert match_lamp(blue, layer, design_nm=crown.design_nm).effective_share < 0.02
    assert match_lamp(blue, other, design_nm=stain.design_nm).effective_share > 0.8


def test_everything_in_the_practice_is_an_example():
    library = practice()
    marked = (
        *library.materials,
        *library.lamps,
        *library.boxes,
        *library.vessels,
        *library.recipes,
    )

    assert all(each.example and each.code.startswith("EX-") for each in marked)
    assert all(lot.code.startswith("EX-") for lot in library.lots)


def test_the_practice_says_how_well_each_curve_is_known():
    library = practice()
    marks = {}
    for curve in library.curves:
        marks.setdefault(curve.quantity, set()).add(curve.confidence)

    # TPO and camphorquinone are from memory and say so.
    assert marks["absorptivity_l_mol_cm"] == {"from memory"}
    assert marks["irradiance_mw_cm2_nm"] == {"measured", "declared"}
    assert {lamp.code: lamp.knowledge for lamp in library.lamps} == {
        "EX-LM-A": "measured",
        "EX-LM-B": "declared",
        "EX-LM-C": "measured",
        "EX-LM-D": "unknown",
        "EX-LM-F": "unknown",
    }


def test_borosilicate_between_air_and_glycerol_passes_about_96_percent():
    # 3 mm of borosilicate 3.3, air outside and glycerol inside: 0.957 to 0.960 from
    # 385 to 470 nm, by Fresnel's equations with the maker's constants of 2021; the
    # face to the part behind it takes less than 0.05 % here.
    library = practice()
    large = next(each for each in library.vessels if each.code == "EX-GV-03")
    wall = next(each for each in library.curves if each.digest == large.curve)
    by_nm = dict(zip(wall.nm, wall.values, strict=True))

    assert by_nm[385] == pytest.approx(0.957, abs=2e-3)
    assert by_nm[470] == pytest.approx(0.960, abs=2e-3)


# --- what becomes of entries -----------------------------------------------------------


def test_a_spectrum_makes_a_measured_lamp():
    library = parsed(LAMP + SPECTRUM)
    (lamp,), (curve,) = library.lamps, library.curves

    assert (lamp.knowledge, lamp.curve) == ("measured", curve.digest)
    assert (curve.nm, curve.values) == ((380.0, 400.0, 420.0), (0.0, 10.0, 0.0))
    assert curve.source == "own spectrometer, 3 May"


def test_a_spectrum_that_was_not_measured_makes_a_declared_lamp():
    declared = SPECTRUM.replace('"measured"', '"published"')

    assert parsed(LAMP + declared).lamps[0].knowledge == "declared"


def test_lines_make_a_declared_lamp_of_their_power():
    library = parsed(LAMP + "lines = [[100, 405, 15], [300, 460, 25]]")
    (curve,) = library.curves
    step_nm = curve.nm[1] - curve.nm[0]

    assert library.lamps[0].knowledge == "declared"
    assert curve.confidence == "declared"
    # The area of a Gaussian line is its irradiance: 100 + 300 mW/cm².
    assert sum(curve.values) * step_nm == pytest.approx(400, rel=1e-3)


def test_without_spectrum_and_lines_a_lamp_is_unknown():
    library = parsed(LAMP)

    assert (library.lamps[0].knowledge, library.lamps[0].curve) == ("unknown", "")
    assert library.curves == ()


def test_a_digest_is_the_sha256_of_the_content_and_nothing_else():
    first = parsed(LAMP + SPECTRUM).curves[0]
    renamed = parsed(LAMP.replace("LM-1", "LM-2") + SPECTRUM).curves[0]
    other = parsed(LAMP + SPECTRUM.replace("10", "11")).curves[0]
    content = {
        "quantity": "irradiance_mw_cm2_nm",
        "nm": [380.0, 400.0, 420.0],
        "values": [0.0, 10.0, 0.0],
        "source": "own spectrometer, 3 May",
        "confidence": "measured",
    }
    text = json.dumps(content, sort_keys=True, separators=(",", ":"))

    assert first.digest == sha256(text.encode()).hexdigest()
    assert renamed.digest == first.digest
    assert other.digest != first.digest


def test_an_initiator_by_id_brings_its_shipped_curve_with_its_mark():
    text = MATERIAL + 'initiators = [{ id = "cq", mol_l = 0.03, quantum_yield = 0.07 }]'
    library = parsed(text)
    (initiator,) = library.materials[0].initiators

    assert initiator.name == "CQ"
    assert library.curves[0].confidence == "from memory"
    # 46 L/mol/cm at 469 nm: Chen, Ferracane, Prahl 2007, Dent Mater 23:655-664.
    at = library.curves[0].nm.index(469.0)
    assert library.curves[0].values[at] == 46.0


def test_an_initiator_may_have_a_curve_of_its_own():
    text = (
        MATERIAL
        + """
[[materials.initiators]]
name = "house mix"
mol_l = 0.02
quantum_yield = 0.5
absorptivity = { nm = [380, 420], l_mol_cm = [500, 5], source = "own photometer", confidence = "measured" }
"""
    )
    library = parsed(text)

    assert library.materials[0].initiators[0].name == "house mix"
    assert library.curves[0].quantity == "absorptivity_l_mol_cm"


def test_a_curve_may_lie_in_a_csv_file_beside(tmp_path):
    table = """# source: own spectrometer
# licence: ours
# confidence: measured; second channel
wavelength_nm,irradiance_mw_cm2_nm
390,0
400,12.5
410,0
"""
    tmp_path.joinpath("lamp.csv").write_text(table, encoding="utf-8")
    path = tmp_path / "own.toml"
    path.write_text(LAMP + 'spectrum = { csv = "lamp.csv" }', encoding="utf-8")
    library = read_library(path)

    assert library.curves[0].values == (0.0, 12.5, 0.0)
    assert library.curves[0].confidence == "measured"
    assert library.lamps[0].knowledge == "measured"


def test_json_of_the_same_shape_is_the_same_library(tmp_path):
    as_json = {
        "lamps": [
            {
                "code": "LM-1",
                "title": "A lamp",
                "baseline_reading": 100,
                "spectrum": {
                    "nm": [380, 400, 420],
                    "mw_cm2_nm": [0, 10, 0],
                    "source": "own spectrometer, 3 May",
                    "confidence": "measured",
                },
            }
        ],
        "lots": [{"code": "LT-1", "material": "RS-1", "expires": "2030-06-30"}],
    }
    path = tmp_path / "own.json"
    path.write_text(json.dumps(as_json), encoding="utf-8")
    toml = LAMP + SPECTRUM
    toml += '[[lots]]\ncode = "LT-1"\nmaterial = "RS-1"\nexpires = 2030-06-30\n'

    assert read_library(path) == parsed(toml)


def test_a_recipe_keeps_what_it_says():
    text = RECIPE.replace("coats = 0", 'coats = 1\ncoat_material = "RS-1"')
    text += """
sides = ["A", "B"]
counts = { step = 100, max_run = 3000 }
washes = [{ title = "Wash 1", min_s = 120, max_s = 300 }]
faces = [{ title = "outer", spots = 3 }, { title = "inner", spots = 2 }]
"""
    recipe = parsed(text).recipes[0]

    assert recipe.id == "RC-1 r3"
    assert (recipe.total, recipe.sides, recipe.spots) == (4400, ("A", "B"), 5)
    assert recipe.rule == CountRule(100, 3000)
    assert (recipe.washes[0].min_s, recipe.washes[0].max_s) == (120, 300)
    assert recipe.usual_variant == Variant(stain_passes=0, coats=1)


def test_a_recipe_without_coats_is_cured_whole():
    assert parsed(RECIPE).recipes[0].usual_variant.finish == "none"


def test_a_steady_box_counts_seconds_and_a_flash_box_flashes():
    box = '[[boxes]]\ncode = "BX"\ntitle = "Box"\nchamber_height_mm = 90\n'
    steady = parsed(box).boxes[0]
    flashes = parsed(box + "flashes_per_s = 8").boxes[0]

    assert (steady.unit, steady.rate_hz) == ("s", 1.0)
    assert (flashes.unit, flashes.rate_hz) == ("flash", 8.0)


# --- what is amiss ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (
            LAMP + SPECTRUM.replace("400, 420", "420, 400"),
            "own.toml: lamps[0].spectrum.nm[2]: expected a wavelength above 420; given 400.0.",
        ),
        (
            LAMP + SPECTRUM.replace("[0, 10, 0]", "[0, -10, 0]"),
            "own.toml: lamps[0].spectrum.mw_cm2_nm[1]: expected greater than or equal to 0; given -10.",
        ),
        (
            LAMP + SPECTRUM.replace("[0, 10, 0]", "[0, nan, 0]"),
            "own.toml: lamps[0].spectrum.mw_cm2_nm[1]: expected a finite number; given NaN.",
        ),
        (
            LAMP + SPECTRUM.replace("[0, 10, 0]", "[0, inf, 0]"),
            "own.toml: lamps[0].spectrum.mw_cm2_nm[1]: expected a finite number; given Infinity.",
        ),
        (
            LAMP + SPECTRUM.replace("[0, 10, 0]", "[0, 10]"),
            'own.toml: lamps[0].spectrum.mw_cm2_nm: expected as many values as wavelengths, 3; given "2 values".',
        ),
        (
            LAMP + SPECTRUM.replace("[380, 400, 420]", "[]"),
            "own.toml: lamps[0].spectrum.nm: expected two wavelengths or more; given an empty list.",
        ),
        (
            LAMP + SPECTRUM.replace('"own spectrometer, 3 May"', '" "'),
            'own.toml: lamps[0].spectrum.source: expected where the curve is from; given " ".',
        ),
        (
            LAMP + "lines = [[100, 405, 15]]\n" + SPECTRUM,
            "own.toml: lamps[0].lines: expected either a spectrum or lines, not both; given 1.",
        ),
        (
            LAMP + "lines = [[100, 405]]",
            "own.toml: lamps[0].lines[0][2]: expected a value for this field; given nothing.",
        ),
        (
            LAMP + 'colour = "blue"',
            "own.toml: lamps[0]: expected one of code, title, example, bands, peaks_nm, document, revision, spectrum, lines, baseline_reading, mw_cm2, useful_mm, tip_mm, source_mm; given “colour”.",
        ),
        (
            LAMP.replace("100", '"100"'),
            'own.toml: lamps[0].baseline_reading: expected a valid number; given "100".',
        ),
        (
            LAMP.replace("LM-1", "LM 1"),
            'own.toml: lamps[0].code: expected a code without blanks, commas and equals signs; given "LM 1".',
        ),
        (
            LAMP.replace("LM-1", "EX-1"),
            "own.toml: lamps[0].example: expected example = true for a code that begins with EX-; given false.",
        ),
        (
            LAMP + LAMP,
            'own.toml: lamps[1].code: expected a code used once; given "LM-1".',
        ),
        (
            LAMP + 'spectrum = { csv = "gone.csv" }',
            'own.toml: lamps[0].spectrum.csv: expected a file gone.csv beside this one; given "No such file".',
        ),
        (
            LAMP + 'spectrum = { csv = "../lamp.csv" }',
            'own.toml: lamps[0].spectrum.csv: expected the name of a .csv file that lies beside this one; given "../lamp.csv".',
        ),
        (
            MATERIAL
            + 'initiators = [{ id = "magic", mol_l = 0.1, quantum_yield = 1 }]',
            'own.toml: materials[0].initiators[0].id: expected one of bapo, cq, ppd, tpo, tpo-l, or its own curve; given "magic".',
        ),
        (
            MATERIAL.replace("385", "700"),
            "own.toml: materials[0].design_nm: expected less than or equal to 600; given 700.",
        ),
        (
            RECIPE.replace('"as IFU"', '"validated here"'),
            "own.toml: recipes[0].record_no: expected the number of the record behind “validated here”; given nothing.",
        ),
        (
            RECIPE.replace("coats = 0", "coats = 2"),
            "own.toml: recipes[0].coat_material: expected the material of the coat; given nothing.",
        ),
        (
            RECIPE + 'sides = ["A", "A"]',
            "own.toml: recipes[0].sides: expected two different sides, or none; given a list of 2.",
        ),
        (
            RECIPE + 'washes = [{ title = "W", min_s = 300, max_s = 120 }]',
            "own.toml: recipes[0].washes[0].max_s: expected at least min_s, 300; given 120.",
        ),
        (
            '[[lots]]\ncode = "LT"\nmaterial = "RS"\nexpires = "June"\n',
            'own.toml: lots[0].expires: expected a day as YYYY-MM-DD; given "June".',
        ),
        (
            '[[lots]]\ncode = "LT"\nmaterial = "RS"\nparents = [{ lot = "A", fraction = 0.5 }]\n',
            "own.toml: lots[0].parents: expected fractions that add up to 1; given 0.5.",
        ),
        (
            '[[vessels]]\ncode = "GV"\ntitle = "V"\nheight_mm = 40\nwall = { material = "wood", thickness_mm = 2 }\n',
            'own.toml: vessels[0].wall.material: expected one of pmma_sample_a, pmma_sample_b, polystyrene, polycarbonate, pet, pvc, sodalime_clear, sodalime_lowiron, borosilicate33, water_hale1973; given "wood".',
        ),
        ("lamps = 3", "own.toml: lamps: expected a valid list; given 3."),
    ],
)
def test_a_fault_names_file_place_what_was_expected_and_what_is_given(text, line):
    assert told(text) == (line,)


def test_every_fault_is_told_at_once():
    text = LAMP.replace("100", "-1") + MATERIAL.replace('"print"', '"paint"') + RECIPE
    lines = told(text.replace("revision = 3", "revision = 0"))

    assert [line.split(": ")[1] for line in lines] == [
        "materials[0].role",
        "lamps[0].baseline_reading",
        "recipes[0].revision",
    ]


def test_a_broken_file_says_on_which_line():
    (line,) = told("[[lamps]]\ncode = \n")

    assert line.startswith("own.toml: cannot be read: ")
    assert "line 2" in line


def test_json_with_a_field_twice_is_refused():
    (line,) = told('{"lamps": [], "lamps": []}', name="own.json")

    assert "“lamps” stands twice" in line


@pytest.mark.parametrize("text", ["[]", '"x"', "3", "null"])
def test_json_that_is_no_table_is_refused(text):
    (line,) = told(text, name="own.json")

    assert line.startswith("own.json: expected a table; given")


def test_a_missing_file_and_one_that_is_no_text_are_told_in_a_sentence(tmp_path):
    with pytest.raises(LibraryError, match="cannot be read"):
        read_library(tmp_path / "none.toml")
    path = tmp_path / "bytes.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(LibraryError, match=r"bytes\.toml: expected UTF-8 text"):
        read_library(path)


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("nonsense", "say its source and licence and confidence"),
        (
            f"{HEAD}wavelength_nm,other\n400,1\n",
            "has no column irradiance_mw_cm2_nm",
        ),
        (
            f"{HEAD}wavelength_nm,irradiance_mw_cm2_nm\n400,1\n390,2\n",
            "nm[1]: expected a wavelength above 400",
        ),
    ],
)
def test_a_csv_file_that_holds_no_curve_is_told_by_name(table, words):
    lines = told(LAMP + 'spectrum = { csv = "lamp.csv" }', beside=lambda _name: table)

    assert len(lines) == 1
    assert lines[0].startswith("own.toml: lamps[0].spectrum.csv")
    assert "lamp.csv" in lines[0]
    assert words in lines[0]


def outcome(text, name):
    """Return how many entries were read, and what was told instead."""
    try:
        library = parsed(text, name=name)
    except LibraryError as error:
        return 0, error.lines
    return len(library.recipes), ()


@given(st.text(max_size=200), st.sampled_from(["own.toml", "own.json"]))
@settings(max_examples=300)
def test_no_text_leads_to_anything_but_a_library_or_a_library_error(text, name):
    recipes, lines = outcome(text, name)

    assert recipes == 0
    assert all(line.startswith(f"{name}: ") for line in lines)


CUTS = st.integers(min_value=0, max_value=400)


@given(CUTS, st.sampled_from(["", '"', "-1", "true", "[", "\n", "nan", "0"]))
@settings(max_examples=100, deadline=None)
def test_a_damaged_practice_is_refused_in_words_or_read_whole(line, put):
    lines = assets.read_text("demo_cases", "practice.toml").splitlines()
    name, sign, _ = lines[line % len(lines)].partition("=")
    lines[line % len(lines)] = f"{name}{sign}{put}"
    recipes, told_lines = outcome("\n".join(lines), "own.toml")

    assert (recipes > 0) != bool(told_lines)
    assert all(each.startswith("own.toml: ") for each in told_lines)


# --- the schema ------------------------------------------------------------------------


def test_the_schema_is_json_and_knows_every_kind_of_entry():
    schema = json.loads(json.dumps(library_schema()))

    assert schema["$schema"].endswith("2020-12/schema")
    assert set(schema["properties"]) == {
        "format",
        "materials",
        "lots",
        "lamps",
        "boxes",
        "vessels",
        "meters",
        "recipes",
        "readings",
        "fills",
        "coupons",
        "limits",
    }
    assert schema["additionalProperties"] is False
    assert (
        schema["$defs"]["RecipeEntry"]["properties"]["total_per_side"]["minimum"] == 2
    )


def test_the_practice_is_read_from_its_place_as_it_is_from_the_program():
    path = Path(__file__).parents[1] / "demo_cases" / "practice.toml"
    if path.is_file():  # in a checkout; an installed copy has it in the wheel
        assert read_library(path) == practice()


COUPON = """
[[coupons]]
lamp = "EX-LM-A"
material = "EX-RS-C"
lot = "EX-LT-C2"
box = "EX-BX-1"
vessel = "EX-GV-01"
count = 2200
planned_s = 15
held_s = 8
top_s = 13
blank_wiped = true
air_sticky = true
"""


def test_a_coupon_on_paper_is_read_with_its_controls():
    command = parse_library(COUPON, name="own.toml", beside=str)
    ((coupon, day),) = command.coupons

    assert (coupon.star_s, coupon.top_s, coupon.finished, day) == (10, 13, True, "")


@pytest.mark.parametrize(
    ("change", "place"),
    [
        (("top_s = 13", "top_s = 12"), "top_s"),
        (("blank_wiped = true", "blank_wiped = false"), "blank_wiped"),
        (("air_sticky = true", "air_sticky = false"), "blank_wiped"),
    ],
)
def test_a_coupon_that_shows_nothing_is_not_read(change, place):
    with pytest.raises(LibraryError) as caught:
        parse_library(COUPON.replace(*change), name="own.toml", beside=str)

    assert f"coupons[0].{place}" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ('document = "EX-DS-1"', "revision"),
        ("bands = [[420, 390]]", "bands[0]"),
    ],
)
def test_a_label_or_papers_that_cannot_be_are_refused(text, place):
    lamp = f'[[lamps]]\ncode = "LM-1"\ntitle = "x"\nbaseline_reading = 100\n{text}'
    with pytest.raises(LibraryError) as caught:
        parse_library(lamp, name="own.toml", beside=str)

    assert f"lamps[0].{place}" in str(caught.value)


def test_peaks_on_a_label_are_bands_of_fifteen_to_each_side():
    lamp = (
        '[[lamps]]\ncode = "LM-1"\ntitle = "x"\nbaseline_reading = 100\n'
        "peaks_nm = [405]\nbands = [[445, 475]]\nmw_cm2 = 900"
    )
    (found,) = parse_library(lamp, name="own.toml", beside=str).lamps

    assert found.bands == ((445, 475), (390, 420))
    assert (found.knowledge, found.mw_cm2) == ("unknown", 900)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("x.toml", "a." * 100_000 + "b = 1", "too deep"),
        ("x.toml", "[" + "a . " * 100_000 + "b]", "too deep"),
        (
            "x.json",
            "{" + ",".join(f'"k{n}":1' for n in range(200_000)) + ',"k9":1,"k9":2}',
            "“k9” stands twice",
        ),
    ],
)
def test_what_would_take_the_square_of_its_length_is_refused_at_once(name, text, words):
    started = RealClock().now()
    with pytest.raises(LibraryError, match=words):
        parse_library(text, name=name, beside=lambda _: "")

    assert RealClock().now().since(started) < 20_000  # minutes, by the plain way
